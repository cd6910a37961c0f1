"""The laws of the code tables: published tables keep them, and a slipped digit in any cell is refused at its place."""

from __future__ import annotations

import random
from collections.abc import Iterator
from pathlib import Path

import pytest

from generator.model.codes import CodeTable
from generator.read.code_basis import read_basis_folder
from generator.read.table_laws import breaches
from tests.compute.circuit_cases import basis

ROOT = Path(__file__).parents[2]
TABLES = [(name, table) for name in ("us", "iec") for table in sorted(basis(name).tables)]


def slips(table: CodeTable) -> Iterator[tuple[str, int, CodeTable]]:
    """The table with one number of one cell times ten or a tenth: row, column, table."""
    for key, cells in table.rows.items():
        for place, cell in enumerate(cells):
            for slipped in slipped_cells(cell):
                row = tuple(slipped if other == place else kept for other, kept in enumerate(cells))
                yield key, place, table.model_copy(update={"rows": {**table.rows, key: row}})


def slipped_cells(cell: float | str | None) -> list[float | str]:
    if isinstance(cell, float):
        return [cell * 10, cell / 10]
    if cell is None:
        return []
    number, unit = cell.split()
    return [] if "/" in number else [f"{float(number) * 10:g} {unit}", f"{float(number) / 10:g} {unit}"]


@pytest.mark.parametrize(("name", "table"), TABLES)
def test_a_published_table_keeps_its_law(name: str, table: str) -> None:
    assert not breaches(basis(name).tables[table], basis(name).header.sizes)


@pytest.mark.parametrize(("name", "table"), TABLES)
def test_a_slipped_digit_is_refused_at_its_cell(name: str, table: str) -> None:
    """Every slip of every cell of every table is noticed, and the cell named is the one that slipped."""
    found = [
        ((key, place), breaches(slipped, basis(name).header.sizes))
        for key, place, slipped in slips(basis(name).tables[table])
    ]
    missed = [cell for cell, wrong in found if not wrong]
    elsewhere = [cell for cell, wrong in found if wrong and ("rows", *cell) not in {breach.path for breach in wrong}]
    assert found
    assert (missed, elsewhere) == ([], [])


@pytest.mark.parametrize(("name", "table"), TABLES)
def test_a_row_key_out_of_order_is_refused(name: str, table: str) -> None:
    judged, sizes = basis(name).tables[table], basis(name).header.sizes
    keys = [key for key in judged.rows if key != "above"]
    shuffled = random.Random(7).sample(keys, len(keys))
    assert shuffled != keys
    rows = {key: judged.rows[key] for key in shuffled}
    assert breaches(judged.model_copy(update={"rows": rows}), sizes)
    tenfold = {f"{key}0" if key == keys[-1] else key: cells for key, cells in judged.rows.items()}
    assert breaches(judged.model_copy(update={"rows": tenfold}), sizes)


def test_the_fault_names_file_line_and_cell(tmp_path: Path) -> None:
    """8 AWG copper at 60 degC read 400 A for 40 A once: a 50 A device would then have been called sound on it."""
    folder = tmp_path / "us"
    folder.mkdir()
    for file in (ROOT / "site_data" / "codes" / "us").glob("*.yaml"):
        text = file.read_text()
        (folder / file.name).write_text(text.replace("  8 AWG: [40, 50,", "  8 AWG: [400, 50,"))
    line = (folder / "ampacity.yaml").read_text().splitlines().index("  8 AWG: [400, 50, 55, 35, 40, 45]") + 1
    read = read_basis_folder(folder, tmp_path)
    assert read.basis is None
    (fault,) = read.faults
    assert (fault.file, fault.line, fault.key) == ("us/ampacity.yaml", line, "rows.8 AWG[1]")
    assert "'copper 60'" in fault.wrong
    assert fault.expected.startswith("a value from ")

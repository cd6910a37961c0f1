"""The laws of the published tables: the tables keep them, and a slipped digit in any cell is refused at its place."""

from __future__ import annotations

import random
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from generator.model.tables.codes import CodeTable
from generator.read.tables.burns import read_burns
from generator.read.tables.code_basis import NAMED_ROWS, read_basis_folder
from generator.read.tables.pipes import read_pipes
from generator.read.tables.table_laws import breaches
from tests.compute import wet_cases
from tests.compute.circuit_cases import basis

ROOT = Path(__file__).parents[2]
PIPES = {
    f"{kind}/{table.table}": table
    for kind in ("sizes", "ratings", "velocities", "fittings")
    for table in getattr(wet_cases.PIPES, kind).values()
}
TABLES = [(name, table) for name in ("us", "iec") for table in sorted(basis(name).tables)]
TABLES += [("pipes", table) for table in PIPES]


def table_of(name: str, table: str) -> CodeTable:
    return PIPES[table] if name == "pipes" else basis(name).tables[table]


def sizes_of(name: str) -> tuple[str, ...]:
    return wet_cases.PIPES.header.sizes if name == "pipes" else basis(name).header.sizes


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
    if cell is None or not cell[0].isdigit():
        return []
    number, unit = cell.split()
    return [] if "/" in number else [f"{float(number) * 10:g} {unit}", f"{float(number) / 10:g} {unit}"]


@pytest.mark.parametrize(("name", "table"), TABLES)
def test_a_published_table_keeps_its_law(name: str, table: str) -> None:
    assert not breaches(table_of(name, table), sizes_of(name))


@pytest.mark.parametrize(("name", "table"), TABLES)
def test_a_slipped_digit_is_refused_at_its_cell(name: str, table: str) -> None:
    """Every slip of every cell of every table is noticed, and the cell named is the one that slipped."""
    found = [((key, place), breaches(slipped, sizes_of(name))) for key, place, slipped in slips(table_of(name, table))]
    missed = [cell for cell, wrong in found if not wrong]
    elsewhere = [cell for cell, wrong in found if wrong and ("rows", *cell) not in {breach.path for breach in wrong}]
    assert found
    assert (missed, elsewhere) == ([], [])


@pytest.mark.parametrize(("name", "table"), TABLES)
def test_a_row_key_out_of_order_is_refused(name: str, table: str) -> None:
    judged, sizes = table_of(name, table), sizes_of(name)
    if not any(key[0].isdigit() for key in judged.rows) or len(judged.rows) == 1:
        return  # rows that are names follow no order
    keys = [key for key in judged.rows if key != "above"]
    shuffled = random.Random(7).sample(keys, len(keys))
    assert shuffled != keys
    rows = {key: judged.rows[key] for key in shuffled}
    assert breaches(judged.model_copy(update={"rows": rows}), sizes)
    tenfold = {
        re.sub(r"^[0-9.]+", r"\g<0>0", key) if key == keys[-1] else key: cells for key, cells in judged.rows.items()
    }
    assert breaches(judged.model_copy(update={"rows": tenfold}), sizes)


@pytest.mark.parametrize(("table", "row"), [(table, row) for table, rows in NAMED_ROWS.items() for row in rows])
def test_a_row_that_is_called_by_its_name_is_missed_at_its_table(tmp_path: Path, table: str, row: str) -> None:
    folder = tmp_path / "site_data" / "codes" / "us"
    shutil.copytree(ROOT / "site_data" / "codes" / "us", folder)
    path = folder / f"{table}.yaml"
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(line for line in lines if not line.startswith(f"  {row}:")), encoding="utf-8")
    told = [fault for fault in read_basis_folder(folder, tmp_path).faults if "missing" in fault.wrong]
    (fault,) = told  # the rows that are left may break the table's law besides
    assert (fault.file, fault.key) == (f"site_data/codes/us/{table}.yaml", "rows")
    assert fault.wrong == f"the row '{row}' is missing"


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


PIPE_FAULTS = yaml.safe_load((Path(__file__).parent / "pipe_faults.yaml").read_text())


@pytest.mark.parametrize("case", PIPE_FAULTS, ids=lambda case: f"{case['file']}: {case['new']}")
def test_a_fault_in_the_pipes_names_file_line_and_key(tmp_path: Path, case: dict[str, str]) -> None:
    shutil.copytree(ROOT / "site_data" / "pipes", tmp_path / "pipes")
    path, old, key = tmp_path / "pipes" / case["file"], case["old"], case["key"]
    text = path.read_text()
    assert text.count(old) == 1
    path.write_text(text.replace(old, case["new"]))
    read = read_pipes(tmp_path / "pipes", tmp_path)
    told = next(fault for fault in read.faults if fault.key == key)
    assert read.pipes is None
    assert case["wrong"] in told.wrong
    if not key.startswith(("materials.copper", "valves")):
        line = text[: text.index(old)].count("\n") + 1
        assert (told.file, told.line) == (f"pipes/{case['file']}", line)


@pytest.mark.parametrize("table", wet_cases.BURNS, ids=lambda table: table.table)
def test_a_slipped_time_of_a_burn_is_refused_at_its_cell(table: CodeTable) -> None:
    assert not breaches(table, ())
    found = [((key, place), breaches(slipped, ())) for key, place, slipped in slips(table)]
    assert found
    assert all(wrong for _, wrong in found)
    assert not [cell for cell, wrong in found if ("rows", *cell) not in {breach.path for breach in wrong}]


def test_a_fault_in_the_burns_names_file_line_and_cell(tmp_path: Path) -> None:
    text = (ROOT / "site_data" / "burns.yaml").read_text()
    (tmp_path / "burns.yaml").write_text(text.replace("140 degF: [5,", "140 degF: [50,"))
    read = read_burns(tmp_path, tmp_path)
    assert read.value is None
    (fault,) = read.faults
    line = text[: text.index("140 degF: [5,")].count("\n") + 1
    assert (fault.file, fault.line, fault.key) == ("burns.yaml", line, "tables[2].rows.140 degF[1]")

"""The code tables against a second, independent transcription, and against laws that the tables themselves obey."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from generator.compute import circuit
from generator.compute.compute_all import compute
from generator.errors import ComputeFaults
from generator.model.tables.clauses import Family
from generator.model.tables.codes import NEEDED
from generator.read.handbook import read_handbook
from tests.compute.circuit_cases import basis, plain
from tests.compute.wet_cases import PIPES
from tests.frozen import DATA

SECOND = Path(__file__).parents[1] / "sources" / "second_transcription"
FILES = sorted(path.relative_to(SECOND) for path in SECOND.glob("*/*.yaml"))

# Cells that the two transcriptions write differently and mean alike. B.52.17 prints no number for one-layer columns
# past nine circuits: one line says that there is no further reduction. The second transcription has those cells empty;
# the data repeat the value for nine, which is what the line says. One column is named otherwise.
ONE_LAYER = ("single layer on wall", "under ceiling", "perforated tray")
COLUMN_NAMES = {"protective_conductor": {"size": "copper"}}


def cells(table: dict) -> dict[tuple[str, str], str]:
    return {
        (row, column): cell
        for row, line in table["rows"].items()
        for column, cell in zip(table["columns"], line, strict=True)
    }


def same(one: str, other: str) -> bool:
    try:
        return float(one) == float(other)
    except ValueError:
        return one == other


def resolved(file: Path, key: tuple[str, str], first: dict[tuple[str, str], str]) -> str | None:
    """What an empty cell of the second transcription stands for, where its words give it a meaning."""
    row, column = key
    if file.name == "grouping.yaml" and column in ONE_LAYER and int(row) > 9:
        return first["9", column]
    return None


@pytest.mark.parametrize("file", FILES, ids=str)
def test_two_transcriptions_agree_cell_by_cell(file: Path) -> None:
    first = cells(plain(Path(__file__).parents[2] / "site_data" / "codes" / file))
    names = COLUMN_NAMES.get(file.stem, {}) if file.parts[0] == "iec" else {}
    second = {(row, names.get(column, column)): cell for (row, column), cell in cells(plain(SECOND / file)).items()}
    assert first.keys() == second.keys()
    wrong = {
        key: (first[key], second[key])
        for key in first
        if not same(first[key], second[key]) and first[key] != resolved(file, key, first)
    }
    assert not wrong


def test_every_table_has_a_second_transcription() -> None:
    for name in ("us", "iec"):
        assert {file.stem for file in FILES if file.parts[0] == name} == set(basis(name).tables)


def test_every_table_says_where_it_comes_from() -> None:
    for file in FILES:
        assert {"document", "edition", "clause", "obtained"} <= plain(SECOND / file).keys()


@pytest.mark.parametrize("name", ["us", "iec"])
def test_every_table_names_the_transcriptions_it_was_compared_with(name: str) -> None:
    for table in basis(name).tables.values():
        cells = sum(len(row) for row in table.rows.values())
        assert len(table.compared) >= 2, table.table
        assert len({one.by for one in table.compared}) == len(table.compared)
        assert all(0 < one.cells <= cells for one in table.compared), table.table
        assert max(one.cells for one in table.compared) >= 0.7 * cells, table.table


# Pipe tables for which no public transcription has been found, or that are themselves no published table.
UNCOMPARED = {"pvc", "pex-metric", "copper-metric"} | {f"insert-{kind}" for kind in ("metal", "plastic")}
UNCOMPARED |= {"insert-metal-metric", "insert-plastic-metric"}


def test_a_pipe_table_without_a_transcription_is_named_here() -> None:
    kinds = (PIPES.sizes, PIPES.ratings, PIPES.velocities, PIPES.fittings)
    every = [table for kind in kinds for table in kind.values()]
    assert {table.table for table in PIPES.sizes.values() if not table.compared} == set()
    assert {table.table for table in every if not table.compared} == UNCOMPARED
    for table in every:
        assert all(0 < one.cells <= sum(map(len, table.rows.values())) for one in table.compared), table.table


@pytest.mark.parametrize(
    ("name", "table", "base_c", "limits_c"),
    [
        ("us", "ambient_correction", 30, {"60": 60, "75": 75, "90": 90}),
        ("iec", "ambient_correction", 30, {"PVC": 70, "XLPE": 90}),
        ("iec", "ground_correction", 20, {"PVC": 70, "XLPE": 90}),
    ],
)
def test_ambient_factors_follow_their_formula(name: str, table: str, base_c: int, limits_c: dict[str, int]) -> None:
    """NFPA 70 2023, 310.15(B) formula; IEC 60364-5-52:2009, annex B: sqrt((Tc - Ta) / (Tc - base)) to two decimals."""
    found = basis(name).tables[table]
    for row in found.rows:
        for column, limit in limits_c.items():
            stated = found.rows[row][found.columns.index(column)]
            if stated is not None:
                assert stated == pytest.approx(math.sqrt((limit - float(row)) / (limit - base_c)), abs=0.0051)
            else:  # no factor is stated where the ambient leaves the conductor next to nothing
                assert float(row) >= limit - 10


# Ohm circular mils per foot at 75 degC, the K of the trade: stranded 12.9 and 21.2; a solid conductor has no lay and
# has about 2 % less. Copper 10.37 and aluminum 17.0 at 20 degC (common practice, no source), brought to 75 degC.
BANDS = {
    "copper stranded": (12.8, 13.0),
    "aluminum stranded": (21.1, 21.3),
    "copper solid": (12.55, 12.65),
    "aluminum solid": (20.75, 20.85),
}


@pytest.mark.parametrize("column", BANDS)
def test_resistance_times_area_is_the_metal(column: str) -> None:
    low, high = BANDS[column]
    tables = basis("us").tables
    for size, cells_of in tables["dc_resistance"].rows.items():
        stated = cells_of[tables["dc_resistance"].columns.index(column)]
        if stated is not None:
            assert low <= stated * tables["area"].cell(size, "area") / 1000 <= high, size


def test_alternating_current_resistance_agrees_with_direct_current_to_two_figures() -> None:
    """To 1/0 AWG the skin effect is below Table 9's last figure."""
    tables = basis("us").tables
    for size in basis("us").header.sizes[:10]:
        for metal in ("copper", "aluminum"):
            if (metal, size) != ("aluminum", "14 AWG"):
                direct = tables["dc_resistance"].cell(size, f"{metal} stranded")
                assert tables["ac_resistance"].cell(size, f"{metal} pvc") == pytest.approx(direct, rel=0.035)


@pytest.mark.parametrize("name", ["us", "iec"])
def test_ampacities_rise_with_size_and_with_insulation(name: str) -> None:
    table = basis(name).tables["ampacity"]
    for index, _ in enumerate(table.columns):
        column = [cells_of[index] for cells_of in table.rows.values() if cells_of[index] is not None]
        assert column == sorted(set(column))
    for cells_of in table.rows.values():
        by_column = dict(zip(table.columns, cells_of, strict=True))
        for column, value in by_column.items():
            hotter = column.replace("PVC", "XLPE").replace(" 75", " 90").replace(" 60", " 75")
            if value is not None and hotter != column:
                assert by_column[hotter] > value


def test_more_loaded_conductors_carry_less() -> None:
    table = basis("iec").tables["ampacity"]
    for size in table.rows:
        for column in table.columns:
            if column.endswith("2"):
                assert table.cell(size, column) > table.cell(size, column[:-1] + "3")


@pytest.mark.parametrize(("name", "table"), [("us", "adjustment"), ("iec", "grouping")])
def test_company_never_helps(name: str, table: str) -> None:
    found = basis(name).tables[table]
    for index, _ in enumerate(found.columns):
        column = [cells_of[index] for cells_of in found.rows.values()]
        assert column == sorted(column, reverse=True)


@pytest.mark.parametrize("name", ["us", "iec"])
def test_sizes_of_the_basis_are_the_rows_of_its_tables_in_rising_order(name: str) -> None:
    sizes = basis(name).header.sizes
    assert list(basis(name).tables["ampacity"].rows) == list(sizes)


def test_protective_conductor_follows_its_rule() -> None:
    """IEC 60364-5-54:2011 table 54.2: S to 16 mm2; 16 mm2 to 35 mm2; above, S/2."""
    table = basis("iec").tables["protective_conductor"]
    for size in table.rows:
        area = float(size.split()[0])
        expected = area if area <= 16 else 16 if area <= 35 else area / 2
        assert float(table.text(size, "copper").split()[0]) == expected


def test_a_wrong_cell_would_be_seen() -> None:
    """The comparison itself: one changed cell is found."""
    file = Path("us/ampacity.yaml")
    first = cells(plain(SECOND / file))
    second = {**first, ("8 AWG", "copper 60"): "45"}
    assert [key for key in first if not same(first[key], second[key])] == [("8 AWG", "copper 60")]


def test_a_basis_without_a_table_is_refused_before_anything_is_computed() -> None:
    inputs = read_handbook(DATA)
    us = inputs.codes["us"]
    short = replace(us, tables={name: table for name, table in us.tables.items() if name != "area"})
    with pytest.raises(ComputeFaults) as caught:
        compute(replace(inputs, codes={**inputs.codes, "us": short}))
    ((subject, refusal),) = caught.value.refusals
    assert subject == ("code", "us.basis")
    assert str(refusal).startswith("family: the basis has no table 'area'; the file area.yaml beside it")


@pytest.mark.parametrize(("family", "room"), [("nfpa70", "us"), ("iec60364", "iec")])
def test_every_table_that_a_family_looks_into_is_asked_for(family: Family, room: str) -> None:
    """One that is not would be a fault of the program where a basis lacks it."""
    folder = Path(circuit.__file__).parent
    asked = {
        table
        for path in (*folder.rglob("*.py"),)
        if path.parent.name not in ({"us", "iec"} - {room})
        for table in re.findall(r'tables\["(\w+)"\]', path.read_text(encoding="utf-8"))
    }
    assert asked
    assert asked <= set(NEEDED[family]) <= basis(room).tables.keys()

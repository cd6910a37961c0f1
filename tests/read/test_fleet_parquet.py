"""Sites from a Parquet file: the sites that the same table as CSV gives, and each cell refused at its place."""

import datetime
import decimal
import io
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pyarrow as pa
import pytest
from pyarrow import parquet

from generator.assemble.results_json import input_texts
from generator.read import parquet_table
from generator.read.handbook import read_handbook
from tests.read.fleet_project import FLEET, HEADINGS, ROW, by_id, faults, project, table

NAME = "rooms.parquet"
TYPED: list[Any] = ["room-1", "First, room", 30.0, 250, "2.4 L/min", None]


def written(*rows: Sequence[Any], headings: list[str] = HEADINGS) -> bytes:
    """A Parquet file of rows, each column of the type that its values have."""
    columns = [list(cells) for cells in zip(*rows, strict=True)] or [[] for _ in headings]
    file = io.BytesIO()
    parquet.write_table(pa.table(columns, names=headings), file)
    return file.getvalue()


def test_the_sites_are_those_of_the_same_table_as_csv(tmp_path: Path) -> None:
    typed = written(TYPED, ["room-2", "Second", 12.5, None, "2.6 L/min", "x"])
    texts = table(ROW, ["room-2", "Second", "12.5", "", "2.6 L/min", "x"])
    found = by_id(read_handbook(project(tmp_path / "a", typed, name=NAME)))
    assert found == by_id(read_handbook(project(tmp_path / "b", texts)))
    assert found["room-2"].route.length_m == 12.5  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("values", "texts"),
    [
        (pa.array([30.0, 1e16, 1e-7, None, float("nan")]), ["30", "10000000000000000", "0.0000001", "", "nan"]),
        (pa.array([0.1, 45.3], pa.float32()), ["0.1", "45.3"]),
        (pa.array([7, -1], pa.int8()), ["7", "-1"]),
        (pa.array([True, False]), ["true", "false"]),
        (pa.array([datetime.date(2026, 1, 2)]), ["2026-01-02"]),
        (pa.array([decimal.Decimal("1.50")]), ["1.50"]),
        (pa.array([" a ", "b", "a"]).dictionary_encode(), ["a", "b", "a"]),
        (pa.nulls(2), ["", ""]),
    ],
)
def test_a_cell_is_what_a_writer_would_type(values: Any, texts: list[str]) -> None:
    file = io.BytesIO()
    parquet.write_table(pa.table({"Room": values}), file)
    headings, rows, wrong = parquet_table.parquet_table(file.getvalue(), NAME, 1000)
    assert (headings, [row[0] for row in rows], wrong) == (["Room"], texts, [])


@pytest.mark.parametrize(
    ("column", "cell", "said"),
    [
        (1, "a\u200bb", f"{NAME}:2:2: file: the invisible character U+200B stands here"),
        (2, -4.0, f"{NAME}:2:3: route.length: "),
        (2, float("nan"), f"{NAME}:2:3: route.length: 'nan' is not a decimal number"),
        (3, 10**15, f"{NAME}:2:4: water.static_pressure: "),
        (4, "0.7 kW", f"{NAME}:2:5: fixtures[1].flow: '0.7 kW': 'kW' is a power"),
        (0, "room-1", f"{NAME}:2:1: id: 'room-1' is the id of row 1 too"),
        (0, None, f"{NAME}:2:1: id: this key is missing"),
    ],
)
def test_a_cell_is_refused_at_its_row_and_column(tmp_path: Path, column: int, cell: Any, said: str) -> None:
    wrong = ["room-2", *TYPED[1:]]
    wrong[column] = cell
    (found,) = faults(project(tmp_path, written(TYPED, wrong), name=NAME))
    assert found.startswith(f"site_data/fleets/{said}")


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (written(TYPED, headings=[*HEADINGS[:-1], "Remark"]), ":1:6: file: nothing is read from the column 'Remark'"),
        (written([*TYPED[:-1], [1, 2]]), ":1:6: file: a column of the type list<"),
        (written([*TYPED[:-1], b"\xff"]), ":1:6: file: a column of the type binary"),
        (written(), ":1:1: file: the table has no row"),
        (written(TYPED)[:-9], ":1:1: file: this is no Parquet: "),
        (b"", ":1:1: file: this is no Parquet: "),
        (table(ROW).encode(), ":1:1: file: this is no Parquet: "),
    ],
)
def test_a_file_that_is_no_such_table_is_refused(tmp_path: Path, content: bytes, said: str) -> None:
    (found,) = [one for one in faults(project(tmp_path, content, name=NAME)) if NAME in one]
    assert found.startswith(f"site_data/fleets/{NAME}{said}")


def test_a_small_file_that_unfolds_to_a_large_one_is_refused() -> None:
    column = pa.array(["x" * 1000] * 3000).dictionary_encode()
    file = io.BytesIO()
    parquet.write_table(pa.table({"Room": column}), file)
    assert len(file.getvalue()) < 10_000
    headings, rows, (fault,) = parquet_table.parquet_table(file.getvalue(), NAME, 1_000_000)
    assert (headings, rows) == ([], []) and "the table has more than 1000000 letters" in str(fault)


def test_where_the_library_is_not_installed_the_refusal_names_what_brings_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(parquet_table, "find_spec", lambda name: None)
    (found,) = faults(project(tmp_path, written(TYPED), name=NAME))
    assert found.startswith(f"site_data/fleets/{NAME}:1:1: file: this is Parquet, and the library")
    assert "pip install pyarrow (the extra 'fleet' of this program), or a CSV file" in found


def test_a_separator_has_no_meaning_there(tmp_path: Path) -> None:
    fleet = FLEET.replace("columns:", "separator: tab\ncolumns:", 1)
    (found,) = faults(project(tmp_path, written(TYPED), fleet, name=NAME))
    assert "rooms.yaml:2:" in found and "separator: nothing stands between the columns of Parquet" in found


def test_inputs_of_rows_are_kept_apart(tmp_path: Path) -> None:
    texts = input_texts(read_handbook(project(tmp_path, written(TYPED), name=NAME)))
    assert texts[f"site_data/fleets/{NAME}/sites/room-1"]["water.static_pressure"] == "250 kPa"

"""Results as Parquet, read back by another library (fastparquet): the rows of the JSON lines, typed and versioned."""

import json
import math
from pathlib import Path
from typing import Any

import pytest
from fastparquet import ParquetFile

from generator.fleet.results import computed
from generator.read.handbook import read_handbook
from generator.render import row_files
from generator.render.result_rows import COLUMNS, Row, figure_rows, finding_rows, value_rows
from tests.frozen import DATA

TYPES = {str: "object", float: "float64", bool: "bool"}


@pytest.fixture(scope="module")
def rows() -> dict[str, list[Row]]:
    inputs = read_handbook(DATA)
    found = list(computed(inputs, inputs.sites, None))
    return {
        "findings": [row for one in found for row in finding_rows(one.findings, "4")],
        "values": [row for one in found for row in value_rows(one.findings, "4")],
        "figures": [row for one in found for row in figure_rows(one.figures, one.subject, "4")],
    }


def write(folder: Path, rows: dict[str, list[Row]]) -> Path:
    with row_files.row_files(folder, "parquet") as put:
        for table, some in rows.items():
            for start in range(0, len(some), 7):
                put(table, some[start : start + 7])
    return folder


def read_back(path: Path) -> list[dict[str, Any]]:
    frame = ParquetFile(path).to_pandas()
    return [
        {name: None if isinstance(cell, float) and math.isnan(cell) else cell for name, cell in row.items()}
        for row in frame.to_dict("records")
    ]


@pytest.mark.parametrize("at_once", [50_000, 100])
def test_every_row_reads_back(
    tmp_path: Path, rows: dict[str, list[Row]], monkeypatch: pytest.MonkeyPatch, at_once: int
) -> None:
    monkeypatch.setattr(row_files, "_AT_ONCE", at_once)
    write(tmp_path, rows)
    for table, written in rows.items():
        path = tmp_path / f"{table}.parquet"
        assert read_back(path) == json.loads(json.dumps(written)) != []
        assert (len(ParquetFile(path).row_groups) > 1) == (len(written) > at_once)


def test_columns_types_and_version_are_stated(tmp_path: Path, rows: dict[str, list[Row]]) -> None:
    write(tmp_path, rows)
    for table, columns in COLUMNS.items():
        file = ParquetFile(tmp_path / f"{table}.parquet")
        assert {name: str(kind) for name, kind in file.dtypes.items()} == {
            name: TYPES[kind] for name, kind in columns.items()
        }
        about = {key: file.key_value_metadata[key] for key in ("format", "format_version", "table")}
        assert about == {"format": "handbook-results", "format_version": "1", "table": table}


def test_the_same_rows_are_the_same_bytes(tmp_path: Path, rows: dict[str, list[Row]]) -> None:
    one, other = write(tmp_path / "a", rows), write(tmp_path / "b", rows)
    assert {path.name: path.read_bytes() for path in one.iterdir()} == {
        path.name: path.read_bytes() for path in other.iterdir()
    }


def test_a_table_without_rows_is_a_file_with_columns(tmp_path: Path) -> None:
    write(tmp_path, {})
    assert list(ParquetFile(tmp_path / "values.parquet").columns) == list(COLUMNS["values"])


def test_what_fails_in_the_middle_leaves_no_file(tmp_path: Path, rows: dict[str, list[Row]]) -> None:
    with pytest.raises(ZeroDivisionError), row_files.row_files(tmp_path, "parquet") as put:
        put("findings", rows["findings"])
        raise ZeroDivisionError
    assert list(tmp_path.iterdir()) == []

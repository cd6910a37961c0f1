"""A Parquet file as a table of texts, each cell as a writer would type it: a row a site."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from importlib.util import find_spec
from typing import Any

from generator.errors import FILE_KEY, Fault, shortened
from generator.read.yaml.yaml_marks import text_of

EXTRA = "fleet"  # of pyproject.toml, which brings the library that reads Parquet
_ROWS_AT_ONCE = 2_000


class _Refused(Exception):
    """What is wrong with a table, and what would be right; `column`: counted from 1."""

    def __init__(self, wrong: str, expected: str, column: int = 1) -> None:
        super().__init__(wrong)
        self.wrong, self.expected, self.column = wrong, expected, column


def parquet_table(content: bytes, name: str, most_signs: int) -> tuple[list[str], list[list[str]], list[Fault]]:
    """Return headings, rows and faults of a Parquet file; never raises. `name` is shown in faults, with row and column.

    A missing value is the empty text; a number, a date, a truth value its shortest decimal, ISO 8601, `true`, `false`.
    At most `most_signs` in all cells: a small file can unfold to more than a machine holds.
    """
    if find_spec("pyarrow") is None:
        wrong = "this is Parquet, and the library that reads it is not installed"
        expected = f"pip install pyarrow (the extra '{EXTRA}' of this program), or a CSV file"
        return [], [], [Fault(name, 1, 1, FILE_KEY, wrong, expected)]
    try:
        headings, rows = _read(content, most_signs)
    except _Refused as refused:
        return [], [], [Fault(name, 1, refused.column, FILE_KEY, refused.wrong, refused.expected)]
    return headings, rows, list(_unseen(rows, name))


def _read(content: bytes, most_signs: int) -> tuple[list[str], list[list[str]]]:
    import pyarrow as pa
    from pyarrow import parquet

    rows: list[list[str]] = []
    signs = 0
    try:
        file = parquet.ParquetFile(pa.BufferReader(content))
        headings = [str(name).strip() for name in file.schema_arrow.names]
        for batch in file.iter_batches(_ROWS_AT_ONCE):
            columns = [_texts(column, place) for place, column in enumerate(batch.columns, start=1)]
            signs += sum(len(cell) for column in columns for cell in column)
            if signs > most_signs:
                raise _Refused(f"the table has more than {most_signs} letters and digits", "part it")
            rows += map(list, zip(*columns, strict=True))
    except (pa.ArrowException, OSError, ValueError) as error:
        raise _Refused(f"this is no Parquet: {shortened(str(error))}", "a whole file, not encrypted") from None
    return headings, rows


def _texts(column: Any, place: int) -> list[str]:
    """Return the cells of a column as texts. _Refused for one of lists, bytes or the like."""
    import pyarrow as pa

    try:
        texts = column.cast(pa.string()).to_pylist()
    except pa.ArrowException:
        wrong = f"a column of the type {shortened(str(column.type))} holds no cells of a table"
        raise _Refused(wrong, "texts, numbers, dates or truth values", place) from None
    if pa.types.is_floating(column.type):
        return ["" if text is None else _plain(text) for text in texts]
    return ["" if text is None else text.strip() for text in texts]


def _plain(number: str) -> str:
    """Return a number without a power of ten; what is no number, such as `nan`, as it stands."""
    return f"{Decimal(number):f}" if "e" in number else number


def _unseen(rows: list[list[str]], name: str) -> Iterator[Fault]:
    """Yield the characters of a cell that nobody can see, at its row and column."""
    for line, row in enumerate(rows, start=1):
        for column, cell in enumerate(row, start=1):
            if not cell.isascii() or not cell.isprintable():
                _, faults = text_of(cell.encode(), name)
                yield from (replace(fault, line=line, column=column) for fault in faults)

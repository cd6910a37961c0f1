"""Rows as they come into files that other programs read, JSON lines or Parquet; a file stands only once it is whole."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from importlib.util import find_spec
from pathlib import Path
from typing import Literal

from generator.errors import HandbookError
from generator.render.files import taking_place
from generator.render.result_rows import COLUMNS, FORMAT, FORMAT_VERSION, Row

Form = Literal["jsonl", "parquet"]
Write = Callable[[str, Iterable[Row]], None]
_AT_ONCE = 50_000  # rows of a group in Parquet: what a reader takes in at once


@contextmanager
def row_files(folder: Path, form: Form) -> Iterator[Write]:
    """Give what writes rows to a table of COLUMNS, and put a file a table into `folder` once all are written.

    HandbookError where the library that writes Parquet is not installed. After an exception every file is as it was.
    """
    if form == "parquet" and find_spec("pyarrow") is None:
        wrong = "the library that writes Parquet is not installed"
        raise HandbookError(f"{wrong}: pip install pyarrow (the extra 'fleet' of this program), or --format jsonl")
    opened = _parquet if form == "parquet" else _json_lines
    with ExitStack() as stack:
        writers = {
            table: stack.enter_context(opened(stack.enter_context(taking_place(folder / f"{table}.{form}")), table))
            for table in COLUMNS
        }
        yield lambda table, rows: writers[table](rows)


@contextmanager
def _json_lines(path: Path, _table: str) -> Iterator[Callable[[Iterable[Row]], None]]:
    with path.open("w", encoding="utf-8", newline="\n") as file:
        yield lambda rows: file.writelines(json.dumps(row, ensure_ascii=False, allow_nan=False) + "\n" for row in rows)


@contextmanager
def _parquet(path: Path, table: str) -> Iterator[Callable[[Iterable[Row]], None]]:
    import pyarrow as pa  # only for Parquet
    from pyarrow import parquet

    types = {str: pa.string(), float: pa.float64(), bool: pa.bool_()}
    about = {"format": FORMAT, "format_version": str(FORMAT_VERSION), "table": table}
    schema = pa.schema([(name, types[kind]) for name, kind in COLUMNS[table].items()], metadata=about)
    waiting: list[Row] = []

    def flush(writer: parquet.ParquetWriter, least: int) -> None:
        if len(waiting) >= least:
            writer.write_table(pa.Table.from_pylist(waiting, schema=schema))
            waiting.clear()

    with parquet.ParquetWriter(path, schema, compression="zstd") as writer:

        def write(rows: Iterable[Mapping[str, str | float | bool | None]]) -> None:
            waiting.extend(rows)
            flush(writer, _AT_ONCE)

        yield write
        flush(writer, 1)

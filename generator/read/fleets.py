"""Sites from tables: site_data/fleets/<name>.yaml, and the table beside it, a row a site.

A place in a table is its row and column: in CSV the line that the row begins on, in Parquet the row counted from 1.
"""

from __future__ import annotations

import csv
import io
import re
from collections import ChainMap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain
from pathlib import Path

from generator.errors import FILE_KEY, Fault, dotted
from generator.model.site import Site
from generator.model.tables.fleet import PARQUET, Fleet, Key, key_of
from generator.read.parquet_table import parquet_table
from generator.read.yaml.fault_words import unknown, unknown_key
from generator.read.yaml.folder import yaml_files
from generator.read.yaml.shapes import keys_of, shape_at
from generator.read.yaml.validate import validate
from generator.read.yaml.yaml_file import YamlFile, content_of, load_yaml_file
from generator.read.yaml.yaml_marks import Data, Document, Spot, text_of

_MARK = b"\xef\xbb\xbf"  # with which spreadsheets begin a table
MOST_BYTES = 64_000_000  # a row takes about 200
_SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}
_NUMBER = re.compile(r"[-+]?[0-9]+(\.[0-9]+)?")


@dataclass(slots=True)
class _Table:
    """A table as read: its name, its headings, and its rows, each with the line that it begins on."""

    name: str
    headings: list[str] = field(default_factory=list)
    rows: list[tuple[int, list[str]]] = field(default_factory=list)


def read_fleets(folder: Path, root: Path) -> tuple[list[YamlFile[Site]], list[Fault]]:
    """Return the sites of every table in `folder`, and what is wrong: of a row at its row and column."""
    if not folder.is_dir():
        return [], []
    paths, faults = yaml_files(folder, root)
    sites: list[YamlFile[Site]] = []
    for path in paths:
        shared = load_yaml_file(path, Fleet, path.relative_to(root).as_posix())
        faults += shared.faults
        if shared.value:
            found, more = _sites(shared, shared.value, path, root=root)
            sites += found
            faults += more
    return sites, [*faults, *chain.from_iterable(site.faults for site in sites)]


def _sites(
    shared: YamlFile[Fleet], fleet: Fleet, path: Path, *, root: Path
) -> tuple[list[YamlFile[Site]], list[Fault]]:
    file = path.with_name(fleet.table)
    table, faults = _read_table(file, file.relative_to(root).as_posix(), fleet)
    if not faults:
        faults = list(_heading_faults(shared, fleet, table))
    if faults:
        return [], faults
    pattern = _Pattern(shared, fleet, table)
    sites: list[YamlFile[Site]] = []
    first: dict[str, int] = {}
    for line, cells in table.rows:
        site = pattern.site(line, cells)
        other = first.setdefault(site.stem, line)
        if other != line:
            wrong = f"'{site.stem}' is the id of {'row' if table.name.endswith(PARQUET) else 'line'} {other} too"
            faults.append(site.fault(("id",), wrong, "one id a row, and it stays"))
        sites.append(site)
    return sites, [*faults, *pattern.faults.values()]


def _read_table(file: Path, name: str, fleet: Fleet) -> tuple[_Table, list[Fault]]:
    content = content_of(file, name, MOST_BYTES)
    if isinstance(content, Fault):
        return _Table(name), [content]
    table, faults = _Table(name), list[Fault]()
    if name.endswith(PARQUET):
        table.headings, rows, faults = parquet_table(content, name, MOST_BYTES)
        table.rows = [(line, cells) for line, cells in enumerate(rows, start=1) if any(cells)]
    else:
        faults = _read_csv(table, content, _SEPARATORS[fleet.separator])
    if not table.rows and not faults:
        faults.append(Fault(name, 1, 1, FILE_KEY, "the table has no row", "headings, and a row a site"))
    return table, faults


def _read_csv(table: _Table, content: bytes, between: str) -> list[Fault]:
    """Fill a table from CSV; return what is wrong with it."""
    text, faults = text_of(content.removeprefix(_MARK), table.name, allowed=between)
    if faults:
        return faults
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=between, strict=True)
    line = 1
    try:
        for cells in reader:
            cells = [cell.strip() for cell in cells]
            if any(cells):
                if not table.headings:
                    table.headings = cells
                elif len(cells) > len(table.headings):
                    wrong = f"the row has {len(cells)} cells for {len(table.headings)} headings"
                    faults.append(
                        Fault(table.name, line, len(table.headings) + 1, FILE_KEY, wrong, "one cell a heading")
                    )
                else:
                    table.rows.append((line, cells))
            line = reader.line_num + 1
    except csv.Error as error:
        faults.append(Fault(table.name, line, 1, FILE_KEY, f"this is no table: {error}", "close every quotation mark"))
    return faults


def _heading_faults(shared: YamlFile[Fleet], fleet: Fleet, table: _Table) -> Iterator[Fault]:
    """Yield keys that no site has, columns that are named and not there, that stand twice, that nobody has named."""
    for key, column in fleet.columns.items():
        if wrong_key := _no_key(key_of(key)):
            yield shared.fault(("columns", key), *wrong_key)
        if column.heading not in table.headings:
            wrong, expected = unknown(column.heading, f"a heading of {table.name}", table.headings)
            yield shared.fault(("columns", key, "heading"), wrong, expected)
    named = {column.heading for column in fleet.columns.values()} | set(fleet.unread)
    for number, heading in enumerate(table.headings, start=1):
        if heading in table.headings[: number - 1]:
            yield Fault(
                table.name, 1, number, FILE_KEY, f"the heading '{heading}' stands twice", "one heading a column"
            )
        elif heading not in named:
            wrong = f"nothing is read from the column '{heading}'"
            yield Fault(table.name, 1, number, FILE_KEY, wrong, f"name it in {shared.name}, under columns or unread")


def _no_key(key: Key) -> tuple[str, str] | None:
    """Return what is wrong with a key path and what would be right; None where a site has it."""
    for end, part in enumerate(key):
        shape = shape_at(Site, key[:end])
        if isinstance(part, str) and keys_of(shape) and part not in keys_of(shape):
            return unknown_key(part, shape)
    return None


class _Pattern:
    """What the rows of a table share. `faults`: what is wrong with that, each once, by its place."""

    def __init__(self, shared: YamlFile[Fleet], fleet: Fleet, table: _Table) -> None:
        assert shared.document is not None
        self._shared, self._table = shared, table
        whole = shared.document
        self._data = whole.data["site"] if isinstance(whole.data, dict) else {}
        self._paths = {path[1:]: whole.texts.get(path) for path in whole.values if path[:1] == ("site",)}
        self._texts = {path: text for path, text in self._paths.items() if text is not None}
        self._columns = [
            (key_of(path), table.headings.index(column.heading), column.unit) for path, column in fleet.columns.items()
        ]
        self.faults: dict[Spot, Fault] = {}

    def site(self, line: int, cells: list[str]) -> YamlFile[Site]:
        """Return the site of a row."""
        document, faults = self._document(line, cells)
        value, more = validate(document, Site, self._table.name)
        faults += more
        own = [fault for fault in faults if self._is_of_the_row(fault)]
        for fault in faults:
            if fault not in own:
                placed = self._shared.fault(("site", *self._key(fault)), fault.wrong, fault.expected)
                self.faults.setdefault((placed.line, placed.column), placed)
        return YamlFile(
            self._table.name, document.texts.get(("id",), ""), None if faults else value, document, tuple(own)
        )

    def _document(self, line: int, cells: list[str]) -> tuple[Document, list[Fault]]:
        data, faults = self._data, list[Fault]()
        spots: dict[Key, Spot] = {}
        texts: dict[Key, str] = {}
        for key, column, unit in self._columns:
            cell = cells[column] if column < len(cells) else ""
            spots[key] = spot = (line, column + 1)
            for end in range(len(key)):
                if key[:end] not in self._paths:
                    spots.setdefault(key[:end], spot)
            if not cell:
                continue
            texts[key] = f"{cell} {unit}" if unit and _NUMBER.fullmatch(cell) else cell
            changed = _with(data, key, texts[key])
            if changed is None:
                wrong = f"the sites of {self._shared.name} share no {dotted(key[:-1])} that holds this"
                faults.append(Fault(self._table.name, *spot, dotted(key), wrong, "write it out there, under site"))
            else:
                data = changed
        placed = _Spots(spots, self._paths, (line, 1))
        return Document(data, placed, placed, ChainMap(texts, self._texts)), faults

    def _is_of_the_row(self, fault: Fault) -> bool:
        """Whether a fault is that of a cell, and not of what every row shares."""
        return any(fault.key == dotted(key) or fault.key.startswith(f"{dotted(key)}.") for key, *_ in self._columns)

    def _key(self, fault: Fault) -> Key:
        return next((path for path in self._paths if path and dotted(path) == fault.key), ())


class _Spots(Mapping[Key, Spot]):
    """Where the values of a row stand: those of its cells, and at its beginning all that every row shares."""

    __slots__ = ("_cells", "_shared", "_start")

    def __init__(self, cells: dict[Key, Spot], shared: Mapping[Key, str | None], start: Spot) -> None:
        self._cells, self._shared, self._start = cells, shared, start

    def __getitem__(self, path: Key) -> Spot:
        if path in self._cells:
            return self._cells[path]
        if path in self._shared:
            return self._start
        raise KeyError(path)

    def __iter__(self) -> Iterator[Key]:
        return chain(self._shared, (path for path in self._cells if path not in self._shared))

    def __len__(self) -> int:
        return len(self._shared) + sum(path not in self._shared for path in self._cells)


def _with(data: Data, key: Key, text: str) -> Data | None:
    """Return data with a text at a key path, mappings made where there are none; None where an item is not there."""
    part, rest = key[0], key[1:]
    if isinstance(data, dict) and isinstance(part, str):
        below = _with(data.get(part, {}), rest, text) if rest else text
        return None if below is None else {**data, part: below}
    if isinstance(data, list) and isinstance(part, int) and part < len(data):
        below = _with(data[part], rest, text) if rest else text
        return None if below is None else [*data[:part], below, *data[part + 1 :]]
    return None

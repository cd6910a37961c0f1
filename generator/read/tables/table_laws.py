"""The laws that the cells of a table obey, so that a slipped digit is refused and not published.

Every table names its law. A cell is held to the cells beside it: those above and below in its column, and those of its
row that differ from it in one word of their column's name. The bounds are wide enough for the tables of any edition
and narrow enough that ten times or a tenth of a value breaks them; they are our own, read off the published tables.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import islice
from typing import Literal

from pydantic_core import PydanticCustomError

from generator.model.tables.codes import CodeTable
from generator.model.tables.pipes import TEMPERATURE
from generator.read.yaml.yaml_marks import Path
from generator.units import to_si

# Words of column names in the order in which cells rise: what a conductor may carry by insulation, by loaded conductors
# and by metal, and times from TT to TN systems; a pipe's tolerance, wall and outside.
_RISING_WORDS = (("60", "75", "90"), ("PVC", "XLPE"), ("3", "2"), ("aluminum", "copper"), ("TT", "TN"))
_RISING_PIPES = (("tolerance", "wall"), ("wall", "outside"))

Cell = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Law:
    """What holds for the numbers of a table, in its own unit (a pressure in psi, a velocity in ft/s).

    `least` to `greatest`: every cell, but none in the `gap`. `down`: a cell divided by the one above it. `across`: a
    cell divided by the one whose column differs in one of the words above, the lower word. None: not judged. `rows`:
    what the rows are: rising numbers or sizes, rising temperatures with their unit, or names in any order. `usual`: a
    usual cell, its row's temperature [K], and by what it is multiplied for each kelvin more.
    """

    least: float
    greatest: float
    down: tuple[float, float]
    across: tuple[float, float] | None = None
    gap: tuple[float, float] | None = None
    rows: Literal["numbers", "temperatures", "names"] = "numbers"
    usual: tuple[float, float, float] | None = None

    def allows(self, value: float) -> bool:
        """Return whether a value may stand in a table of this law, whatever stands beside it."""
        in_gap = self.gap is not None and self.gap[0] < value < self.gap[1]
        return self.least <= value <= self.greatest and not in_gap


LAWS: Mapping[str, Law] = {
    "ampacity": Law(5, 1000, (1.05, 1.7), (1.0, 2.0)),
    "device limit": Law(5, 100, (1.05, 2.0), (1.0, 2.0)),
    "area": Law(1000, 2_000_000, (1.1, 1.8)),
    "resistance": Law(0.01, 20, (0.5, 1.0)),
    "factor": Law(0.1, 1.35, (0.65, 1.0)),
    "appliance": Law(13, 160, (1.0, 5.0), rows="names"),
    "load factor": Law(1.05, 1.75, (1.0, 1.5), rows="names"),
    "torque": Law(70, 600, (1.0, 2.5)),
    "disconnection": Law(0.05, 1.0, (0.3, 0.7), (1.5, 6.0)),
    "longer disconnection": Law(0.9, 6.0, (1.0, 1.0), (1.5, 6.0)),
    "pipe": Law(0.005, 150, (1.0, 1.7), (3.0, 40.0)),
    "pressure": Law(60, 700, (0.5, 1.0), rows="temperatures"),
    "pressure by size": Law(60, 700, (0.5, 1.0)),
    "stress": Law(2000, 15000, (0.6, 1.0), rows="temperatures"),
    "derating": Law(0.1, 1.0, (0.65, 1.0), rows="temperatures"),
    "velocity": Law(2.5, 9.5, (0.5, 1.0), rows="names"),
    "lengths": Law(2, 500, (1.0, 4.0), rows="names"),
    "lengths by size": Law(0.5, 60, (0.45, 2.0)),
    "heads": Law(0.02, 6, (1.0, 100.0), gap=(0.15, 0.7), rows="names"),
    # From 120 s at 120 degF to 0.6 s at 150 degF, between tables for adults and for babies.
    "burn": Law(0.5, 600, (0.08, 0.8), rows="temperatures", usual=(120.0, 322.04, 0.7277)),
}
# Units other than that of their law: the kind, and the unit of the law.
_OTHER_UNITS = {"bar": ("pressure", "psi"), "m/s": ("velocity", "ft/s"), "m": ("length", "ft")}
SIZES, RATINGS = "size", "ratings"
WORDS = "words"  # a column of them holds no numbers

# Row keys that are numbers: each above the one before, and at most this many times as much.
_KEY_STEP = 4.0


@dataclass(frozen=True, slots=True)
class Breach:
    """A place of the table's file that breaks the law, what is wrong there and what would be right."""

    path: Path
    wrong: str
    expected: str


def breaches(table: CodeTable, sizes: Sequence[str]) -> list[Breach]:
    """Return where a table breaks its law; `sizes` are those of its conductors or pipes in rising order."""
    if table.law == SIZES:
        return [*_keys(table, sizes), *_sizes(table, sizes)]
    if table.law == RATINGS:
        return [*_keys(table, sizes), *_ratings(table)]
    law = LAWS[table.law]
    if table.unit in _OTHER_UNITS:
        kind, unit = _OTHER_UNITS[table.unit]
        one = to_si(1.0, kind, unit) / to_si(1.0, kind, table.unit)
        law = replace(law, least=law.least * one, greatest=law.greatest * one)
    return [*_keys(table, sizes, law.rows), *_numbers(table, law)]


def _keys(table: CodeTable, sizes: Sequence[str], rows: str = "numbers") -> Iterator[Breach]:
    """Return the row keys out of order: sizes in the order of the basis, numbers rising, `above` last."""
    keys = list(table.rows) if rows != "names" else []
    before: float | None = None
    for place, key in enumerate(keys):
        if key == "above" and place == len(keys) - 1:
            continue
        rank = _rank(key, sizes, rows)
        if rank is None:
            yield Breach(("rows", key), f"'{key}' is no row of this kind of table", _key_expected(sizes, rows))
        elif before is not None and not _follows(rank, before, key in sizes):
            yield Breach(("rows", key), f"'{key}' does not follow '{keys[place - 1]}'", _key_expected(sizes, rows))
        before = before if rank is None else rank


def _rank(key: str, sizes: Sequence[str], rows: str = "numbers") -> float | None:
    if rows == "temperatures":
        return temperature_k(key)
    if key in sizes:
        return float(sizes.index(key))
    try:
        number = float(key)
    except ValueError:
        return None
    return number if 0 < number < 10_000 else None


def temperature_k(text: str) -> float | None:
    """Return the temperature [K] that a row's key names, or None where it names none."""
    try:
        return TEMPERATURE.parse(text)
    except PydanticCustomError:
        return None


def _follows(rank: float, before: float, size: bool) -> bool:
    return rank > before if size else before < rank <= _KEY_STEP * before


def _key_expected(sizes: Sequence[str], rows: str) -> str:
    if rows == "temperatures":
        return "rising rows, each a temperature with its unit, such as 100 degF"
    span = f"sizes from {sizes[0]} to {sizes[-1]} in the order of the list of sizes"
    return f"rising rows without a gap: {span}, or rising numbers"


def _ratings(table: CodeTable) -> Iterator[Breach]:
    """Return the ratings that are not their own row's key: a standard rating is both."""
    for key, cells in table.rows.items():
        for place, cell in enumerate(cells):
            if not isinstance(cell, float) or _rank(key, ()) != cell:
                yield Breach(("rows", key, place), f"{_shown(cell)} is not the rating of row '{key}'", f"write {key}")


def _sizes(table: CodeTable, sizes: Sequence[str]) -> Iterator[Breach]:
    """Return the cells that are no size of the basis, are larger than their row's, or fall down the rows."""
    first_last = f"from {sizes[0]} to {sizes[-1]}"
    for place in range(len(table.columns)):
        ranks: dict[str, int] = {}
        for key, cells in table.rows.items():
            cell, at = cells[place], ("rows", key, place)
            if cell is None:
                continue
            if cell not in sizes:
                yield Breach(at, f"{_shown(cell)} is no size of this basis", f"a size of the basis, {first_last}")
            elif key in sizes and sizes.index(str(cell)) > sizes.index(key):
                yield Breach(at, f"{cell} is larger than its row's own {key}", f"{key} or smaller")
            else:
                ranks[key] = sizes.index(str(cell))
        for key in ranks.keys() - _rising(ranks):
            wrong = f"{sizes[ranks[key]]} does not fit the sizes above and below it, which rise"
            yield Breach(("rows", key, place), wrong, "a size between theirs; read the published table again")


def _rising(ranks: Mapping[str, int]) -> set[str]:
    """Return the keys of a longest run that never falls: what is left out is what slipped."""
    runs: list[tuple[int, list[str]]] = [(-1, [])]
    for key, rank in ranks.items():
        longest = max((run for last, run in runs if last <= rank), key=len)
        runs.append((rank, [*longest, key]))
    longest = max((run for _, run in runs), key=len)
    return set(longest)


@dataclass(slots=True)
class _Cells:
    """The numbers of a table by row and column, with those already found wrong taken out."""

    keys: list[str]
    columns: tuple[str, ...]
    cells: dict[Cell, float] = field(default_factory=dict)

    def above(self, cell: Cell) -> Iterator[Cell]:
        """Return the cells above in the same column, the nearest first."""
        return ((row, cell[1]) for row in range(cell[0] - 1, -1, -1) if (row, cell[1]) in self.cells)

    def below(self, cell: Cell) -> Iterator[Cell]:
        """Return the cells below in the same column, the nearest first."""
        return ((row, cell[1]) for row in range(cell[0] + 1, len(self.keys)) if (row, cell[1]) in self.cells)


def _numbers(table: CodeTable, law: Law) -> Iterator[Breach]:
    """Return the cells that break the law, the one that breaks it most often first taken out, until none is left."""
    grid = _Cells(list(table.rows), table.columns)
    for row, (key, cells) in enumerate(table.rows.items()):
        for column, cell in enumerate(cells):
            if isinstance(cell, float):
                grid.cells[row, column] = cell
            elif cell is not None and table.columns[column] != WORDS:
                yield Breach(("rows", key, column), f"{_shown(cell)} is no number", "a number, or null")
    while blamed := _worst(grid, law):
        value = grid.cells.pop(blamed)
        place = ("rows", grid.keys[blamed[0]], blamed[1])
        wrong = f"{value:g} in column '{grid.columns[blamed[1]]}' does not fit the cells beside it"
        yield Breach(place, wrong, _expected(grid, blamed, law))


def _worst(grid: _Cells, law: Law) -> Cell | None:
    """Return the cell in most breaches, or None. A cell out of bounds is one whatever stands beside it."""
    out = [cell for cell, value in grid.cells.items() if not law.allows(value)]
    if out:
        return out[0]
    counts: Counter[Cell] = Counter()
    for cell in grid.cells:
        counts.update(_in_breach(grid, cell, law))
    return max(counts, key=lambda cell: (counts[cell], _unlikely(grid, cell, law))) if counts else None


def _unlikely(grid: _Cells, cell: Cell, law: Law) -> float:
    """Return how far a cell lies from a usual one, where the law knows one: of two that disagree it is blamed."""
    kelvin = temperature_k(grid.keys[cell[0]]) if law.usual else None
    if law.usual is None or kelvin is None:
        return 0.0
    value, at_k, each_k = law.usual
    return abs(math.log(grid.cells[cell] / (value * each_k ** (kelvin - at_k))))


def _in_breach(grid: _Cells, cell: Cell, law: Law) -> Iterator[Cell]:
    """Return both cells of each pair that breaks the law, of which `cell` is the lower or the better one.

    The second cell above is compared too: it tells which of a pair is wrong.
    """
    for other in islice(grid.above(cell), 2):
        if not _within(grid.cells[cell] / grid.cells[other], law.down, cell[0] - other[0]):
            yield from (cell, other)
    if law.across is None:
        return
    for column in _lower_columns(grid.columns, cell[1]):
        other = (cell[0], column)
        if other in grid.cells and not _within(grid.cells[cell] / grid.cells[other], law.across, 1):
            yield from (cell, other)


def _within(ratio: float, bounds: tuple[float, float], power: int) -> bool:
    """Return whether a ratio over so many rows keeps the bounds of one."""
    return bounds[0] ** power - 1e-9 <= ratio <= bounds[1] ** power + 1e-9


@cache
def _lower_columns(columns: tuple[str, ...], column: int) -> list[int]:
    """Return the columns that differ from this one in a single word, which comes earlier in a list of rising words."""
    words = columns[column].split()
    return [place for place, other in enumerate(columns) if _is_lower(other.split(), words)]


def _is_lower(other: Sequence[str], words: Sequence[str]) -> bool:
    if len(other) != len(words):
        return False
    unlike = [pair for pair in zip(other, words, strict=True) if pair[0] != pair[1]]
    return len(unlike) == 1 and any(
        unlike[0][0] in rising and unlike[0][1] in rising and rising.index(unlike[0][0]) < rising.index(unlike[0][1])
        for rising in (*_RISING_WORDS, *_RISING_PIPES)
    )


def _expected(grid: _Cells, cell: Cell, law: Law) -> str:
    """Return what the cells above and below leave room for, in the table's unit."""
    low, high = law.least, law.greatest
    for other in islice(grid.above(cell), 1):
        rows, value = cell[0] - other[0], grid.cells[other]
        low, high = max(low, value * law.down[0] ** rows), min(high, value * law.down[1] ** rows)
    for other in islice(grid.below(cell), 1):
        rows, value = other[0] - cell[0], grid.cells[other]
        low, high = max(low, value / law.down[1] ** rows), min(high, value / law.down[0] ** rows)
    return f"a value from {low:.4g} to {high:.4g}; read the published table again"


def _shown(cell: float | str | None) -> str:
    return "null" if cell is None else f"'{cell:g}'" if isinstance(cell, float) else f"'{cell}'"

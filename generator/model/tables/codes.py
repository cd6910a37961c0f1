"""A code basis: the tables of one electrical code as data, with their document, edition, clause and provenance."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from generator.errors import MissingCell
from generator.model.heater import Material
from generator.model.scalars import ConductorSize, Decimal, Strict, Text, YesNo, refuse
from generator.model.tables.basis_header import BasisHeader
from generator.model.tables.clauses import Clauses, Family
from generator.model.tables.code_file import NULLS, CodeFile, OptionalText, null
from generator.model.tables.pass_limits import PassLimits

SHORT_LIST = 6
_DECIMAL = re.compile(r"[0-9]{1,9}(\.[0-9]{1,9})?")


def _cell(value: Any) -> float | str | None:
    if value is None or value in NULLS:
        return None
    if not isinstance(value, int | float | str):
        raise refuse("this is a list or a mapping, not a cell", "write a number, a text or null")
    return float(value) if _DECIMAL.fullmatch(str(value)) else str(value)


# Temperatures [degC] of conductors, and of the air about them: what ten times or a tenth of one is not.
ConductorC = Annotated[Decimal, Field(ge=50.0, le=250.0)]
OptionalConductorC = Annotated[ConductorC | None, BeforeValidator(null)]
OptionalAmbientC = Annotated[Annotated[Decimal, Field(ge=25.0, le=100.0)] | None, BeforeValidator(null)]
OptionalYesNo = Annotated[YesNo | None, BeforeValidator(null)]
Cell = Annotated[float | str | None, BeforeValidator(_cell)]


# The orders that cells may obey: of conductors and their devices, of pipes, and of the time in which water burns.
Law = Literal[
    "ampacity",
    "device limit",
    "area",
    "resistance",
    "factor",
    "size",
    "ratings",
    "appliance",
    "load factor",
    "torque",
    "disconnection",
    "longer disconnection",
    "pipe",
    "pressure",
    "pressure by size",
    "stress",
    "derating",
    "velocity",
    "lengths",
    "lengths by size",
    "heads",
    "burn",
]


# The tables that circuits of a family are computed by.
_NEEDED = ("standard_ratings", "ampacity", "ambient_correction", "terminal_torque")
NEEDED: Mapping[Family, tuple[str, ...]] = {
    "nfpa70": (
        *_NEEDED,
        "adjustment",
        "small_conductor",
        "grounding_conductor",
        "area",
        "dc_resistance",
        "ac_resistance",
        "appliance_limits",
        "load_factors",
    ),
    "iec60364": (
        *_NEEDED,
        "grouping",
        "protective_conductor",
        "disconnection_time",
        "disconnection_time_larger",
    ),
}


class CodeTable(CodeFile):
    """One published table. `rows` maps a row key to one cell a column; None is a cell the table does not state.

    `law` says which order its cells obey (read/tables/table_laws.py).
    """

    law: Law
    unit: Text
    columns: tuple[Text, ...] = Field(min_length=1)
    rows: dict[str, tuple[Cell, ...]] = Field(min_length=1)

    @model_validator(mode="after")
    def _rows_fill_the_columns(self) -> CodeTable:
        for key, cells in self.rows.items():
            if len(cells) != len(self.columns):
                wrong = f"the row has {len(cells)} cells for {len(self.columns)} columns"
                raise refuse(wrong, "one cell a column, null where the table states none", "rows", key)
        return self

    def cell(self, row: str, column: str) -> float:
        """Return the number at (row, column) in the table's unit; MissingCell where there is none."""
        value = self._lookup(row, column)
        if not isinstance(value, int | float):
            raise self._missing(row, column)
        return float(value)

    def text(self, row: str, column: str) -> str:
        """Return the text at (row, column), such as a conductor size; MissingCell where there is none."""
        value = self._lookup(row, column)
        if not isinstance(value, str):
            raise self._missing(row, column)
        return value

    def band(self, value: float) -> str:
        """Return the row key of the band that `value` falls in: the least key not below it; never interpolated."""
        for edge, key in self._rising:
            if value <= edge:
                return key
        raise self._missing(f"{value:g}", self.columns[0])

    @cached_property
    def _rising(self) -> tuple[tuple[float, str], ...]:
        """The rows with their upper edges, rising; NaN, which no value is within, for a key that is no number."""
        edges = ((_edge(key), key) for key in self.rows)
        return tuple(sorted((one for one in edges if one[0] == one[0]), key=lambda one: one[0]))

    def _lookup(self, row: str, column: str) -> Cell:
        if row not in self.rows or column not in self.columns:
            raise self._missing(row, column)
        return self.rows[row][self.columns.index(column)]

    def _missing(self, row: str, column: str) -> MissingCell:
        if column not in self.columns:
            return MissingCell(self.source, row, column, have=f"columns {_span(self.columns)}")
        place = self.columns.index(column)
        stated = [key for key, cells in self.rows.items() if cells[place] is not None]
        return MissingCell(self.source, row, column, have=f"rows {_span(stated)} there" if stated else "none there")


class WiringMethod(Strict):
    """A wiring method of the basis and what limits its conductors.

    `ampacity_column_c` [degC]: the highest ampacity column its conductors may be held to (US), None for no cap of its
    own. `highest_ambient_c` [degC]: the hottest ambient the method may be used in. `grouping_columns`: the columns of
    the grouping table that may apply (IEC). `wet_location` None: depends on the cable chosen. `smallest` and `largest`:
    the sizes that the method is made in, by conductor metal, where its article states them. `old_insulations`: those
    of circuits that are there already, besides `insulations`; no new one is laid with them. `farm`: whether the
    article on agricultural buildings names the method; `suitable`: it is taken where it suits the place.
    """

    title: Text
    clause: Text
    wet_location: OptionalYesNo = None
    insulations: tuple[Text, ...]
    old_insulations: tuple[Text, ...] = ()
    ampacity_column_c: OptionalConductorC = None
    highest_ambient_c: OptionalAmbientC = None
    conduit_material: Text | None = None
    correction_table: Text | None = None
    grouping_columns: tuple[Text, ...] = ()
    smallest: dict[Material, ConductorSize] = {}
    largest: dict[Material, ConductorSize] = {}
    farm: Literal["named", "suitable", "not named"] = "suitable"
    note: OptionalText = None

    def made(self, material: Material, sizes: Sequence[str]) -> tuple[str, ...]:
        """Return which of `sizes`, in rising order, the method is made in with conductors of this metal."""
        first, last = self.smallest.get(material), self.largest.get(material)
        start = sizes.index(first) if first else 0
        return tuple(sizes[start : sizes.index(last) + 1 if last else len(sizes)])


class Insulation(Strict):
    """A conductor insulation and its temperature rating [degC] by location; None where it is not rated for it."""

    title: Text
    dry_c: ConductorC
    damp_c: OptionalConductorC = None
    wet_c: OptionalConductorC = None
    note: OptionalText = None


class Methods(CodeFile):
    """The file wiring_methods.yaml: methods and insulations, with the header every table has."""

    methods: dict[str, WiringMethod]
    insulations: dict[str, Insulation]


@dataclass(frozen=True, slots=True)
class CodeBasis:
    """One code basis: its header, its wiring methods and insulations, its clauses by rule, the limits by which the
    tests of a commissioning pass, and its tables by id."""

    header: BasisHeader
    methods: Methods
    rules: Clauses
    passes: PassLimits
    tables: Mapping[str, CodeTable]

    @property
    def id(self) -> str:
        """The basis's id, such as us."""
        return self.header.id


def _span(keys: Sequence[str]) -> str:
    """Return the keys in words: all of a few, else the first and the last."""
    return ", ".join(keys) if len(keys) <= SHORT_LIST else f"from {keys[0]} to {keys[-1]}"


def _edge(key: str) -> float:
    """Return the upper edge of a band; NaN for a row key that is no number."""
    if key == "above":
        return math.inf
    return float(key) if _DECIMAL.fullmatch(key) else math.nan

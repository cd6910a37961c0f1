"""A code basis: the tables of one electrical code as data, with their document, edition, clause and provenance."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from generator.errors import MissingCell
from generator.model.code_file import CodeFile
from generator.model.heater import Material
from generator.model.quantity import Frequency
from generator.model.rules import Family, Rules
from generator.model.scalars import ConductorSize, Decimal, Strict, Text, YesNo, decimal_of, refuse
from generator.model.tolerances import ServiceVoltage

SHORT_LIST = 6
_NULLS = ("null", "~", "")
_DECIMAL = re.compile(r"[0-9]{1,9}(\.[0-9]{1,9})?")


def _null(value: Any) -> Any:
    return None if value in _NULLS else value


def _cell(value: Any) -> float | str | None:
    if value is None or value in _NULLS:
        return None
    if not isinstance(value, int | float | str):
        raise refuse("this is a list or a mapping, not a cell", "write a number, a text or null")
    return float(value) if _DECIMAL.fullmatch(str(value)) else str(value)


# A null in a code file means "the document states none"; scalars arrive as text, so the word is read here.
OptionalNumber = Annotated[Decimal | None, BeforeValidator(_null)]
OptionalText = Annotated[Text | None, BeforeValidator(_null)]
OptionalYesNo = Annotated[YesNo | None, BeforeValidator(_null)]
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


class CodeTable(CodeFile):
    """One published table. `rows` maps a row key to one cell a column; None is a cell the table does not state.

    `law` says which order its cells obey (read/table_laws.py).
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
        edges = {key: _edge(key) for key in self.rows}
        fitting = [key for key, edge in edges.items() if value <= edge]
        if not fitting:
            raise self._missing(f"{value:g}", self.columns[0])
        return min(fitting, key=edges.__getitem__)

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
    ampacity_column_c: OptionalNumber = None
    highest_ambient_c: OptionalNumber = None
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
    dry_c: Decimal
    damp_c: OptionalNumber = None
    wet_c: OptionalNumber = None
    note: OptionalText = None


class Methods(CodeFile):
    """The file wiring_methods.yaml: methods and insulations, with the header every table has."""

    methods: dict[str, WiringMethod]
    insulations: dict[str, Insulation]


# A recommended drop is a few per cent: 0.3 is a slip of a digit. A resistivity is that of copper or aluminum, 0.0172
# and 0.0283 ohm mm2/m at 20 degC (IEC 60028 and IEC 60889, from memory), or up to a half more in service.
DropRatio = Annotated[float, BeforeValidator(decimal_of), Field(ge=0.005, le=0.2)]
OhmMm2M = Annotated[float, BeforeValidator(decimal_of), Field(ge=0.017, le=0.045)]


class DropLimit(Strict):
    """A recommended limit of voltage drop as a ratio; rules.yaml says who recommends it."""

    limit: DropRatio
    note: OptionalText = None


class DropLimits(Strict):
    """The limits by what is supplied. NFPA 70 knows the first two, IEC 60364 the others."""

    branch_circuit: DropLimit | None = None
    feeder_and_branch_circuit: DropLimit | None = None
    lighting: DropLimit | None = None
    other_uses: DropLimit | None = None


class Resistivity(Strict):
    """A conductor resistivity with its unit; rules.yaml says who states it."""

    value: OhmMm2M
    unit: Literal["ohm mm2/m"]
    note: OptionalText = None


class Resistivities(Strict):
    """The resistivity of each conductor metal that the basis states one for."""

    copper: Resistivity | None = None


class BasisHeader(CodeFile):
    """The file basis.yaml: what the basis is, its supply in service, its sizes in rising order, its references, its
    deferral notice."""

    id: Text
    family: Family
    covers: Text
    frequency_hz: Frequency = Field(alias="frequency")
    service_voltage: ServiceVoltage
    sizes: tuple[ConductorSize, ...] = Field(min_length=1)
    reference_ambient_c: Decimal
    voltage_drop: DropLimits
    conductor_resistivity: Resistivities = Resistivities()
    deferral: Text

    @model_validator(mode="after")
    def _states_what_its_family_asks_for(self) -> BasisHeader:
        drop, resistivity = self.voltage_drop, self.conductor_resistivity
        needed: dict[tuple[str, str], Strict | None] = {
            ("voltage_drop", "other_uses"): drop.other_uses,
            ("conductor_resistivity", "copper"): resistivity.copper,
        }
        if self.family == "nfpa70":
            needed = {("voltage_drop", "branch_circuit"): drop.branch_circuit}
        for (key, name), stated in needed.items():
            if stated is None:
                raise refuse(f"this states nothing for {name}", f"a basis of the family {self.family} needs it", key)
        return self


@dataclass(frozen=True, slots=True)
class CodeBasis:
    """One code basis: its header, its wiring methods and insulations, its clauses by rule, and its tables by id."""

    header: BasisHeader
    methods: Methods
    rules: Rules
    tables: Mapping[str, CodeTable]

    @property
    def id(self) -> str:
        """The basis's id, such as us."""
        return self.header.id


def _span(keys: Sequence[str]) -> str:
    """Return the keys in words: all of a few, else the first and the last."""
    return ", ".join(keys) if len(keys) <= SHORT_LIST else f"from {keys[0]} to {keys[-1]}"


def _edge(key: str) -> float:
    """Return the upper edge of a band; NaN, which no value is within, for a row key that is no number."""
    if key == "above":
        return math.inf
    return float(key) if _DECIMAL.fullmatch(key) else math.nan

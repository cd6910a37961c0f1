"""Pipes as data: materials, and published tables of sizes, ratings, velocities and fittings, read off in SI."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from generator.model.quantity import Length, QuantityField, kind_of_unit
from generator.model.scalars import PipeSize, Strict, Text, YesNo, decimal_of, refuse
from generator.model.tables.code_file import CodeFile
from generator.model.tables.codes import CodeTable
from generator.units import to_si

TEMPERATURE = QuantityField("temperature", "32 degF", "250 degF")
ABOVE, UP_TO = "above ", "to "

Rows = tuple[tuple[float, float], ...]


class PipeTable(CodeTable):
    """One published table of pipes. Rows are sizes, temperatures with their unit, or names."""

    unit: Literal["in", "mm", "ft", "m", "psi", "bar", "ft/s", "m/s", "ratio", "diameters", "velocity heads"]

    def si(self, row: str, column: str) -> float:
        """Return a cell in SI, a share or a count of diameters or heads as it is; MissingCell where there is none."""
        cell, kind = self.cell(row, column), kind_of_unit(self.unit)
        return cell if kind is None else to_si(cell, kind, self.unit)

    def diameters(self, kind: str, size: str, *, bore_m: float) -> float:
        """Return the length of a fitting in diameters (L/D) of a pipe of this size and bore [m]; MissingCell without.

        A table in diameters holds for every size; one in lengths has a row for each.
        """
        if self.law == "lengths by size":
            return self.si(size, kind) / bore_m
        return self.si(kind, self.columns[0])

    @property
    def kinds(self) -> tuple[str, ...]:
        """The fittings of a table of fittings."""
        return self.columns if self.law == "lengths by size" else tuple(self.rows)

    def by_temperature(self, column: str) -> Rows:
        """Return the rows of a table whose rows are temperatures as (temperature [K], cell in SI)."""
        return tuple((TEMPERATURE.parse(row), self.si(row, column)) for row in self.rows)


def _smooth_or_rough(roughness_m: float) -> float:
    """Between drawn tubing and galvanized iron, a hundred times as rough, no pipe of a building lies."""
    if 1e-6 <= roughness_m <= 5e-6 or 5e-5 <= roughness_m <= 5e-4:
        return roughness_m
    raise refuse("no pipe is as rough as this", "about 0.0015 mm for drawn tubing and plastic, 0.15 mm for galvanized")


Coefficient = Annotated[float, BeforeValidator(decimal_of), Field(ge=100, le=160)]
Share = Annotated[float, BeforeValidator(decimal_of), Field(ge=0.5, le=1.0)]
Roughness = Annotated[Length, AfterValidator(_smooth_or_rough)]


class RatingParts(Strict):
    """The tables of ratings/ that a material's rating follows from; the lowest of the parts counts.

    `pressure` by temperature; `at_base` by size, times `factor` by temperature; `stress` of the tube by temperature,
    with `least_wall` as the share of the nominal wall that the standard allows.
    """

    pressure: Text | None = None
    at_base: Text | None = None
    factor: Text | None = None
    stress: Text | None = None
    least_wall: Share | None = None

    @model_validator(mode="after")
    def _parts_are_whole(self) -> RatingParts:
        for one, other in (("at_base", "factor"), ("stress", "least_wall")):
            if (getattr(self, one) is None) != (getattr(self, other) is None):
                raise refuse(f"{one} and {other} go together", "both or neither")
        if not (self.pressure or self.at_base or self.stress):
            raise refuse("nothing says what the pipe withstands", "a pressure, at_base or stress")
        return self

    @property
    def tables(self) -> Mapping[str, str]:
        """Part -> the table it names, for the parts stated."""
        parts = ("stress", "pressure", "at_base", "factor")
        return {part: name for part in parts if (name := getattr(self, part)) is not None}


class PipeMaterial(Strict):
    """A pipe material: reader's name, roughness [m], Hazen-Williams C, and the tables of its ratings and velocities.

    `hot` tells whether plumbing codes allow it for hot water at all; `family` groups metals for corrosion. Its sizes
    are the table of sizes/ with its own id. Of several velocities the lowest holds. `joints`: ways of joining its
    fittings, each with its table of fittings/ that says what they lose more than others; the first where none is said.
    """

    title: Text
    family: Literal["copper", "plastic", "steel"]
    hot: YesNo
    roughness_m: Roughness = Field(alias="roughness")
    hazen_williams_c: Coefficient
    velocities: tuple[Text, ...] = Field(min_length=1)
    rating: RatingParts
    joints: dict[str, Text] = Field(default_factory=dict)


class PipeMaterials(CodeFile):
    """The file materials.yaml: all nominal sizes in rising order, the materials by id, the fittings that can shut."""

    sizes: tuple[PipeSize, ...] = Field(min_length=1)
    valves: tuple[Text, ...]
    materials: dict[str, PipeMaterial] = Field(min_length=1)


@dataclass(frozen=True, slots=True)
class Dimensions:
    """Outside diameter and wall [m]; `tolerance_m` is how much the wall may exceed the least one (0: nominal wall)."""

    outside_m: float
    wall_m: float
    tolerance_m: float = 0.0

    @property
    def bore_m(self) -> float:
        """The real inside diameter [m]: outside less twice the wall as made, half the tolerance above the least."""
        return self.outside_m - 2.0 * self.wall_m - self.tolerance_m


@dataclass(frozen=True, slots=True)
class Strength:
    """What the published tables say of one size of pipe: rows of (temperature [K], value), lowest temperature first.

    `pressures` [Pa]; `derated` the factors by which `base_pa` [Pa] falls; `stresses` [Pa] that a wall of
    `least_wall_m` bears. Empty rows: no such table. `source`: who says so.
    """

    pressures: Rows = ()
    base_pa: float = 0.0
    derated: Rows = ()
    stresses: Rows = ()
    least_wall_m: float = 0.0
    source: str = ""


@dataclass(frozen=True, slots=True)
class Velocities:
    """Greatest velocities [m/s] in one table: cold, hot, and above a temperature [K] (infinite: none is stated)."""

    cold_m_s: float
    hot_m_s: float
    above_k: float
    above_m_s: float
    source: str


@dataclass(frozen=True)
class Pipes:
    """All that is known of pipes: the materials, and the tables of each kind by id."""

    header: PipeMaterials
    sizes: Mapping[str, PipeTable]
    ratings: Mapping[str, PipeTable]
    velocities: Mapping[str, PipeTable]
    fittings: Mapping[str, PipeTable]

    @property
    def materials(self) -> Mapping[str, PipeMaterial]:
        """The materials by id."""
        return self.header.materials

    @property
    def tables(self) -> tuple[PipeTable, ...]:
        """Every table, kind by kind."""
        kinds = (self.sizes, self.ratings, self.velocities, self.fittings)
        return tuple(table for kind in kinds for table in kind.values())

    @cached_property
    def fitting_kinds(self) -> tuple[str, ...]:
        """The fittings that a run may name."""
        return tuple(dict.fromkeys(kind for table in self.fittings.values() for kind in table.kinds))

    def fittings_loss(self, table: str, counts: Mapping[str, int]) -> float:
        """Return the summed losses that one table of fittings gives for fittings by kind and number."""
        stated = self.fittings[table]
        return sum(stated.si(kind, stated.columns[0]) * count for kind, count in counts.items() if kind in stated.rows)

    def joined(self, material: str, joints: str | None) -> PipeTable | None:
        """Return the table of fittings joined this way; None for a material whose fittings are as any.

        Where nobody says how, the first way that the material names, which loses most.
        """
        ways = self.materials[material].joints
        return self.fittings[ways[joints or next(iter(ways))]] if ways else None

    def dimensions(self, material: str, size: str) -> Dimensions:
        """Return the dimensions of a known size of a known material; MissingCell for one that its table leaves out."""
        table = self.sizes[material]
        return Dimensions(*(table.si(size, column) for column in table.columns))

    def strength(self, material: str, size: str) -> Strength:
        """Return what bears on the rating of a known size; MissingCell where a table of ratings leaves it out."""
        if (material, size) not in self._strengths:
            self._strengths[material, size] = self._strength(material, size)
        return self._strengths[material, size]

    @cached_property
    def _strengths(self) -> dict[tuple[str, str], Strength]:
        """What has been read off the tables, by material and size: all sites ask for the same few."""
        return {}

    def _strength(self, material: str, size: str) -> Strength:
        parts = self.materials[material].rating
        tables = {part: self.ratings[name] for part, name in parts.tables.items()}
        rows = {
            part: table.by_temperature(self._column(table, size)) for part, table in tables.items() if part != "at_base"
        }
        base, wall_m = tables.get("at_base"), self.dimensions(material, size).wall_m
        return Strength(
            rows.get("pressure", ()),
            base.si(size, base.columns[0]) if base else 0.0,
            rows.get("factor", ()),
            rows.get("stress", ()),
            (parts.least_wall or 0.0) * wall_m,
            "; ".join(dict.fromkeys(table.source for table in tables.values())),
        )

    def _column(self, table: PipeTable, size: str) -> str:
        """Return the column that holds for a size: the only one, or the first `to <size>` that reaches it."""
        if len(table.columns) == 1 and not table.columns[0].startswith(UP_TO):
            return table.columns[0]
        order = self.header.sizes
        reaching = (column for column in table.columns if order.index(column.removeprefix(UP_TO)) >= order.index(size))
        return next(reaching, size)

    def limits(self, material: str) -> tuple[Velocities, ...]:
        """Return the greatest velocities of a known material, one a table."""
        return tuple(_velocities(self.velocities[name]) for name in self.materials[material].velocities)


def _velocities(table: PipeTable) -> Velocities:
    (column,) = table.columns
    cold, hot = table.si("cold", column), table.si("hot", column)
    above = next((row for row in table.rows if row.startswith(ABOVE)), None)
    if above is None:
        return Velocities(cold, hot, math.inf, hot, table.source)
    above_k = TEMPERATURE.parse(above.removeprefix(ABOVE))
    return Velocities(cold, hot, above_k, table.si(above, column), table.source)

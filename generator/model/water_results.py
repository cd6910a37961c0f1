"""What the wet side of a site comes to: inlet through the year, pressures and flows, fixtures, pipes, delivery, use."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from generator.model.figures import Figure, FigureTable, Finding

Point = tuple[float, float]
# What bounds the flow of a window: codes, with words in content/findings/_shared.yaml.
CLOSES, NEXT_STAGE = "turn-on-flow", "next-stage"
LIMIT, GREATEST_OUTLET, TARGET = "limit-temperature", "greatest-outlet", "target-temperature"
SUPPLY_LIMIT, LEAST_PRESSURE, GREATEST_PRESSURE = "greatest-flow", "least-pressure", "greatest-pressure"
BOUNDS = (CLOSES, NEXT_STAGE, LIMIT, GREATEST_OUTLET, TARGET, SUPPLY_LIMIT, LEAST_PRESSURE, GREATEST_PRESSURE)
# A bound of the flow [m3/s] and its reason, one of BOUNDS; infinite where no flow is enough.
FlowBound = tuple[float, str]


@dataclass(frozen=True, slots=True)
class Curve:
    """A line for a small plot: `points` of (x, y) in SI, kinds and labels of both axes, and what the line is."""

    id: str
    title: str
    x_label: str
    x_kind: str
    y_label: str
    y_kind: str
    points: tuple[Point, ...]


Along = Literal["supply", "cold", "switches", "heater", "hot"]


@dataclass(frozen=True, slots=True)
class PressurePlace:
    """The pressure [Pa] at a place on the water's way: every tap shut, with the supply at its greatest, and at work,
    with the supply at its least.

    Places: the supply, the end of a run (`number`, from 1), the flow switches, behind the heater.
    """

    place: Along
    number: int
    at_rest_pa: float
    at_work_pa: float


@dataclass(frozen=True, slots=True)
class InletYear:
    """Inlet temperature through the year: coldest (governs the rise) and hottest (governs scald).

    `months_k` are the twelve values [K] where they are known, `months` their table, `curve` their line over the day of
    the year. All three are None where only winter and summer were stated: nothing between them is invented.
    """

    method: Literal["seasons", "monthly", "climate"]
    coldest: Figure
    hottest: Figure
    months_k: tuple[float, ...] | None = None
    months: FigureTable | None = None
    curve: Curve | None = None


@dataclass(frozen=True, slots=True)
class FlowBounds:
    """What pipework and pressure add to every stage's flow window."""

    least: tuple[FlowBound, ...]
    greatest: tuple[FlowBound, ...]


@dataclass(frozen=True, slots=True)
class WaterSide:
    """The wet side of one heater at one site. `figures` and `tables` hold all of them, the named ones included;
    `along`: the pressures from the supply to the fixtures."""

    id: str
    inlet: InletYear
    working_flow: Figure
    greatest_flow: Figure
    bounds: FlowBounds
    figures: tuple[Figure, ...]
    tables: tuple[FigureTable, ...]
    findings: tuple[Finding, ...]
    curves: tuple[Curve, ...]
    along: tuple[PressurePlace, ...] = ()

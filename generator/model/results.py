"""What the compute stage returns: every figure, table and finding, in SI, with working.

Stable ids: `model.<id>.…` and `site.<id>.…`.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.model.documents.pocket_tables import PocketTables
from generator.model.figures import Figure, FigureTable, Finding, Sentence
from generator.model.records import Expected, Visit
from generator.model.water_results import Curve, WaterSide

# The lines of a three-phase supply, as the stages of a heater name them.
LINES = ("L1", "L2", "L3")


@dataclass(frozen=True, slots=True)
class StageResult:
    """One stage, cumulative: `number` stages closed; power, current; activation; and (at a site) its flow window."""

    number: int
    power: Figure
    current: Figure
    closes_at: Figure
    opens_at: Figure
    element_resistance: Figure


@dataclass(frozen=True, slots=True)
class FlowWindow:
    """The flows that are safe, active and still reach the target with `number` stages closed.

    `least.reason` and `greatest.reason` name what limits each end; an empty window has state "none" at both ends, and
    `why_empty` says why with the numbers; `narrow`: it held flows, but too close together to set one. Where the supply
    does not fit, both ends have the state "stop". `margin`: what is left to the limit at its least flow at the top of
    the band, below zero where the limit is passed there; None where no flow fits.
    """

    number: int
    least: Figure
    greatest: Figure
    why_empty: Sentence | None = None
    narrow: bool = False
    margin: Figure | None = None


@dataclass(frozen=True, slots=True)
class Conductors:
    """What the connection of one circuit takes: ungrounded conductors, and whether a neutral is run with them.

    `to_neutral`: the heater stands between line and neutral; else a neutral serves its control.
    """

    lines: int
    neutral: bool
    to_neutral: bool


@dataclass(frozen=True, slots=True)
class CircuitResult:
    """One branch circuit. `governing` names the step that decided the conductor.

    `line_currents`: a row for 1, 2, ... stages of the heater closed with what a clamp on this feed then shows, voltage
    drop counted: on L1, L2 and L3 where stages stand across pairs of three lines, else the one current that each of its
    lines carries (the neutral too, where it is one of two conductors); 0 while no closed stage is on this feed.
    `expected_current`: the greatest of the row with the stages in use closed (all of them for a model alone).
    `power_by_stage`: the power [W] that then reaches the heater.
    """

    name: str
    conductors: Conductors
    load_current: Figure
    floor: Figure
    recommended: Figure
    ceiling: Figure
    device: Figure
    poles: Figure
    conductor: Figure
    ground: Figure
    governing: str
    expected_current: Figure
    line_currents: tuple[tuple[Figure, ...], ...]
    power_by_stage: tuple[Figure, ...]
    extra: tuple[Figure, ...] = ()
    tables: tuple[FigureTable, ...] = ()

    @property
    def lines(self) -> tuple[str, ...]:
        """The lines that each carry a current of their own, as `line_currents` lists them; none where all are alike."""
        return LINES if any(len(row) > 1 for row in self.line_currents) else ()


@dataclass(frozen=True, slots=True)
class ModelResult:
    """What follows from a model alone: stages at its first rating; rises, circuits and elements at each rating.

    `lost_tables`: what is left with a line or a feed lost; `rise_curves`: by rating, one a number of stages on.
    """

    id: str
    stages: tuple[StageResult, ...]
    rise_tables: tuple[FigureTable, ...]
    least_flows: tuple[Figure, ...]
    circuits: tuple[CircuitResult, ...]
    torque: Figure
    element_tables: tuple[FigureTable, ...] = ()
    lost_tables: tuple[FigureTable, ...] = ()
    findings: tuple[Finding, ...] = ()
    rise_curves: tuple[tuple[Curve, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class SiteResult:
    """What follows for one heater at one site. Temperatures of the tables are outlets [K].

    `hottest` is the hottest water while throttling at the selected stage, `hottest_by_stage` at 1, 2, ... stages, at
    the full power, `hottest_top` at the top of the band; `allowed` the hottest readings that prove it, by inlet and
    volts of the day (None where only mixing valves are tested); `delivered` is the power by stage after the voltage
    drop, with which the target is to be reached; `lost` what is left with one line or one feed lost (None: nothing);
    `supply_range` the least and the greatest voltage of the supply in service; `supply_holds` that up to which the
    hottest water keeps its limit, where there is one; `shortfall` what the target is missed by at the least; `expected`
    what each field of its record is to hold; `visits` what was measured, the oldest first, and `measured` the findings
    that rest on it alone, which no revision code covers; `outlet_by_flow` the outlet at each flow that
    matters with the stages on there, `outlet_curves` its lines by stages on and season, `hottest_flow` the flow of the
    hottest water: none where the supply does not fit; `hottest_by_month` the hottest water of each month, where its
    inlet is known; `pocket`: the tables of its pocket page.
    """

    id: str
    supply_power: Figure
    stages: tuple[StageResult, ...]
    winter_inlet: Figure
    summer_inlet: Figure
    target: Figure
    limit: Figure
    outlet_winter: FigureTable
    outlet_summer: FigureTable
    windows: tuple[FlowWindow, ...]
    hottest: Figure
    circuits: tuple[CircuitResult, ...]
    torque: Figure
    findings: tuple[Finding, ...]
    hottest_by_stage: tuple[Figure, ...] = ()
    delivered: tuple[Figure, ...] = ()
    water: WaterSide | None = None
    allowed: FigureTable | None = None
    lost: FigureTable | None = None
    supply_range: tuple[Figure, ...] = ()
    supply_holds: tuple[Figure, ...] = ()
    hottest_top: Figure | None = None
    shortfall: Figure | None = None
    expected: tuple[Expected, ...] = ()
    visits: tuple[Visit, ...] = ()
    measured: tuple[Finding, ...] = ()
    hottest_flow: Figure | None = None
    outlet_by_flow: FigureTable | None = None
    outlet_curves: tuple[Curve, ...] = ()
    hottest_by_month: Curve | None = None
    pocket: PocketTables | None = None


@dataclass(frozen=True, slots=True)
class Results:
    """Everything computed in a run."""

    models: tuple[ModelResult, ...]
    sites: tuple[SiteResult, ...]

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings of all sites, those that were measured last, and then those of the models themselves."""
        of_sites = tuple(finding for site in self.sites for finding in (*site.findings, *site.measured))
        return of_sites + tuple(finding for model in self.models for finding in model.findings)

    @property
    def open_stops(self) -> tuple[str, ...]:
        """The ids of the stops without a decision that holds, by what was computed and by what was measured."""
        return tuple(found.id for found in self.findings if found.severity == "stop" and not found.decided)

"""What a site may publish where its supply does not fit the heater: nothing reckoned at that supply's power.

A heater of 120 V on 240 V takes four times its power for as long as it lasts; a flow window, an outlet, a current at
that power would be a recipe for trying. Each such figure has the state "stop" and the reason instead of a value, and
each finding that rests on one says that it was not judged. `hottest-water` is then `stop`: how hot the water gets is
not known, and unknown counts as too hot. The others are `attention`: they are judged once the supply fits.
"""

from __future__ import annotations

from dataclasses import replace

from generator.compute.circuit.working import settle_first, unusable
from generator.compute.verdict.built import unfit_supply
from generator.model.figures import Figure, FigureTable, Finding, Sentence, Severity, Value
from generator.model.finding_rules import NOT_JUDGED
from generator.model.results import CircuitResult, FlowWindow, SiteResult, StageResult
from generator.model.water_results import WaterSide

REST_ON_POWER = {
    "hottest-water",
    "target-reached",
    "greatest-outlet",
    "stage-idle",
    "fixture-demand",
    "simultaneous-use",
    "mixing-valve",
    "voltage-drop",
    "panel-demand",
}
FOUND = "Not judged, because the supply does not fit the heater: no power is to be reckoned with."
# The last parts of the ids of the circuit's and the water side's figures that rest on the supply's power.
CIRCUIT_FIGURES = ("supply-current", "supply-power", "drop", "drop-ratio", "power-at-heater", "rise-lost")
WATER_FIGURES = ("energy-a-minute", "energy-a-year", "cost-a-year")
FIXTURE_FIGURES = ("stage", "coldest", "warmest")


def without_power(result: SiteResult) -> SiteResult:
    """Return the result as it is where the supply fits, else without any figure reckoned at the supply's power."""
    cause = unfit_supply(result.findings)
    if cause is None:
        return result
    reason = settle_first(cause)
    return replace(
        result,
        supply_power=unusable(result.supply_power, reason),
        stages=tuple(_stage(stage, reason) for stage in result.stages),
        outlet_winter=_table(result.outlet_winter, reason),
        outlet_summer=_table(result.outlet_summer, reason),
        allowed=result.allowed and _table(result.allowed, reason),
        windows=tuple(_window(window, reason) for window in result.windows),
        hottest=unusable(result.hottest, reason),
        hottest_by_stage=_all(result.hottest_by_stage, reason),
        delivered=_all(result.delivered, reason),
        circuits=tuple(_circuit(circuit, reason) for circuit in result.circuits),
        findings=tuple(_finding(found, cause) for found in result.findings),
        water=result.water and _water(result.water, reason),
    )


def _all(figures: tuple[Figure, ...], reason: str) -> tuple[Figure, ...]:
    return tuple(unusable(figure, reason) for figure in figures)


def _named(figures: tuple[Figure, ...], last: tuple[str, ...], reason: str) -> tuple[Figure, ...]:
    """Return the figures, those without value whose id ends in one of these parts."""
    return tuple(unusable(one, reason) if one.id.rpartition(".")[2] in last else one for one in figures)


def _table(table: FigureTable, reason: str) -> FigureTable:
    return replace(table, rows=tuple((head, _all(cells, reason)) for head, cells in table.rows))


def _stage(stage: StageResult, reason: str) -> StageResult:
    return replace(stage, power=unusable(stage.power, reason), current=unusable(stage.current, reason))


def _window(window: FlowWindow, reason: str) -> FlowWindow:
    ends = unusable(window.least, reason), unusable(window.greatest, reason)
    return FlowWindow(window.number, *ends, Sentence(f"The supply does not fit the heater. {reason}"))


def _circuit(circuit: CircuitResult, reason: str) -> CircuitResult:
    tables = (_table(one, reason) if one.id.endswith(".voltage-drop") else one for one in circuit.tables)
    return replace(
        circuit,
        extra=_named(circuit.extra, CIRCUIT_FIGURES, reason),
        tables=tuple(tables),
        power_by_stage=_all(circuit.power_by_stage, reason),
    )


def _water(side: WaterSide, reason: str) -> WaterSide:
    tables = tuple(
        replace(one, rows=tuple((head, _named(cells, FIXTURE_FIGURES, reason)) for head, cells in one.rows))
        if one.id.endswith(".fixtures")
        else one
        for one in side.tables
    )
    return replace(side, figures=_named(side.figures, WATER_FIGURES, reason), tables=tables)


def _finding(found: Finding, cause: Finding) -> Finding:
    if found.rule not in REST_ON_POWER:
        return found
    severity: Severity = "stop" if found.rule == "hottest-water" else "attention"
    words = replace(found, severity=severity, found=Sentence(FOUND), do=Sentence(settle_first(cause)), values=())
    return (
        replace(words, case=NOT_JUDGED, values=(Value("cause", cause.rule, "text"),), lists={}) if found.case else words
    )

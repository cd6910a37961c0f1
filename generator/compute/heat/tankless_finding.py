"""The finding `tankless-limit`: the greatest temperature that plumbing codes allow of a tankless heater, anywhere.

Severity, and why:
- `stop`: the hottest water, as stated, passes it at the selected stage, and a fixture has no valve that holds its
  limit: near 140 degF skin burns in seconds, and a fixture whose kind has no limit of its own is held to nothing else.
- `attention`: every fixture has a mixing valve that holds its limit, or it is passed only with the selector turned up,
  or (`band`) only at the adverse end of the band, which no person can settle.
- `ok`: over the band no stage passes it, or no plumbing code is held for the site.
"""

from __future__ import annotations

from generator.compute.heat.balance import BALANCE
from generator.compute.heat.case import ThermalCase
from generator.compute.plumbing import plumbing
from generator.compute.severity import ATTENTION, OK, STOP
from generator.compute.sources import sources
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.compute.use.guard import guarded
from generator.model.figures import Finding, Severity, Value
from generator.model.finding_rules import Rule

_FOUND = ("hottest", "top", "supply", "cut_out", "flow", "stage", "limit")
TANKLESS = Rule(
    "tankless-limit",
    {case: _FOUND for case in ("within", "turned-up", "guarded", "band", "above")}
    | {"above-selector": (*_FOUND, "lower"), "not-held": ("hottest",)},
    stops=("above", "above-selector"),
)


def _judged(case: ThermalCase) -> tuple[str, Severity, int]:
    """Return the case, its severity and the place of the hottest water that it names."""
    place, limits = case.selected - 1, case.plumbing.limits
    most_k = limits.tankless_temperature.at_most_k
    if case.at_top[place].judged_k <= most_k:
        return ("within", OK, place) if case.at_top[-1].judged_k <= most_k else ("turned-up", ATTENTION, -1)
    limits_k = ((one, fixture_limit_k(one, case.default_limit_k, limits)) for one in case.site.fixtures)
    if all(guarded(one, limit_k, limits) for one, limit_k in limits_k):
        return "guarded", ATTENTION, place
    above = case.hottest[place].judged_k > most_k
    return ("above", STOP, place) if above else ("band", ATTENTION, place)


def tankless_finding(case: ThermalCase) -> Finding:
    """Return `tankless-limit`: the hottest water while throttling against the code's, whatever the fixture."""
    limit = case.plumbing.limits.tankless_temperature
    code = plumbing(limit.rule)
    name, severity, place = _judged(case)
    hottest, top = case.hottest[place], case.at_top[place]
    warmest = Value("hottest", hottest.temperature_k, "temperature", "at_least")
    if not case.plumbing.held:
        return TANKLESS.judge("not-held", OK, (warmest,), source=code).at(case.site.id)
    values: tuple[Value, ...] = (
        warmest,
        Value("top", top.temperature_k, "temperature", "at_least"),
        Value("supply", case.band.volts.greatest, "voltage", "at_least"),
        Value("flow", hottest.flow_m3_s, "flow", "at_most"),
        Value("stage", hottest.number, "count"),
        Value("limit", limit.at_most_k, "temperature", "at_most"),
    )
    if hottest.held:
        values += (Value("cut_out", case.model.water.cut_out_k, "temperature", "at_least"),)
    safe = [one.number for one in case.at_top if one.judged_k <= limit.at_most_k]
    if name == "above" and case.model.stage_selector and safe:
        name, values = "above-selector", (*values, Value("lower", max(safe), "count"))
    return TANKLESS.judge(name, severity, values, source=sources(code, BALANCE)).at(case.site.id)

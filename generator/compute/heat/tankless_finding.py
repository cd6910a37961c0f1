"""The finding `tankless-limit`: the greatest temperature that plumbing codes allow of a tankless heater, anywhere.

Severity, and why:
- `stop`: the hottest water passes it at the selected stage, and a fixture has no valve that holds its limit: near
  140 degF skin burns in seconds, and a fixture whose kind has no limit of its own is held to nothing else.
- `attention`: every fixture has a mixing valve that holds its limit, or it is passed only with the selector turned up.
- `ok`: no stage passes it, or no plumbing code is held for the site.
"""

from __future__ import annotations

from generator.compute.heat.balance import BALANCE
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.hottest import Hottest
from generator.compute.plumbing import plumbing
from generator.compute.severity import ATTENTION, OK, STOP
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.model.figures import Finding, Severity, Value
from generator.model.finding_rules import Rule

_FOUND = ("hottest", "cut_out", "flow", "stage", "limit")
TANKLESS = Rule(
    "tankless-limit",
    {case: _FOUND for case in ("within", "turned-up", "guarded", "above")}
    | {"above-selector": (*_FOUND, "lower"), "not-held": ("hottest",)},
)


def _judged(case: ThermalCase, selected: Hottest, greatest: Hottest) -> tuple[str, Severity, Hottest]:
    """Return the case, its severity and the hottest water that it names."""
    most_k = case.plumbing.limits.tankless_temperature.at_most_k
    if selected.judged_k <= most_k:
        return ("within", OK, selected) if greatest.judged_k <= most_k else ("turned-up", ATTENTION, greatest)
    limits = case.plumbing.limits
    if all(one.guarded(fixture_limit_k(one, case.default_limit_k, limits)) for one in case.site.fixtures):
        return "guarded", ATTENTION, selected
    return "above", STOP, selected


def tankless_finding(case: ThermalCase) -> Finding:
    """Return `tankless-limit`: the hottest water while throttling against the code's, whatever the fixture."""
    limit = case.plumbing.limits.tankless_temperature
    code = plumbing(limit.rule)
    name, severity, hottest = _judged(case, case.hottest[case.selected - 1], case.hottest[-1])
    warmest = Value("hottest", hottest.temperature_k, "temperature", "up")
    if not case.plumbing.held:
        return TANKLESS.judge("not-held", OK, (warmest,), source=code).at(case.site.id)
    values: tuple[Value, ...] = (
        warmest,
        Value("flow", hottest.flow_m3_s, "flow", "down"),
        Value("stage", hottest.number, "count"),
        Value("limit", limit.at_most_k, "temperature", "down"),
    )
    if hottest.held:
        values += (Value("cut_out", case.model.water.cut_out_k, "temperature", "up"),)
    safe = [one.number for one in case.hottest if one.judged_k <= limit.at_most_k]
    if name == "above" and case.model.stage_selector and safe:
        name, values = "above-selector", (*values, Value("lower", max(safe), "count"))
    return TANKLESS.judge(name, severity, values, source=f"{code}; {BALANCE}").at(case.site.id)

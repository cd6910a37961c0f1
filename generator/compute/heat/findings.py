"""The findings about temperatures at a site: hottest water, target, inlet, outlet of the model, stages without use.

Severity, and why (`hottest-water` in `scald_finding`, `target-reached` in `target_finding`):
- `inlet-limit`: `stop` when the warmest inlet passes the model's greatest: the maker's limit, for which its safety
  devices are set.
- `greatest-outlet`: `attention` when throttling can pass the model's greatest outlet: outside what the maker states,
  and near the cut-out, which will then trip in use.
- `stage-idle`: `attention` when neither a stage nor any above it has such a flow: its power serves no one, yet the
  circuit must carry it.
"""

from __future__ import annotations

from generator.compute.heat.balance import BALANCE
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.figures.window import why_empty
from generator.compute.heat.hottest_finding import hottest_water_finding
from generator.compute.heat.stages import NAMEPLATE
from generator.compute.heat.tankless_finding import tankless_finding
from generator.compute.heat.target_finding import WHY_CHOICES, WHY_EMPTY, target_finding
from generator.compute.severity import ATTENTION, OK, STOP, ok_or_attention
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule

_SAME_K = 1e-6  # 35 degC and 95 degF are one temperature, though not one float

_INLET = ("inlet", "top", "greatest")
INLET = Rule("inlet-limit", {"within": _INLET, "band": _INLET, "above": _INLET})
_OUTLET = ("hottest", "cut_out", "flow", "greatest")
OUTLET = Rule("greatest-outlet", {"within": _OUTLET, "above": _OUTLET, "above-selector": _OUTLET})
_IDLE = ("selected", "used", *WHY_EMPTY)
IDLE = Rule(
    "stage-idle",
    {"none": ("selected",), "all": ("selected",), "some": _IDLE, "some-selector": _IDLE},
    choices=WHY_CHOICES,
)


def inlet_limit_finding(case: ThermalCase) -> Finding:
    """Return `inlet-limit`: the warmest inlet against the model's greatest; `band` where only its margin passes."""
    warmest, greatest_k = case.band.warmest_k, case.model.water.greatest_inlet_k
    values: tuple[Value, ...] = (
        Value("inlet", warmest.nominal, "temperature", "up"),
        Value("greatest", greatest_k, "temperature", "down"),
    )
    if warmest.greatest > warmest.nominal:
        values += (Value("top", warmest.greatest, "temperature", "up"),)
    name, severity = "within", OK
    if warmest.greatest > greatest_k + _SAME_K:
        name, severity = "band", ATTENTION
    if warmest.nominal > greatest_k + _SAME_K:
        name, severity = "above", STOP
    return INLET.judge(name, severity, values, source=NAMEPLATE).at(case.site.id)


def outlet_finding(case: ThermalCase) -> Finding:
    """Return `greatest-outlet`: the hottest water while throttling against the model's greatest outlet."""
    hottest, greatest_k = case.hottest[case.selected - 1], case.model.water.greatest_outlet_k
    values: tuple[Value, ...] = (
        Value("hottest", hottest.temperature_k, "temperature", "up"),
        Value("flow", hottest.flow_m3_s, "flow", "down"),
        Value("greatest", greatest_k, "temperature", "down"),
    )
    if hottest.held:
        values += (Value("cut_out", case.model.water.cut_out_k, "temperature", "up"),)
    name, within = "within", hottest.temperature_k <= greatest_k
    if not within:
        name = "above-selector" if case.model.stage_selector else "above"
    return OUTLET.judge(name, ok_or_attention(within), values, source=f"{BALANCE}; {NAMEPLATE}").at(case.site.id)


def idle_finding(case: ThermalCase) -> Finding:
    """Return `stage-idle`: stages that can be selected, with no open flow window at them or above them."""
    values: tuple[Value, ...] = (Value("selected", case.selected, "count"),)
    last = max((window.number for window in case.windows[: case.selected] if window.usable), default=0)
    name = "none" if last == case.selected else "all"
    if 0 < last < case.selected:
        name = "some-selector" if case.model.stage_selector else "some"
        values += (Value("used", last, "count"), *why_empty(case.windows[case.selected - 1]).values)
    return IDLE.judge(name, ok_or_attention(name == "none"), values, source=BALANCE).at(case.site.id)


def thermal_findings(case: ThermalCase) -> tuple[Finding, ...]:
    """Return the findings of this module and `scald_finding`, in the order in which a reader needs them."""
    return (
        hottest_water_finding(case),
        tankless_finding(case),
        target_finding(case),
        inlet_limit_finding(case),
        outlet_finding(case),
        idle_finding(case),
    )

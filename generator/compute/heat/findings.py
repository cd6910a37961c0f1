"""The findings about temperatures at a site: hottest water, target, inlet, outlet of the model, stages without use.

Severity, and why (`hottest-water` in `scald_finding`, `target-reached` in `target_finding`):
- `inlet-limit`: `stop` when the warmest inlet passes the model's greatest: the maker's limit, for which its safety
  devices are set.
- `greatest-outlet`: `attention` when throttling can pass the model's greatest outlet: outside what the maker states,
  and near the cut-out, which will then trip in use. `band` where it does only at the top of the band, which no person
  can settle.
- `stage-idle`: `attention` when neither a stage nor any above it has such a flow: its power serves no one, yet the
  circuit must carry it.
"""

from __future__ import annotations

from generator.compute.heat.balance import BALANCE
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.empty import empty_values
from generator.compute.heat.hottest import holds_to_v
from generator.compute.heat.hottest_finding import hottest_water_finding
from generator.compute.heat.tankless_finding import tankless_finding
from generator.compute.heat.target_finding import WHY_CHOICES, WHY_EMPTY, target_finding
from generator.compute.severity import ATTENTION, OK, STOP, ok_or_attention
from generator.compute.sources import NAMEPLATE, sources
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule

_SAME_K = 1e-6  # 35 degC and 95 degF are one temperature, though not one float

_INLET = ("inlet", "top", "greatest")
INLET = Rule("inlet-limit", {"within": _INLET, "band": _INLET, "above": _INLET}, stops=("above",))
_OUTLET = ("hottest", "top", "top_held", "cut_out", "flow", "greatest")
OUTLET = Rule(
    "greatest-outlet",
    {"within": _OUTLET, "band": (*_OUTLET, "holds"), "above": _OUTLET, "above-selector": _OUTLET},
)
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
        Value("inlet", warmest.nominal, "temperature"),
        Value("greatest", greatest_k, "temperature", "at_most"),
    )
    if warmest.greatest > warmest.nominal:
        values += (Value("top", warmest.greatest, "temperature", "at_least"),)
    name, severity = "within", OK
    if warmest.greatest > greatest_k + _SAME_K:
        name, severity = "band", ATTENTION
    if warmest.nominal > greatest_k + _SAME_K:
        name, severity = "above", STOP
    return INLET.judge(name, severity, values, source=NAMEPLATE).at(case.site.id)


def outlet_finding(case: ThermalCase) -> Finding:
    """Return `greatest-outlet`: the hottest water while throttling against the model's greatest outlet, over the band.

    `holds`: up to which supply it is kept, where a stated range of it clears this.
    """
    place, greatest_k = case.selected - 1, case.model.water.greatest_outlet_k
    hottest, top = case.hottest[place], case.at_top[place]
    values: tuple[Value, ...] = (
        Value("hottest", hottest.temperature_k, "temperature", "at_least"),
        Value("top_held" if top.held else "top", top.temperature_k, "temperature", "at_least"),
        Value("flow", hottest.flow_m3_s, "flow", "at_most"),
        Value("greatest", greatest_k, "temperature", "at_most"),
    )
    if hottest.held:
        values += (Value("cut_out", case.model.water.cut_out_k, "temperature", "at_least"),)
    name = "within" if top.temperature_k <= greatest_k else "band"
    if hottest.temperature_k > greatest_k:
        name = "above-selector" if case.model.stage_selector else "above"
    volts = holds_to_v(case.model, case.selected, phases=case.site.supply.phases, band=case.band, limit_k=greatest_k)
    if name == "band" and volts >= case.band.volts.nominal:
        values += (Value("holds", volts, "voltage", "at_most"),)
    source = sources(BALANCE, NAMEPLATE)
    return OUTLET.judge(name, ok_or_attention(name == "within"), values, source=source).at(case.site.id)


def idle_finding(case: ThermalCase) -> Finding:
    """Return `stage-idle`: stages that can be selected, with no open flow window at them or above them."""
    values: tuple[Value, ...] = (Value("selected", case.selected, "count"),)
    last = max((window.number for window in case.windows[: case.selected] if window.usable), default=0)
    name = "none" if last == case.selected else "all"
    if 0 < last < case.selected:
        name = "some-selector" if case.model.stage_selector else "some"
        values += (Value("used", last, "count"), *empty_values(case.windows[case.selected - 1]))
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

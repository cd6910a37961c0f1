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

from generator.compute.finding import finding
from generator.compute.heat.balance import BALANCE
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.figures.window import why_empty
from generator.compute.heat.hottest_finding import hottest_water_finding
from generator.compute.heat.stages import NAMEPLATE
from generator.compute.heat.target_finding import target_finding
from generator.model.figures import Finding, Severity, Value

_INLET_WHY = "Water that enters warmer than the maker allows leaves hotter at every flow and brings the cut-out nearer."
_OUTLET_WHY = "A flow that still holds stages closed can be too small for their power; the cut-out then trips in use."
_IDLE_WHY = "A stage without a flow that is active, safe and warm enough serves no one, yet its circuit must carry it."

_SAME_K = 1e-6  # 35 degC and 95 degF are one temperature, though not one float
Found = tuple[str, tuple[Value, ...]]


def inlet_finding(case: ThermalCase) -> Finding:
    """Return `inlet-limit`: the warmest inlet against the model's greatest inlet."""
    warmest_k, greatest_k = case.season.warmest_k, case.model.water.greatest_inlet_k
    values = (
        Value("inlet", warmest_k, "temperature", "up"),
        Value("greatest", greatest_k, "temperature", "down"),
    )
    found = ("The warmest inlet is {inlet}; the model takes water up to {greatest}.", values)
    severity: Severity = "stop" if warmest_k > greatest_k + _SAME_K else "ok"
    do = (
        "Measure the inlet in summer." if severity == "ok" else "Feed the heater from the cold main, or choose another."
    )
    return finding(case.site, "inlet-limit", severity, found, _INLET_WHY, do, NAMEPLATE)


def outlet_finding(case: ThermalCase) -> Finding:
    """Return `greatest-outlet`: the hottest water while throttling against the model's greatest outlet."""
    hottest, greatest_k = case.hottest[case.selected - 1], case.model.water.greatest_outlet_k
    values = (
        Value("hottest", hottest.temperature_k, "temperature", "up"),
        Value("flow", hottest.flow_m3_s, "flow", "down"),
        Value("greatest", greatest_k, "temperature", "down"),
    )
    more = " or more" if hottest.held else ""
    found = (
        f"Throttled to {{flow}} the outlet reaches {{hottest}}{more}; the model's greatest is {{greatest}}.",
        values,
    )
    severity: Severity = "attention" if hottest.temperature_k > greatest_k else "ok"
    do = "Nothing."
    if severity == "attention":
        lower = "Select a lower stage, or fit" if case.model.stage_selector else "Fit"
        do = f"{lower} an outlet with a fixed flow that users cannot turn down."
    return finding(case.site, "greatest-outlet", severity, found, _OUTLET_WHY, do, f"{BALANCE}; {NAMEPLATE}")


def idle_finding(case: ThermalCase) -> Finding:
    """Return `stage-idle`: stages that can be selected, with no open flow window at them or above them."""
    selected = Value("selected", case.selected, "count")
    last = max((window.number for window in case.windows[: case.selected] if window.usable), default=0)
    severity: Severity = "ok" if last == case.selected else "attention"
    do, why = "Nothing.", why_empty(case.windows[case.selected - 1])
    if severity == "ok":
        found: Found = ("Each of the {selected} stages in use has a flow window, or serves one above it.", (selected,))
    elif last == 0:
        found = ("None of the {selected} stages in use has a flow window that can be set.", (selected,))
        do = "Settle the finding target-reached first."
    else:
        template = "Of {selected} stages in use only the first {used} have a flow window that can be set."
        found = (f"{template} {why.template}", (selected, Value("used", last, "count"), *why.values))
        lower = f"Select stage {last}" if case.model.stage_selector else "Choose a heater of less power"
        do = f"{lower}, or choose a higher target if it is safe."
    return finding(case.site, "stage-idle", severity, found, _IDLE_WHY, do, BALANCE)


def thermal_findings(case: ThermalCase) -> tuple[Finding, ...]:
    """Return the findings of this module and `scald_finding`, in the order in which a reader needs them."""
    return (
        hottest_water_finding(
            case.site,
            case.model,
            case.hottest,
            case.season.warmest_k,
            case.default_limit_k,
            case.family,
            case.obstacles,
        ),
        target_finding(case),
        inlet_finding(case),
        outlet_finding(case),
        idle_finding(case),
    )

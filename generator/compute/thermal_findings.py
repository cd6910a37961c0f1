"""The findings about temperatures at a site: hottest water, target, inlet, outlet of the model, stages without use.

Severity, and why (`hottest-water` in `scald_finding`):
- `target-reached`: `stop` when no stage has a flow that closes it and brings winter water to the target, with the power
  that the circuit's voltage drop leaves: the heater cannot do what it was chosen for. `attention` when one flow cannot
  serve both seasons, since what is warm enough in winter passes a limit in summer, or when only a stage above the
  selected one reaches the target.
- `inlet-limit`: `stop` when the warmest inlet passes the model's greatest: the maker's limit, for which its safety
  devices are set.
- `greatest-outlet`: `attention` when throttling can pass the model's greatest outlet: outside what the maker states,
  and near the cut-out, which will then trip in use.
- `stage-idle`: `attention` when neither a stage nor any above it has such a flow: its power serves no one, yet the
  circuit must carry it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.compute.delivered import Powers
from generator.compute.finding import finding
from generator.compute.flow_window import GREATEST_OUTLET, LIMIT, TARGET
from generator.compute.heating import BALANCE, flow_for_outlet_m3_s
from generator.compute.scald import Hottest, selected_stage
from generator.compute.scald_finding import Family, hottest_water_finding
from generator.compute.stages import NAMEPLATE
from generator.model.figures import Finding, Sentence, Severity, Value
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow
from generator.model.site import Site

_TARGET_WHY = (
    "The flow must close the stage, keep the summer outlet within the limits and the winter outlet at the target."
)
_INLET_WHY = "Water that enters warmer than the maker allows leaves hotter at every flow and brings the cut-out nearer."
_OUTLET_WHY = "A flow that still holds stages closed can be too small for their power; the cut-out then trips in use."
_IDLE_WHY = "A stage without a flow that is active, safe and warm enough serves no one, yet its circuit must carry it."

_SAME_K = 1e-6  # 35 degC and 95 degF are one temperature, though not one float
Found = tuple[str, tuple[Value, ...]]


@dataclass(frozen=True, slots=True)
class ThermalCase:
    """A site's thermal side: powers by stage, windows and hottest water for every stage of the model;
    coldest and warmest inlet, target, the handbook's limit [K]; the family of the site's code basis."""

    site: Site
    model: HeaterModel
    powers: Powers
    windows: tuple[FlowWindow, ...]
    hottest: tuple[Hottest, ...]
    winter_k: float
    summer_k: float
    target_k: float
    default_limit_k: float
    family: Family

    @property
    def selected(self) -> int:
        """The most stages that close at the site."""
        return selected_stage(self.site, self.model)


def is_open(window: FlowWindow) -> bool:
    """Return whether some flow lies in the window."""
    return window.why_empty is None


def _seasonal(case: ThermalCase) -> FlowWindow | None:
    """Return a window that is empty only because its winter flow passes a limit in summer, in reach of the site's
    selection if there is one."""
    for window in (*reversed(case.windows[: case.selected]), *case.windows[case.selected :]):
        by_season = window.least.reason in (LIMIT, GREATEST_OUTLET) and window.greatest.reason == TARGET
        closes_at = case.model.stages[window.number - 1].closes_at_m3_s
        if by_season and closes_at <= _greatest_m3_s(case, case.powers.reach_w[window.number - 1]):
            return window
    return None


def _greatest_m3_s(case: ThermalCase, power_w: float) -> float:
    """Return the greatest flow [m3/s] that this power takes to the target in winter; infinite where it is as warm."""
    if case.winter_k >= case.target_k:
        return math.inf
    return flow_for_outlet_m3_s(case.winter_k, case.target_k, power_w)


def _drop_alone(case: ThermalCase) -> bool:
    """Return whether some stage in use has no window only because of the voltage drop."""
    for window, full_w in zip(case.windows[: case.selected], case.powers.full_w, strict=False):
        values = window.why_empty.values if window.why_empty else ()
        least = [float(value.value) for value in values if value.symbol == "least"]
        others = (step.result.value for step in window.greatest.steps[1:-1])
        greatest = min(_greatest_m3_s(case, full_w), *(flow for flow in others if isinstance(flow, float)), math.inf)
        if least and least[0] <= greatest:
            return True
    return False


def _common(case: ThermalCase, window: FlowWindow) -> tuple[Value, ...]:
    """Return what a sentence about the target at a stage names: target, inlet, stage, and the power left for it."""
    return (
        Value("target", case.target_k, "temperature"),
        Value("inlet", case.winter_k, "temperature", "down"),
        Value("stage", window.number, "count"),
        Value("power", case.powers.reach_w[window.number - 1], "power", "down"),
    )


def _unreached(case: ThermalCase, window: FlowWindow) -> Found:
    """Return why the target is out of reach, by an empty window."""
    template = "No stage has one flow that is active, safe in summer and reaches {target} from {inlet} in winter."
    why = window.why_empty or Sentence("")
    at_stage = "At stage {stage}, which has {power} left after the voltage drop:"
    return (f"{template} {at_stage} {why.template}", (*_common(case, window), *why.values))


def _reached(case: ThermalCase, window: FlowWindow) -> Found:
    """Return the window in which the target is reached."""
    values = [*_common(case, window), Value("least", float(window.least.value or 0.0), "flow", "up")]
    template = (
        "At the winter inlet of {inlet}, with the {power} that the voltage drop leaves it, stage {stage} reaches "
        "{target} from {least}"
    )
    if window.greatest.value is None:
        return (f"{template} upward.", tuple(values))
    values.append(Value("greatest", window.greatest.value, "flow", "down"))
    return (f"{template} to {{greatest}}.", tuple(values))


def _each_season(model: HeaterModel) -> str:
    """Return what to do where one flow cannot serve both seasons."""
    setting = "stage and flow" if model.stage_selector else "the flow"
    return (
        f"Lower the target, or set {setting} anew each season and measure the outlet each time. A mixing valve guards "
        "against scalding, but at a fixed flow no share of hot and cold makes one setting serve both seasons."
    )


def target_finding(case: ThermalCase) -> Finding:
    """Return `target-reached`: whether, and at which lowest stage, winter water reaches the target safely."""
    usable, seasonal = [window for window in case.windows if is_open(window)], _seasonal(case)
    severity: Severity = "attention"
    if usable and usable[0].number <= case.selected:
        severity, found = "ok", _reached(case, usable[0])
        do = "Set the flow on the outlet side, within the window of the stage in use, and measure the outlet."
    elif usable:
        found = _reached(case, usable[0])
        do = f"Select stage {usable[0].number}, once the hottest water at that stage is found safe."
    elif seasonal:
        found = _unreached(case, seasonal)
        do = _each_season(case.model)
    else:
        severity, found = "stop", _unreached(case, case.windows[case.selected - 1])
        do = "Choose a heater with more power at this supply voltage or with lower closing flows, or lower the target."
        if _drop_alone(case):
            do = f"Lay larger conductors (see `voltage-drop`): without the drop a stage would reach it. Or: {do}"
    return finding(case.site, "target-reached", severity, found, _TARGET_WHY, do, BALANCE)


def inlet_finding(case: ThermalCase) -> Finding:
    """Return `inlet-limit`: the warmest inlet against the model's greatest inlet."""
    greatest_k = case.model.water.greatest_inlet_k
    values = (Value("inlet", case.summer_k, "temperature", "up"), Value("greatest", greatest_k, "temperature", "down"))
    found = ("The warmest inlet is {inlet}; the model takes water up to {greatest}.", values)
    severity: Severity = "stop" if case.summer_k > greatest_k + _SAME_K else "ok"
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
    found = ("Throttled to {flow} the outlet reaches {hottest}; the model's greatest is {greatest}.", values)
    severity: Severity = "attention" if hottest.temperature_k > greatest_k else "ok"
    do = "Measure the outlet at the lowest flow at which the heater heats, and record it."
    if severity == "attention":
        lower = "Select a lower stage, or fit" if case.model.stage_selector else "Fit"
        do = f"{lower} an outlet with a fixed flow that users cannot turn down."
    return finding(case.site, "greatest-outlet", severity, found, _OUTLET_WHY, do, f"{BALANCE}; {NAMEPLATE}")


def idle_finding(case: ThermalCase) -> Finding:
    """Return `stage-idle`: stages that can be selected, with no open flow window at them or above them."""
    selected = Value("selected", case.selected, "count")
    last = max((window.number for window in case.windows[: case.selected] if is_open(window)), default=0)
    severity: Severity = "ok" if last == case.selected else "attention"
    do, why = "Nothing.", case.windows[case.selected - 1].why_empty or Sentence("")
    if severity == "ok":
        found: Found = ("Each of the {selected} stages in use has a flow window, or serves one above it.", (selected,))
    elif last == 0:
        found = ("None of the {selected} stages in use has a flow window.", (selected,))
        do = "Settle the finding target-reached first."
    else:
        template = f"Of {{selected}} stages in use only the first {{used}} have a flow window. {why.template}"
        found = (template, (selected, Value("used", last, "count"), *why.values))
        lower = f"Select stage {last}" if case.model.stage_selector else "Choose a heater of less power"
        do = f"{lower}, or choose a higher target if it is safe."
    return finding(case.site, "stage-idle", severity, found, _IDLE_WHY, do, BALANCE)


def thermal_findings(case: ThermalCase) -> tuple[Finding, ...]:
    """Return the findings of this module and `scald_finding`, in the order in which a reader needs them."""
    return (
        hottest_water_finding(case.site, case.model, case.hottest, case.default_limit_k, case.family),
        target_finding(case),
        inlet_finding(case),
        outlet_finding(case),
        idle_finding(case),
    )

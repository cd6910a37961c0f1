"""The finding `target-reached`: whether winter water reaches the target, safely in summer, at a flow one can set.

Severity, and why:
- `stop`: no stage has such a flow, with the power that the circuit's voltage drop leaves: the heater cannot do what it
  was chosen for. Or the warmest inlet is already as warm as the water may be: no flow is enough, whatever heats it.
- `attention`: one flow cannot serve both seasons, since what is warm enough in winter passes a limit in summer; or the
  flows that serve lie closer together than one can set; or only a stage other than the one selected serves; or the
  coldest inlet is as warm as the target, which is then likely a slip.
- `ok`: the stage selected serves; without a selector, any stage.
"""

from __future__ import annotations

import math

from generator.compute.finding import finding
from generator.compute.flow.operating_point import GREATEST_PRESSURE, LEAST_PRESSURE, SUPPLY_LIMIT
from generator.compute.heat.balance import BALANCE, flow_for_outlet_m3_s
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.figures.window import why_empty
from generator.compute.heat.hottest_finding import COOL_THE_FEED
from generator.compute.heat.window import GREATEST_OUTLET, LIMIT, TARGET, Window
from generator.compute.use.fixture_findings import LOOK_AT_TARGET
from generator.model.figures import Finding, Severity, Value
from generator.model.heater import HeaterModel

_TARGET_WHY = (
    "The flow must close the stage, keep the summer outlet within the limits and the winter outlet at the target."
)
Found = tuple[str, tuple[Value, ...]]


def _seasonal(case: ThermalCase) -> Window | None:
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
    if case.season.coldest_k >= case.limits.target_k:
        return math.inf
    return flow_for_outlet_m3_s(case.season.coldest_k, case.limits.target_k, power_w)


def _drop_alone(case: ThermalCase) -> bool:
    """Return whether some stage in use has no window only because of the voltage drop."""
    for window, full_w in zip(case.windows[: case.selected], case.powers.full_w, strict=False):
        others = (bound.flow_m3_s for bound in window.greatest_bounds if bound.reason != TARGET)
        greatest_m3_s = min(_greatest_m3_s(case, full_w), *others, math.inf)
        if window.empty and math.isfinite(window.least.flow_m3_s) and window.least.flow_m3_s <= greatest_m3_s:
            return True
    return False


def _common(case: ThermalCase, window: Window) -> tuple[Value, ...]:
    """Return what a sentence about the target at a stage names: target, inlet, stage, and the power left for it."""
    return (
        Value("target", case.limits.target_k, "temperature"),
        Value("inlet", case.season.coldest_k, "temperature", "down"),
        Value("stage", window.number, "count"),
        Value("power", case.powers.reach_w[window.number - 1], "power", "down"),
    )


def _unreached(case: ThermalCase, window: Window) -> Found:
    """Return why the target is out of reach, by a window that is empty or too narrow."""
    why = why_empty(window)
    flow = "a range of flow wide enough to set" if window.narrow else "one flow"
    template = f"No stage has {flow} that is active, safe in summer and reaches {{target}} from {{inlet}} in winter."
    at_stage = "At stage {stage}, which has {power} left after the voltage drop:"
    return (f"{template} {at_stage} {why.template}", (*_common(case, window), *why.values))


def _reached(case: ThermalCase, window: Window) -> Found:
    """Return the window in which the target is reached."""
    values = [*_common(case, window), Value("from", window.least.flow_m3_s, "flow", "up")]
    template = (
        "At the winter inlet of {inlet}, with the {power} that the voltage drop leaves it, stage {stage} reaches "
        "{target} from {from}"
    )
    if math.isinf(window.greatest.flow_m3_s):
        return (f"{template} upward.", tuple(values))
    values.append(Value("to", window.greatest.flow_m3_s, "flow", "down"))
    return (f"{template} to {{to}}.", tuple(values))


def _by_another(case: ThermalCase, window: Window) -> Found:
    """Return why the stage in use does not serve, and the window of the stage that would."""
    in_use = case.windows[case.selected - 1]
    why, (reaches, values) = why_empty(in_use), _reached(case, window)
    return (
        f"Stage {{in_use}}, the one selected, does not serve: {why.template} {reaches}",
        (Value("in_use", in_use.number, "count"), *why.values, *values),
    )


def _serving(case: ThermalCase) -> Window | None:
    """Return the window to name: the stage selected, else the next lower usable one, else the next higher.

    Without a selector every stage is in use at its own flow, and the highest usable one is named.
    """
    in_reach = [window for window in case.windows[: case.selected] if window.usable]
    beyond = [window for window in case.windows[case.selected :] if window.usable]
    return in_reach[-1] if in_reach else next(iter(beyond), None)


def _each_season(model: HeaterModel) -> str:
    """Return what to do where one flow cannot serve both seasons."""
    setting = "stage and flow" if model.stage_selector else "the flow"
    return (
        f"Lower the target, or set {setting} anew each season and measure the outlet each time. A mixing valve guards "
        "against scalding, but at a fixed flow no share of hot and cold makes one setting serve both seasons."
    )


def _by_pressure(window: Window) -> str:
    """Return what to do where the pressure, not the heater's power, leaves the stage no flow; else nothing."""
    if window.least.reason == GREATEST_PRESSURE:
        return (
            "Fit a pressure-reducing valve before the heater (see `static-pressure`), then judge this again with the "
            "pressure it leaves."
        )
    if window.greatest.reason in (LEAST_PRESSURE, SUPPLY_LIMIT):
        return (
            "Raise the supply pressure, or use wider or shorter pipe (see `working-pressure`), then judge this again; "
            "more power would not help while the water does not flow."
        )
    return ""


def _out_of_reach(case: ThermalCase) -> tuple[Severity, Found, str]:
    """Return severity, what was found and what to do where no stage has a usable window."""
    seasonal, in_use = _seasonal(case), case.windows[case.selected - 1]
    if seasonal:
        return "attention", _unreached(case, seasonal), _each_season(case.model)
    narrow = next((window for window in reversed(case.windows) if window.narrow), None)
    if narrow:
        do = "Lower the target, which widens the window: as it is a small change of flow, inlet or voltage leaves it."
        return "attention", _unreached(case, narrow), do
    do = "Choose a heater with more power at this supply voltage or with lower closing flows, or lower the target."
    if _drop_alone(case):
        do = f"Lay larger conductors (see `voltage-drop`): without the drop a stage would reach it. Or: {do}"
    return "stop", _unreached(case, in_use), _by_pressure(in_use) or do


def _too_warm(case: ThermalCase) -> Found:
    inlet = Value("summer_inlet", case.season.warmest_k, "temperature", "up")
    allowed = Value("hottest_allowed", case.limits.allowed_k, "temperature", "down")
    return "The summer inlet of {summer_inlet} is not below {hottest_allowed}, so no flow is enough.", (inlet, allowed)


def _no_need(case: ThermalCase) -> Found:
    inlet = Value("inlet", case.season.coldest_k, "temperature", "down")
    template = (
        "The winter inlet of {inlet} is as warm as the target of {target}: the cold water is warm enough already."
    )
    return template, (inlet, Value("target", case.limits.target_k, "temperature"))


def target_finding(case: ThermalCase) -> Finding:
    """Return `target-reached`: whether winter water reaches the target safely at the stage in use, or at another."""
    if case.season.warmest_k >= case.limits.allowed_k:
        return finding(case.site, "target-reached", "stop", _too_warm(case), _TARGET_WHY, COOL_THE_FEED, BALANCE)
    if case.season.coldest_k >= case.limits.target_k:
        return finding(case.site, "target-reached", "attention", _no_need(case), _TARGET_WHY, LOOK_AT_TARGET, BALANCE)
    serving = _serving(case)
    if serving is None:
        severity, found, do = _out_of_reach(case)
    elif serving.number == case.selected or not case.model.stage_selector:
        severity, found = "ok", _reached(case, serving)
        do = "Set the flow on the outlet side, within the window of the stage in use, and measure the outlet."
    else:
        severity, found = "attention", _by_another(case, serving)
        do = f"Select stage {serving.number}, once the hottest water at that stage is found safe."
    return finding(case.site, "target-reached", severity, found, _TARGET_WHY, do, BALANCE)

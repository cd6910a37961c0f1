"""The finding `target-reached`: whether winter water reaches the target, safely in summer, at a flow one can set.

Severity, and why:
- `stop`: no stage has such a flow, with the power that the circuit's voltage drop leaves: the heater cannot do what it
  was chosen for. Or the warmest inlet is already as warm as the water may be: no flow is enough, whatever heats it.
- `attention`: one flow cannot serve both seasons, since what is warm enough in winter passes a limit in summer; or the
  flows that serve lie closer together than one can set; or only a stage other than the one selected serves; or the
  coldest inlet is as warm as the target, which is then likely a slip.
  Or the fixtures run at a flow outside the window of the stage that is on there.
- `ok`: the stage selected serves, at the flow of the fixtures; without a selector, any stage.
"""

from __future__ import annotations

import math

from generator.compute.heat.balance import BALANCE, flow_for_outlet_m3_s
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.empty import empty_values
from generator.compute.heat.stages import closed_stages
from generator.compute.heat.window import Window
from generator.compute.severity import ATTENTION, OK, STOP
from generator.model.figures import Finding, Severity, Value
from generator.model.finding_rules import Rule
from generator.model.water_results import (
    BOUNDS,
    GREATEST_OUTLET,
    GREATEST_PRESSURE,
    LEAST_PRESSURE,
    LIMIT,
    SUPPLY_LIMIT,
    TARGET,
)

WHY_EMPTY = ("summer_inlet", "hottest_allowed", "least", "for_least", "greatest", "for_greatest", "about", "settable")
WHY_CHOICES = {"for_least": BOUNDS, "for_greatest": BOUNDS}
_COMMON = ("target", "inlet", "stage", "power")
_REACHED, _UNREACHED = (*_COMMON, "from", "to"), (*_COMMON, *WHY_EMPTY)
TARGET_REACHED = Rule(
    "target-reached",
    {
        "warm-inlet": ("summer_inlet", "hottest_allowed"),
        "no-need": ("target", "inlet"),
        "reached": _REACHED,
        "flow-below": (*_REACHED, "working"),
        "flow-above": (*_REACHED, "working"),
        "other-stage": ("in_use", *_REACHED, *WHY_EMPTY),
        "seasons": _UNREACHED,
        "seasons-selector": _UNREACHED,
        "narrow": _UNREACHED,
        "pressure-too-high": _UNREACHED,
        "pressure-too-low": _UNREACHED,
        "drop-too-great": _UNREACHED,
        "out-of-reach": _UNREACHED,
    },
    choices=WHY_CHOICES,
    stops=("warm-inlet", "drop-too-great", "out-of-reach", "pressure-too-high", "pressure-too-low"),
)
# Two texts of one flow are not one float.
_SLACK = 1.0 + 1e-9
Found = tuple[str, Severity, tuple[Value, ...]]


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
        Value("inlet", case.season.coldest_k, "temperature"),
        Value("stage", window.number, "count"),
        Value("power", case.powers.reach_w[window.number - 1], "power", "at_most"),
    )


def _reached(case: ThermalCase, window: Window) -> tuple[Value, ...]:
    """Return the window in which the target is reached."""
    least, greatest_m3_s = Value("from", window.least.flow_m3_s, "flow", "at_least"), window.greatest.flow_m3_s
    ends = (least,) if math.isinf(greatest_m3_s) else (least, Value("to", greatest_m3_s, "flow", "at_most"))
    return (*_common(case, window), *ends)


def _serving(case: ThermalCase) -> Window | None:
    """Return the window to name: the stage selected, else the next lower usable one, else the next higher.

    Without a selector every stage is in use at its own flow, and the highest usable one is named.
    """
    in_reach = [window for window in case.windows[: case.selected] if window.usable]
    beyond = [window for window in case.windows[case.selected :] if window.usable]
    return in_reach[-1] if in_reach else next(iter(beyond), None)


def _out_of_reach(case: ThermalCase) -> Found:
    """Return what was found where no stage has a usable window, by one that is empty or too narrow."""
    seasonal, in_use = _seasonal(case), case.windows[case.selected - 1]
    if seasonal:
        name = "seasons-selector" if case.model.stage_selector else "seasons"
        return name, ATTENTION, (*_common(case, seasonal), *empty_values(seasonal))
    narrow = next((window for window in reversed(case.windows) if window.narrow), None)
    if narrow:
        return "narrow", ATTENTION, (*_common(case, narrow), *empty_values(narrow))
    name = "drop-too-great" if _drop_alone(case) else "out-of-reach"
    if in_use.least.reason == GREATEST_PRESSURE:
        name = "pressure-too-high"
    elif in_use.greatest.reason in (LEAST_PRESSURE, SUPPLY_LIMIT):
        name = "pressure-too-low"
    return name, STOP, (*_common(case, in_use), *empty_values(in_use))


def _at_work(case: ThermalCase, serving: Window) -> Found:
    """Return what was found where a window serves: whether the fixtures run within that of the stage then on."""
    flow = case.working_m3_s
    if not flow:
        return "reached", OK, _reached(case, serving)
    on = max(closed_stages(flow, case.model, case.selected), default=serving.number)
    window = case.windows[on - 1] if case.windows[on - 1].usable else serving
    if window.least.flow_m3_s <= flow * _SLACK and flow <= window.greatest.flow_m3_s * _SLACK:
        return "reached", OK, _reached(case, window)
    name = "flow-below" if flow < window.least.flow_m3_s else "flow-above"
    return name, ATTENTION, (*_reached(case, window), Value("working", flow, "flow"))


def _found(case: ThermalCase) -> Found:
    inlet = Value("inlet", case.season.coldest_k, "temperature")
    if case.season.warmest_k >= case.limits.allowed_k:
        summer = Value("summer_inlet", case.season.warmest_k, "temperature")
        return "warm-inlet", STOP, (summer, Value("hottest_allowed", case.limits.allowed_k, "temperature", "at_most"))
    if case.season.coldest_k >= case.limits.target_k:
        return "no-need", ATTENTION, (inlet, Value("target", case.limits.target_k, "temperature"))
    serving, in_use = _serving(case), case.windows[case.selected - 1]
    if serving is None:
        return _out_of_reach(case)
    if serving.number == case.selected or not case.model.stage_selector:
        return _at_work(case, serving)
    values = (Value("in_use", in_use.number, "count"), *empty_values(in_use), *_reached(case, serving))
    return "other-stage", ATTENTION, values


def target_finding(case: ThermalCase) -> Finding:
    """Return `target-reached`: whether winter water reaches the target safely at the stage in use, or at another."""
    name, severity, values = _found(case)
    return TARGET_REACHED.judge(name, severity, values, source=BALANCE).at(case.site.id)

"""The flow windows with their working, and why one is empty."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from generator.compute.circuit.delivered import NOTE
from generator.compute.heat import balance as heating
from generator.compute.heat.stages import NAMEPLATE
from generator.compute.heat.window import Bound, Window, model_least_bounds
from generator.compute.verdict.set_flow import least_width_m3_s
from generator.model.figures import Figure, Sentence, Side, Step, Value
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow
from generator.model.water_results import CLOSES, TARGET


def window_figures(prefix: str, window: Window) -> FlowWindow:
    """Return the ends of a window with working; ids `<prefix>.window.<number>.least` and `.greatest`.

    One that holds no flow to set has state "none" at both ends and `why_empty`; a greatest end without any bound has
    state "no-bound".
    """
    id_, label = f"{prefix}.window.{window.number}", f"flow, stage {window.number}"
    least = _end(f"{id_}.least", f"Least {label}", window.least_bounds, side="up")
    greatest = _end(f"{id_}.greatest", f"Greatest {label}", window.greatest_bounds, side="down")
    if window.usable:
        return FlowWindow(window.number, least, greatest)
    least, greatest = (replace(end, value=None, state="none") for end in (least, greatest))
    return FlowWindow(window.number, least, greatest, why_empty(window), window.narrow)


def least_flow_figures(prefix: str, model: HeaterModel) -> tuple[Figure, ...]:
    """Return per stage the least flow that closes it and keeps the outlet within the model's greatest.

    Ids `<prefix>.stage.<n>.least-flow`.
    """
    return tuple(
        _end(f"{prefix}.stage.{number}.least-flow", f"Least flow, stage {number}", bounds, side="up")
        for number, bounds in enumerate(model_least_bounds(model), start=1)
    )


def why_empty(window: Window) -> Sentence:
    """Return why a window holds no flow that a hand can set, a shared sentence with its numbers; of another nothing."""
    least, greatest = window.least, window.greatest
    for_least = Value("for_least", least.reason, "text")
    if window.usable:
        return Sentence("")
    if window.narrow:
        about = Value("about", greatest.flow_m3_s, "flow")
        width_m3_s = least_width_m3_s(greatest.flow_m3_s, window.setting)
        return Sentence("", (about, Value("settable", width_m3_s, "flow", "up")), "window-narrow")
    if math.isinf(least.flow_m3_s):
        heated = [bound.heating for bound in window.least_bounds if bound.heating]
        warm = next((one for one in heated if one.needless), None)
        if warm is None:
            return Sentence("", (for_least,), "window-no-flow")
        inlet = Value("summer_inlet", warm.inlet_k, "temperature", "up")
        hottest = Value("hottest_allowed", min(one.outlet_k for one in heated), "temperature", "down")
        return Sentence("", (inlet, hottest), "window-warm-inlet")
    at_least = Value("least", least.flow_m3_s, "flow", "up")
    at_most = Value("greatest", greatest.flow_m3_s, "flow", "down")
    values = (at_least, for_least, at_most, Value("for_greatest", greatest.reason, "text"))
    return Sentence("", values, "window-crossed")


def _end(id_: str, label: str, bounds: Sequence[Bound], *, side: Side) -> Figure:
    """Return the figure of one end: the greatest of the least bounds, or the least of the greatest ones."""
    formula, pick = ("Q_least = max(Q)", max) if side == "up" else ("Q_greatest = min(Q)", min)
    governing = pick(bounds, key=lambda bound: bound.flow_m3_s)
    steps = tuple(_step(bound, side) for bound in bounds)
    reason, flow_m3_s = governing.reason, governing.flow_m3_s
    if math.isinf(flow_m3_s):
        return Figure(id_, label, None, "flow", side, steps, "no-bound", reason)
    finite = tuple(step.result for step, bound in zip(steps, bounds, strict=True) if math.isfinite(bound.flow_m3_s))
    chosen = Step(formula, finite, Value(formula.split()[0], flow_m3_s, "flow", side), reason)
    return Figure(id_, label, flow_m3_s, "flow", side, (*steps, chosen), "ok", reason)


def _step(bound: Bound, side: Side) -> Step:
    """Return the working of one bound."""
    if bound.heating is not None:
        step = _heating_step(bound, bound.heating, side)
        return replace(step, note=f"{TARGET}; {NOTE}") if bound.reason == TARGET else step
    if bound.reason == CLOSES:
        return Step("Q_close", (), Value("Q", bound.flow_m3_s, "flow", "up"), NAMEPLATE)
    known = math.isfinite(bound.flow_m3_s)
    result = Value("Q", bound.flow_m3_s, "flow", side) if known else Value("Q", "none", "text")
    return Step("Q", (), result, bound.reason)


def _heating_step(bound: Bound, by: heating.Heating, side: Side) -> Step:
    outlet = Value("T_out", by.outlet_k, "temperature", "down" if side == "up" else "up")
    if by.needless:
        inlet = Value("T_in", by.inlet_k, "temperature")
        return Step("T_in ≥ T_out", (inlet, outlet), Value("holds", "yes", "text"), "comparison", bound.reason)
    flow = Value("Q", bound.flow_m3_s, "flow", side)
    power = Value("P", by.power_w, "power")
    return heating.flow_step(heating.inlet_values(by.inlet_k), power, outlet, flow=flow, note=bound.reason)

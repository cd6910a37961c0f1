"""The flow windows with their working, and why one is empty."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from generator.compute.circuit.delivered import NOTE
from generator.compute.heat import balance as heating
from generator.compute.heat.empty import empty_case
from generator.compute.heat.window import Bound, Window, model_least_bounds
from generator.compute.sources import NAMEPLATE
from generator.model.figures import BoundKind, Figure, Sentence, Step, Value
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow
from generator.model.said import because, say
from generator.model.water_results import CLOSES, TARGET


def window_figures(prefix: str, window: Window) -> FlowWindow:
    """Return the ends of a window with working; ids `<prefix>.window.<number>.least` and `.greatest`.

    One that holds no flow to set has state "none" at both ends and `why_empty`; a greatest end without any bound has
    state "no-bound".
    """
    id_, number = f"{prefix}.window.{window.number}", window.number
    least = _end(f"{id_}.least", say("least-flow", stage=number), window.least_bounds, kind="at_least")
    greatest = _end(f"{id_}.greatest", say("greatest-flow", stage=number), window.greatest_bounds, kind="at_most")
    if window.usable:
        return FlowWindow(window.number, least, greatest)
    least, greatest = (replace(end, value=None, state="none") for end in (least, greatest))
    case, values = empty_case(window)
    return FlowWindow(window.number, least, greatest, Sentence("", values, f"window-{case}"), window.narrow)


def least_flow_figures(prefix: str, model: HeaterModel) -> tuple[Figure, ...]:
    """Return per stage the least flow that closes it and keeps the outlet within the model's greatest.

    Ids `<prefix>.stage.<n>.least-flow`.
    """
    return tuple(
        _end(f"{prefix}.stage.{number}.least-flow", say("least-flow", stage=number), bounds, kind="at_least")
        for number, bounds in enumerate(model_least_bounds(model), start=1)
    )


def _end(id_: str, label: str, bounds: Sequence[Bound], *, kind: BoundKind) -> Figure:
    """Return the figure of one end: the greatest of the least bounds, or the least of the greatest ones."""
    formula, pick = ("Q_least = max(Q)", max) if kind == "at_least" else ("Q_greatest = min(Q)", min)
    governing = pick(bounds, key=lambda bound: bound.flow_m3_s)
    steps = tuple(_step(bound, kind) for bound in bounds)
    reason, flow_m3_s = because(governing.reason), governing.flow_m3_s
    if math.isinf(flow_m3_s):
        return Figure(id_, label, None, "flow", kind, steps, "no-bound", reason)
    finite = tuple(step.result for step, bound in zip(steps, bounds, strict=True) if math.isfinite(bound.flow_m3_s))
    chosen = Step(formula, finite, Value(formula.split()[0], flow_m3_s, "flow", kind), reason)
    return Figure(id_, label, flow_m3_s, "flow", kind, (*steps, chosen), "ok", reason)


def _step(bound: Bound, kind: BoundKind) -> Step:
    """Return the working of one bound."""
    if bound.heating is not None:
        step = _heating_step(bound, bound.heating, kind)
        if bound.reason != TARGET:
            return step
        return replace(step, note=say("bound-counted", bound=because(TARGET), counted=NOTE))
    if bound.reason == CLOSES:
        return Step("Q_close", (), Value("Q", bound.flow_m3_s, "flow", "at_least"), NAMEPLATE)
    known = math.isfinite(bound.flow_m3_s)
    result = Value("Q", bound.flow_m3_s, "flow", kind) if known else Value("Q", say("no-bound"), "text")
    return Step("Q", (), result, because(bound.reason))


def _heating_step(bound: Bound, by: heating.Heating, kind: BoundKind) -> Step:
    outlet = Value("T_out", by.outlet_k, "temperature", "at_most" if kind == "at_least" else "at_least")
    if by.needless:
        inlet = Value("T_in", by.inlet_k, "temperature")
        return Step("T_in ≥ T_out", (inlet, outlet), heating.HOLDS, say("comparison"), because(bound.reason))
    flow = Value("Q", bound.flow_m3_s, "flow", kind)
    power = Value("P", by.power_w, "power")
    return heating.flow_step(heating.inlet_values(by.inlet_k), power, outlet, flow=flow, note=because(bound.reason))

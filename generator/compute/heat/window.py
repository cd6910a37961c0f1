"""The flows at which a stage is active, safe and warm enough: from the least to the greatest, each end with its reason.

Least: the flow that closes the stage, and the flows below which the summer inlet comes out above the site's limit or
above the model's greatest outlet, at the full power. Greatest: the flow at which the winter inlet still reaches the
target, with the power that the circuit's voltage drop leaves. Bounds from elsewhere (working pressure, supply) are
handed in as (flow, reason) pairs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from generator.compute.circuit.delivered import NOTE
from generator.compute.heat import balance as heating
from generator.compute.heat.stages import NAMEPLATE, stage_powers_w
from generator.compute.verdict.set_flow import without_flow
from generator.model.figures import Figure, Sentence, Side, Step, Value
from generator.model.heater import HeaterModel, Stage
from generator.model.results import FlowWindow

CLOSES = "the flow that closes the stage"
LIMIT = "the limit temperature of the site, at the summer inlet"
GREATEST_OUTLET = "the greatest outlet temperature of the model, at the warmest inlet"
TARGET = "the target temperature, at the winter inlet"
NEXT_STAGE = "the flow at which the next stage opens again: above it that stage may be closed too"


@dataclass(frozen=True, slots=True)
class _Bound:
    """A bound of the flow [m3/s] (infinite where no flow is enough, or any flow does), its reason and its working."""

    flow_m3_s: float
    reason: str
    step: Step


def _given(bounds: Iterable[tuple[float, str]], side: Side) -> list[_Bound]:
    """Return the bounds that a caller hands in; infinite means that no flow is enough, or that any flow does."""
    found = []
    for flow, reason in bounds:
        result = Value("Q", flow, "flow", side) if math.isfinite(flow) else Value("Q", "none", "text")
        found.append(_Bound(flow, reason, Step("Q", (), result, reason)))
    return found


def _outlet_bound(inlet_k: float, outlet_k: float, power_w: float, reason: str, side: Side) -> _Bound:
    """Return the flow at which the inlet comes out at `outlet_k`; infinite where the inlet is already that warm."""
    outlet = Value("T_out", outlet_k, "temperature", "down" if side == "up" else "up")
    if inlet_k >= outlet_k:
        inlet = Value("T_in", inlet_k, "temperature")
        step = Step("T_in ≥ T_out", (inlet, outlet), Value("holds", "yes", "text"), "comparison", reason)
        return _Bound(math.inf, reason, step)
    flow_m3_s = heating.flow_for_outlet_m3_s(inlet_k, outlet_k, power_w)
    inputs, power = heating.inlet_values(inlet_k), Value("P", power_w, "power")
    step = heating.flow_step(inputs, power, outlet, Value("Q", flow_m3_s, "flow", side), reason)
    return _Bound(flow_m3_s, reason, step)


def _target_bound(winter_k: float, target_k: float, reach_w: float) -> _Bound:
    found = _outlet_bound(winter_k, target_k, reach_w, TARGET, "down")
    return replace(found, step=replace(found.step, note=f"{TARGET}; {NOTE}"))


def _closing(stage: Stage) -> _Bound:
    return _Bound(
        stage.closes_at_m3_s, CLOSES, Step("Q_close", (), Value("Q", stage.closes_at_m3_s, "flow", "up"), NAMEPLATE)
    )


def _end(id_: str, label: str, bounds: list[_Bound], side: Side) -> Figure:
    """Return the figure of one end: the greatest of the least bounds, or the least of the greatest ones."""
    formula, pick = ("Q_least = max(Q)", max) if side == "up" else ("Q_greatest = min(Q)", min)
    governing = pick(bounds, key=lambda bound: bound.flow_m3_s)
    steps, reason = tuple(bound.step for bound in bounds), governing.reason
    if math.isinf(governing.flow_m3_s):
        return Figure(id_, label, None, "flow", side, steps, "no-bound", reason)
    finite = tuple(bound.step.result for bound in bounds if math.isfinite(bound.flow_m3_s))
    result = Value(formula.split()[0], governing.flow_m3_s, "flow", side)
    chosen = Step(formula, finite, result, reason)
    return Figure(id_, label, governing.flow_m3_s, "flow", side, (*steps, chosen), "ok", reason)


def _empty(least: Figure, greatest: Figure, summer_k: float, hottest_k: float) -> Sentence | None:
    """Return why no flow satisfies both ends, or None where some flow does."""
    for_least = Value("for_least", least.reason, "text")
    if least.value is None and summer_k >= hottest_k:
        inlet = Value("summer_inlet", summer_k, "temperature", "up")
        hottest = Value("hottest_allowed", hottest_k, "temperature", "down")
        template = "The summer inlet of {summer_inlet} is not below {hottest_allowed}, so no flow is enough."
        return Sentence(template, (inlet, hottest))
    if least.value is None:
        return Sentence("No flow is enough for {for_least}.", (for_least,))
    if greatest.value is None or float(least.value) <= float(greatest.value):
        return None
    at_least, at_most = Value("least", least.value, "flow", "up"), Value("greatest", greatest.value, "flow", "down")
    template = "At least {least} is needed for {for_least}, but at most {greatest} is allowed by {for_greatest}."
    return Sentence(template, (at_least, for_least, at_most, Value("for_greatest", greatest.reason, "text")))


def flow_window(
    prefix: str,
    number: int,
    power_w: float,
    reach_w: float,
    stage: Stage,
    winter_k: float,
    summer_k: float,
    target_k: float,
    limit_k: float,
    greatest_outlet_k: float,
    extra_least: Iterable[tuple[float, str]] = (),
    extra_greatest: Iterable[tuple[float, str]] = (),
) -> FlowWindow:
    """Return the window of flows [m3/s] for stages 1 to `number` closed, with `power_w` [W] in all.

    Limits are kept at `power_w`; the target is reached with `reach_w`, what the voltage drop leaves of it. `stage` is
    stage `number`; temperatures [K]. Both ends lie in the window. An empty window has state "none" at both ends and
    `why_empty`; a greatest end without any bound has state "no-bound". Ids `<prefix>.window.<number>.least` and
    `.greatest`. Without a selector on the model, hand `next_stage_bound` in `extra_greatest`.
    """
    id_, label = f"{prefix}.window.{number}", f"flow, stage {number}"
    least_bounds = [
        _closing(stage),
        _outlet_bound(summer_k, limit_k, power_w, LIMIT, "up"),
        _outlet_bound(summer_k, greatest_outlet_k, power_w, GREATEST_OUTLET, "up"),
        *_given(extra_least, "up"),
    ]
    greatest_bounds = [_target_bound(winter_k, target_k, reach_w), *_given(extra_greatest, "down")]
    least = _end(f"{id_}.least", f"Least {label}", least_bounds, "up")
    greatest = _end(f"{id_}.greatest", f"Greatest {label}", greatest_bounds, "down")
    why = _empty(least, greatest, summer_k, min(limit_k, greatest_outlet_k))
    if why is None:
        return FlowWindow(number, least, greatest)
    return FlowWindow(number, without_flow(least), without_flow(greatest), why)


def next_stage_bound(model: HeaterModel, number: int) -> tuple[tuple[float, str], ...]:
    """Return the greatest flow [m3/s] at which stages 1 to `number` are surely alone, as a bound with its reason.

    Empty where the model has a selector, which holds the later stages open, or where there are none. The bound is the
    flow at which the last of them opens, not the higher one at which the next closes: between the two it depends on
    where the flow came from.
    """
    if model.stage_selector or number >= len(model.stages):
        return ()
    return ((min(stage.opens_at_m3_s for stage in model.stages[number:]), NEXT_STAGE),)


def model_least_flows(prefix: str, model: HeaterModel) -> tuple[Figure, ...]:
    """Return per stage the least flow [m3/s] that closes it and keeps the outlet within the model's greatest.

    Taken at the model's greatest inlet and the rating of the greatest power, so it holds for every rating. Ids
    `<prefix>.stage.<n>.least-flow`.
    """
    rating = max(model.ratings, key=lambda rating: rating.power_w)
    inlet_k, outlet_k = model.water.greatest_inlet_k, model.water.greatest_outlet_k
    figures = []
    for number, power_w in enumerate(stage_powers_w(model, rating.voltage_v, rating.phases), start=1):
        hot = _outlet_bound(inlet_k, outlet_k, power_w, GREATEST_OUTLET, "up")
        bounds = [_closing(model.stages[number - 1]), hot]
        figures.append(_end(f"{prefix}.stage.{number}.least-flow", f"Least flow, stage {number}", bounds, "up"))
    return tuple(figures)

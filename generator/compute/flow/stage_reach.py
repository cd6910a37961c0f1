"""Whether pressure lets each stage close, and how far the supply can sag before a stage drops out."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.flow.operating_point import BALANCE, Operating, pressure_steps
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.heater import Stage
from generator.model.state import State

FLOW_FALLS, PRESSURE_FALLS, NOT_ON = "flow-falls", "pressure-falls", "not-on"
FALLS = (FLOW_FALLS, PRESSURE_FALLS)


@dataclass(frozen=True, slots=True)
class StageReach:
    """One stage: its switching flows, whether it can close (`state` "ok") and the pressures [Pa] at which it does.

    `at_closing_pa`: pressure at the heater at its activation flow. `least_static_pa`: least static pressure at which
    it can close, outlet fully open. `drop_out_pa`: static pressure at which it opens again with the outlet valve left
    as it is at work under the greatest (None where it is not closed there), by `drop_out_reason`, one of FALLS or
    NOT_ON.
    """

    number: int
    stage: Stage
    state: State
    at_closing_pa: float
    least_static_pa: float
    drop_out_pa: float | None
    drop_out_reason: str


def _static_for(at: Operating, flow_m3_s: float) -> float:
    """Return the static pressure [Pa] that brings this flow with the outlet valve as it is at work."""
    return at.way.static_pa - at.way.left_for_outlet(flow_m3_s) + at.valve * flow_m3_s**2


def _pressure_flow(at: Operating) -> float | None:
    """Return the flow [m3/s] at which a sagging supply leaves the least working pressure, outlet valve as at work.

    What the heater gets then is what its own loss, the hot run and the valve take up; None where that is more than
    the least working pressure at any flow.
    """
    least_pa = at.model.water.working_pressure.least_pa
    return at.way.flow_holding(lambda flow: least_pa - at.way.behind_inlet_valve(flow) - at.valve * flow**2)


def drop_out(at: Operating, opens_at_m3_s: float) -> tuple[float, str]:
    """Return the static pressure [Pa] under which a stage that opens at this flow [m3/s] drops out, and why."""
    by_flow = (_static_for(at, opens_at_m3_s), FLOW_FALLS)
    flow_m3_s = _pressure_flow(at)
    if flow_m3_s is None:
        return by_flow
    return max(by_flow, (_static_for(at, flow_m3_s), PRESSURE_FALLS))


def _state(at: Operating, number: int, closes_at_m3_s: float, *, at_closing_pa: float) -> State:
    if number > at.selected:
        return "not-selected"
    if closes_at_m3_s > at.greatest_m3_s:
        return "beyond-supply"
    return "ok" if at_closing_pa >= at.model.water.working_pressure.least_pa else "below-working-pressure"


def stage_reach(at: Operating) -> tuple[StageReach, ...]:
    """Return every stage's reach: closing at the least static pressure, dropping out of work at the greatest."""
    least_pa, found, strongest = at.model.water.working_pressure.least_pa, [], at.at_greatest
    closed = strongest.closed
    for number, stage in enumerate(at.model.stages, start=1):
        closes, opens = stage.closes_at_m3_s, stage.opens_at_m3_s
        at_closing_pa = at.way.at_switches(closes)
        spare_pa = min(at.way.left_for_outlet(closes), at_closing_pa - least_pa)
        drop_pa, reason = drop_out(strongest, opens) if number in closed else (None, NOT_ON)
        state = _state(at, number, closes, at_closing_pa=at_closing_pa)
        found.append(StageReach(number, stage, state, at_closing_pa, at.way.static_pa - spare_pa, drop_pa, reason))
    return tuple(found)


def _least_static(id_: str, at: Operating, reach: StageReach) -> Figure:
    left_pa = at.way.left_for_outlet(reach.stage.closes_at_m3_s)
    inputs = (
        Value("p_static", at.way.static_pa, "pressure"),
        Value("p_least", at.model.water.working_pressure.least_pa, "pressure", "up"),
        Value("p", reach.at_closing_pa, "pressure"),
        Value("p_left", left_pa, "pressure"),
    )
    result = Value("p_needed", reach.least_static_pa, "pressure", "up")
    step = Step("p_needed = p_static + max(p_least − p, −p_left)", inputs, result, BALANCE)
    label = f"Least static pressure that closes stage {reach.number}"
    return Figure(f"{id_}.least-static", label, reach.least_static_pa, "pressure", "up", (step,))


def _drop_out(id_: str, at: Operating, reach: StageReach) -> Figure:
    label = f"Static pressure at which stage {reach.number} drops out at work"
    if reach.drop_out_pa is None:
        return Figure(f"{id_}.drop-out", label, None, "pressure", "up", (), "not-on", "not closed at work")
    inputs = (
        Value("Q_open", reach.stage.opens_at_m3_s, "flow", "down"),
        Value("p_least", at.model.water.working_pressure.least_pa, "pressure", "up"),
    )
    result = Value("p_drop-out", reach.drop_out_pa, "pressure", "up")
    formula = "p_drop-out = static pressure that leaves Q_open or p_least, valve as at work"
    reason = reach.drop_out_reason
    step = Step(formula, inputs, result, BALANCE, reason)
    return Figure(f"{id_}.drop-out", label, reach.drop_out_pa, "pressure", "up", (step,), reason=reason)


def _cells(prefix: str, at: Operating, reach: StageReach) -> tuple[Figure, ...]:
    id_, label = f"{prefix}.stage.{reach.number}", f"Pressure at the heater as stage {reach.number} closes"
    steps = pressure_steps(at.way, reach.stage.closes_at_m3_s)
    closing = Figure(f"{id_}.pressure", label, reach.at_closing_pa, "pressure", "down", steps, reach.state)
    return closing, _least_static(id_, at, reach), _drop_out(id_, at, reach)


def stage_reach_table(prefix: str, at: Operating, reach: tuple[StageReach, ...]) -> FigureTable:
    """Return the table of stages against pressure; ids `<prefix>.stage.<n>.…`."""
    columns = tuple(
        Value(name, name, "text")
        for name in ("pressure at the heater as it closes", "least static pressure to close", "drops out at work below")
    )
    rows = tuple((Value("stage", found.number, "count"), _cells(prefix, at, found)) for found in reach)
    note = "Static pressure at the start of the cold run; drop-out with the outlet left as it is at the working flow."
    return FigureTable(f"{prefix}.stages", "Stages and supply pressure", "stage", columns, rows, note)

"""Whether pressure lets each stage close, and how far the supply can sag before a stage drops out."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pressure_working import BALANCE, pressure_steps
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.heater import Stage
from generator.model.said import because, say
from generator.model.state import State

FLOW_FALLS, PRESSURE_FALLS, NOT_ON = "flow-falls", "pressure-falls", "not-on"
FALLS = (FLOW_FALLS, PRESSURE_FALLS)
SHORT: State = "below-working-pressure"


@dataclass(frozen=True, slots=True)
class StageReach:
    """One stage: its switching flows, whether it can close (`state` "ok") and the pressures [Pa] at which it does.

    `at_closing_pa`: pressure at the heater at its activation flow. `least_static_pa`: least static pressure at which
    it can close, outlet fully open; infinite where a regulator holds less. `drop_out_pa`: static pressure at which it
    opens again with the outlet valve left as it is at work under the greatest (None where it is not closed there), by
    `drop_out_reason`, one of FALLS or NOT_ON; the supply then falls with the flow as far as it is tested.
    `top_drop_out_pa`: the same of the heater of the band that drops out first (None where none of it turns on there).
    """

    number: int
    stage: Stage
    state: State
    at_closing_pa: float
    least_static_pa: float
    drop_out_pa: float | None
    drop_out_reason: str
    top_drop_out_pa: float | None = None


def _static_for(at: Operating, flow_m3_s: float) -> float:
    """Return the static pressure [Pa] that brings this flow with the outlet valve as it is at work."""
    asks_pa = at.way.at_heater(flow_m3_s) - at.way.left_for_outlet(flow_m3_s)
    return at.way.static_for(asks_pa + at.valve * flow_m3_s**2, flow_m3_s)


def _pressure_flow(at: Operating) -> float | None:
    """Return the flow [m3/s] at which a sagging supply leaves the least working pressure, outlet valve as at work.

    What the heater gets then is what its own loss, the hot run and the valve take up; None where that is more than
    the least working pressure at any flow.
    """
    least_pa = at.model.water.working_pressure.least_pa
    return at.way.flow_holding(lambda flow: least_pa - at.way.behind_inlet_valve(flow) - at.valve * flow**2)


def _by_pressure(at: Operating) -> float:
    """Return the static pressure [Pa] under which every stage drops out for want of pressure; -inf: never."""
    flow_m3_s = _pressure_flow(at)
    return -math.inf if flow_m3_s is None else _static_for(at, flow_m3_s)


def _drop_out(at: Operating, opens_at_m3_s: float, by_pressure_pa: float) -> tuple[float, str]:
    """Return the static pressure [Pa] under which a stage that opens at this flow [m3/s] drops out, and why."""
    return max((_static_for(at, opens_at_m3_s), FLOW_FALLS), (by_pressure_pa, PRESSURE_FALLS))


def _top_drop_out(at: Operating, opens_at_m3_s: float, by_pressure_pa: float) -> float:
    """Return the highest static pressure [Pa] at which a stage of the band that is on at work drops out.

    No stage that is on at work drops out at more than the flow there.
    """
    return _drop_out(at, min(opens_at_m3_s * at.switching.greatest, at.working_m3_s), by_pressure_pa)[0]


def _state(at: Operating, number: int, closes_at_m3_s: float, *, at_closing_pa: float) -> State:
    if number > at.selected:
        return "not-selected"
    if closes_at_m3_s > at.greatest_m3_s:
        return "beyond-supply"
    return "ok" if at_closing_pa >= at.model.water.working_pressure.least_pa else "below-working-pressure"


def stage_reach(at: Operating) -> tuple[StageReach, ...]:
    """Return every stage's reach: closing at the least static pressure, dropping out of work at the greatest."""
    least_pa, found, strongest = at.model.water.working_pressure.least_pa, [], at.at_greatest
    closed, sagging = strongest.closed, replace(strongest, way=replace(strongest.way, flow_test=at.way.flow_test))
    may_close = strongest.closed_at(strongest.working_m3_s, at.switching.least)
    by_pressure_pa = _by_pressure(sagging) if closed or may_close else -math.inf
    for number, stage in enumerate(at.model.stages, start=1):
        closes, opens = stage.closes_at_m3_s, stage.opens_at_m3_s
        at_closing_pa = at.way.at_switches(closes)
        asks_pa = at.way.at_heater(closes) - at.way.left_for_outlet(closes)
        static_pa = at.way.static_for(max(asks_pa, least_pa + at.way.heater.screen_pa(closes)), closes)
        drop_pa, reason = _drop_out(sagging, opens, by_pressure_pa) if number in closed else (None, NOT_ON)
        state = _state(at, number, closes, at_closing_pa=at_closing_pa)
        top_pa = _top_drop_out(sagging, opens, by_pressure_pa) if number in may_close else None
        found.append(StageReach(number, stage, state, at_closing_pa, static_pa, drop_pa, reason, top_pa))
    return tuple(found)


def _least_static(id_: str, at: Operating, reach: StageReach) -> Figure:
    label, closes = say("least-static", stage=reach.number), reach.stage.closes_at_m3_s
    if math.isinf(reach.least_static_pa):
        return Figure(f"{id_}.least-static", label, None, "pressure", "at_least", (), SHORT, because(SHORT))
    asks_pa = at.way.at_heater(closes) - at.way.left_for_outlet(closes)
    inputs = (
        Value("p_least", at.model.water.working_pressure.least_pa, "pressure", "at_least"),
        Value("p_screen", at.way.heater.screen_pa(closes), "pressure"),
        Value("p_asked", asks_pa, "pressure"),
    )
    result = Value("p_needed", reach.least_static_pa, "pressure", "at_least")
    step = Step(say("static-needed"), inputs, result, BALANCE)
    return Figure(f"{id_}.least-static", label, reach.least_static_pa, "pressure", "at_least", (step,))


def _drop_out_figure(id_: str, at: Operating, reach: StageReach) -> Figure:
    label = say("static-drop-out", stage=reach.number)
    if reach.drop_out_pa is None:
        return Figure(f"{id_}.drop-out", label, None, "pressure", "at_least", (), "not-on", say("not-closed-at-work"))
    inputs = (
        Value("Q_open", reach.stage.opens_at_m3_s, "flow", "at_most"),
        Value("p_least", at.model.water.working_pressure.least_pa, "pressure", "at_least"),
    )
    result = Value("p_drop-out", reach.drop_out_pa, "pressure", "at_least")
    reason = because(reach.drop_out_reason)
    step = Step(say("drop-out-pressure"), inputs, result, BALANCE, reason)
    return Figure(f"{id_}.drop-out", label, reach.drop_out_pa, "pressure", "at_least", (step,), reason=reason)


def _cells(prefix: str, at: Operating, reach: StageReach) -> tuple[Figure, ...]:
    id_, label = f"{prefix}.stage.{reach.number}", say("pressure-as-closes", stage=reach.number)
    steps = pressure_steps(at.way, reach.stage.closes_at_m3_s)
    closing = Figure(f"{id_}.pressure", label, reach.at_closing_pa, "pressure", "at_most", steps, reach.state)
    return closing, _least_static(id_, at, reach), _drop_out_figure(id_, at, reach)


def stage_reach_table(prefix: str, at: Operating, reach: tuple[StageReach, ...]) -> FigureTable:
    """Return the table of stages against pressure; ids `<prefix>.stage.<n>.…`."""
    names = (say("as-it-closes"), say("static-to-close"), say("drops-out-below"))
    columns = tuple(Value(name, name, "text") for name in names)
    rows = tuple((Value(say("of-stage"), found.number, "count"), _cells(prefix, at, found)) for found in reach)
    title, note = say("stages-and-pressure"), say("stages-and-pressure-note")
    return FigureTable(f"{prefix}.stages", title, say("of-stage"), columns, rows, note)

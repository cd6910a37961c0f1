"""The outlet at each flow that matters at a site, one row a flow with the stages that are on there, and its curves.

The outlet is a sawtooth over the flow. A row at the flow where a stage drops out shows the water just before it does:
the hottest that the stages on give. Between two rows the water lies between them or on the hotter one, since every
switching flow has its row.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from generator.compute.heat import balance as heating
from generator.compute.heat.figures.outlet import ABOVE, UNREACHED
from generator.compute.heat.figures.outlet_rows import SHOWN_STEPS_M3_S, Named, by_flow_rows, counted_m3_s, row_key
from generator.compute.heat.outlet import Heated, above_limit, closed_power_w, outlet_grid_k
from generator.compute.sources import NAMEPLATE
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.outlet_flows import Most
from generator.model.said import say
from generator.model.water_results import Curve

POINTS = 12  # of each tooth of a curve, enough for a smooth line on a phone
BEYOND = 1.25  # how far a curve runs beyond the last flow that matters
COLUMNS = (
    Value("on", say("stages-on"), "text"),
    Value("winter", say("winter"), "text"),
    Value("summer", say("summer"), "text"),
)


@dataclass(frozen=True, slots=True)
class Seasons:
    """A heater with `in_use` stages at the coldest inlet, wire loss counted, and at the warmest, at full power."""

    winter: Heated
    summer: Heated
    in_use: int

    def on(self, flow_m3_s: float) -> int:
        """Return how many stages are on at a flow [m3/s] that comes from above: none below the first drop-out."""
        stages = self.summer.model.stages[: self.in_use]
        return max((number for number, one in enumerate(stages, 1) if flow_m3_s >= one.opens_at_m3_s), default=0)


def outlet_by_flow(prefix: str, at: Seasons, own: Sequence[Named], *, most: Most) -> FigureTable:
    """Return the outlet [K] at every switching flow and at the `own` flows of the site: stages on, winter, summer.

    Ids start with `<prefix>.outlet.by-flow`. A row beyond the greatest flow of the site is left out.
    """
    heads = by_flow_rows(at.summer.model, at.in_use, own, most=most)
    rows = tuple((head, _cells(f"{prefix}.outlet.by-flow", at, head)) for head in heads)
    conditions = (
        Value(say("winter"), at.winter.inlet_k, "temperature"),
        Value(say("summer"), at.summer.inlet_k, "temperature"),
        *([Value(say("limit"), at.summer.limit_k, "temperature", "at_most")] if at.summer.limit_k else []),
    )
    title, corner = say("outlet-by-flow"), say("flow-axis")
    return FigureTable(f"{prefix}.outlet.by-flow", title, corner, COLUMNS, rows, "", conditions)


def _cells(prefix: str, at: Seasons, head: Value) -> tuple[Figure, Figure, Figure]:
    number, key = at.on(float(head.value)), row_key(head)
    step = Step("Q ≥ Q_open", (replace(head, symbol="Q"),), Value("n", float(number), "count"), NAMEPLATE)
    on = Figure(f"{prefix}.on.at.{key}", say("stages-on"), float(number), "count", "neither", (step,))
    winter, summer = (
        _outlet(f"{prefix}.{season}.at.{key}", heated, head, number=number)
        for season, heated in (("winter", at.winter), ("summer", at.summer))
    )
    return on, winter, summer


def _outlet(id_: str, at: Heated, head: Value, *, number: int) -> Figure:
    """Return the outlet [K] with `number` stages on at the flow that a row shows, rounded to the safe side of it."""
    flow = replace(head, symbol="Q", value=_counted_m3_s(at, head))
    label = say("outlet", stage=number)
    if not number:
        inlet_step = Step("T_out = T_in", (), Value("T_out", at.inlet_k, "temperature", at.bound), heating.BALANCE)
        return Figure(id_, label, at.inlet_k, "temperature", at.bound, (inlet_step,))
    power_w, inlet = _power_w(at, number, float(head.value)), heating.inlet_values(at.inlet_k)
    outlet_k = heating.capped_outlet_k(at.inlet_k, float(flow.value), power_w, ceiling_k=at.model.water.cut_out_k)
    state = above_limit(at.model, outlet_k, at.limit_k) or "ok"
    step = heating.outlet_step(
        inlet, Value("P", power_w, "power"), flow, outlet=Value("T_out", outlet_k, "temperature", at.bound)
    )
    if state == "above-cut-out":
        return Figure(id_, label, None, "temperature", at.bound, (step,), state, UNREACHED[state])
    return Figure(id_, label, outlet_k, "temperature", at.bound, (step,), state, ABOVE.get(state, ""))


def _power_w(at: Heated, number: int, flow_m3_s: float) -> float:
    """Return the power [W] of those of stages 1 to `number` that a flow [m3/s] from above has not dropped yet."""
    return closed_power_w(replace(at, bound="at_least"), number, flow_m3_s)


def _counted_m3_s(at: Heated, head: Value) -> float:
    """Return the flow [m3/s] that an outlet is computed at: of those that the row may be read as, the adverse one."""
    if not at.falling:
        return counted_m3_s(head, falling=False)
    flow = float(head.value)
    if head.bound != "at_most":
        return flow
    return min(math.floor(flow / step + 1e-9) * step for step in SHOWN_STEPS_M3_S)


def outlet_curves(prefix: str, at: Seasons, own: Sequence[Named], *, most: Most) -> tuple[Curve, ...]:
    """Return one curve [m3/s, K] a number of stages on and a season, from its drop-out to where the next is on, with
    a point where its last stage turns on and where the next drops out.

    Ids `<prefix>.outlet-curve.<season>.<stages on>`; the last runs a little beyond the last flow that matters.
    """
    stages = at.summer.model.stages[: at.in_use]
    last = BEYOND * max([stages[-1].closes_at_m3_s, *(flow for flow, _ in own)])
    ends = [stage.closes_at_m3_s for stage in stages[1:]] + [last]
    teeth = enumerate(zip(stages, ends, strict=True), 1)
    return tuple(
        curve
        for number, (stage, end) in teeth
        for curve in _tooth(prefix, at, number, start=stage.opens_at_m3_s, end=min(end, most.flow_m3_s))
    )


def _tooth(prefix: str, at: Seasons, number: int, *, start: float, end: float) -> Iterator[Curve]:
    """Yield the two curves of a number of stages on, none where the flows that have it are beyond the supply."""
    if end <= start:
        return
    stages = at.summer.model.stages[: at.in_use]
    switching = [stages[number - 1].closes_at_m3_s, *(after.opens_at_m3_s for after in stages[number : number + 1])]
    flows = sorted({*np.linspace(start, end, POINTS).tolist(), *(flow for flow in switching if start < flow < end)})
    for season, heated in (("winter", at.winter), ("summer", at.summer)):
        powers_w = np.array([[_power_w(heated, number, flow)] for flow in flows])
        outlets = outlet_grid_k(heated.inlet_k, flows, powers_w, ceiling_k=heated.model.water.cut_out_k)
        points = tuple(zip(flows, outlets[:, 0].tolist(), strict=True))
        id_ = f"{prefix}.outlet-curve.{season}.{number}"
        yield Curve(id_, str(number), say("flow-axis"), "flow", say("outlet-axis"), "temperature", points)

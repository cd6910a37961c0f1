"""Outlet temperature per stage over a grid of flows, and what keeps a cell of such a grid from being reached.

The rows are flows at the inlet, the column of stage n is for stages 1 to n closed. Between the flow at which a stage
drops out and the one at which it turns on it may be closed or not. A table of the hottest outlets takes it as closed
(the flow falls), one of the coolest as open (the flow rises). At the very flow at which a stage turns on the table
has both states: so the outlet between two rows lies between their cells in the column of the first.

States of a cell, first match first: "beyond-supply" or "below-working-pressure", "not-on", "next-stage-on",
"above-cut-out" (no value: unreachable), "above-model-limit", "above-limit" (value kept), "ok".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from generator.compute.heat import balance as heating
from generator.compute.heat.outlet_rows import counted_m3_s, row_key
from generator.compute.heat.water import FloatArray
from generator.model.figures import Figure, FigureTable, Side, Step, Value
from generator.model.heater import HeaterModel
from generator.model.outlet_flows import Most
from generator.model.state import State

UNREACHED: dict[State, str] = {
    "beyond-supply": "The supply cannot bring this flow through the heater.",
    "below-working-pressure": "At this flow the heater has less than its least working pressure: its stages stay off.",
    "not-on": "The flow is below the one at which this stage closes.",
    "next-stage-on": "The next stage closes too at this flow, and the model has no selector to hold it open.",
    "above-cut-out": "The cut-out opens before the water gets as hot as this flow would make it.",
}
DROPPED_OUT = "The flow is below the one at which this stage drops out."
ABOVE: dict[State, str] = {
    "above-model-limit": "Hotter than the greatest outlet temperature of the model.",
    "above-limit": "Hotter than the limit temperature of the site.",
}

_PASSES = "h(T_in) + P / (ρ(T_in) × Q) ≥ h(T_cut-out)"
_YES = Value("holds", "yes", "text")


def outlet_grid_k(inlet_k: float, flows_m3_s: Sequence[float], powers_w: FloatArray, ceiling_k: float) -> FloatArray:
    """Return the outlet temperatures [K], shape (flows, powers), held at `ceiling_k` where the balance passes it.

    `powers_w`, of that shape, is the power of each cell [W].
    """
    flows = np.asarray(flows_m3_s, dtype=np.float64)[:, np.newaxis]
    return heating.capped_outlet_k(np.full((1, 1), inlet_k), flows, powers_w, ceiling_k)


def closed_power_w(model: HeaterModel, number: int, flow_m3_s: float, powers_w: Sequence[float]) -> float:
    """Return the power [W] of those of stages 1 to `number` that a falling flow has not opened yet.

    `powers_w` cumulative per stage. All of them, unless a stage that closes early drops out before a later one.
    """
    opened = [place for place in range(number) if flow_m3_s < model.stages[place].opens_at_m3_s]
    return powers_w[number - 1] - sum(powers_w[place] - (powers_w[place - 1] if place else 0.0) for place in opened)


def unreached(
    model: HeaterModel, number: int, flow_m3_s: float, most: Most | None, falling: bool = False
) -> State | None:
    """Return the state that keeps stages 1 to `number`, and no more, from being closed, or None.

    `falling`: the flow comes from above, where a stage stays closed until it drops out.
    """
    stage, following = model.stages[number - 1], model.stages[number : number + 1]
    if most is not None and flow_m3_s > most.flow_m3_s:
        return most.beyond
    if flow_m3_s < (stage.opens_at_m3_s if falling else stage.closes_at_m3_s):
        return "not-on"
    if not model.stage_selector and following and flow_m3_s > following[0].closes_at_m3_s:
        return "next-stage-on"
    return None


def too_hot(model: HeaterModel, outlet_k: float, limit_k: float | None) -> State | None:
    """Return the state of an outlet temperature that passes a limit, the gravest first, or None."""
    if outlet_k >= model.water.cut_out_k:
        return "above-cut-out"
    if outlet_k > model.water.greatest_outlet_k:
        return "above-model-limit"
    return "above-limit" if limit_k is not None and outlet_k > limit_k else None


@dataclass(frozen=True, slots=True)
class _Grid:
    """What all the cells of one table share."""

    prefix: str
    model: HeaterModel
    inlet: tuple[Value, ...]
    cut_out: Value
    limit_k: float | None
    most: Most | None
    side: Side
    falling: bool

    def cell(self, number: int, power_w: float, head: Value, outlet_k: float) -> Figure:
        """Return the cell of `number` stages in the row of a flow, whose outlet is `outlet_k` (at most the cut-out)."""
        flow, power = replace(head, symbol="Q"), Value("P", power_w, "power")
        counted = replace(flow, value=counted_m3_s(head, self.falling))
        id_, label = f"{self.prefix}.stage.{number}.at.{row_key(head)}", f"Outlet, stage {number}"
        state = unreached(self.model, number, float(head.value), self.most, self.falling)
        if state:
            step = self._compared(state, number, flow)
            reason = DROPPED_OUT if self.falling and state == "not-on" else UNREACHED[state]
            return Figure(id_, label, None, "temperature", self.side, (step,), state, reason)
        state = too_hot(self.model, outlet_k, self.limit_k) or "ok"
        if state == "above-cut-out":
            step = Step(_PASSES, (*self.inlet, power, counted, self.cut_out), _YES, heating.BALANCE)
            return Figure(id_, label, None, "temperature", self.side, (step,), state, UNREACHED[state])
        step = heating.outlet_step(self.inlet, power, counted, Value("T_out", outlet_k, "temperature", self.side))
        return Figure(id_, label, outlet_k, "temperature", self.side, (step,), state, ABOVE.get(state, ""))

    def _compared(self, state: State, number: int, flow: Value) -> Step:
        """Return the comparison that put a cell out of reach."""
        stages, stage = self.model.stages, self.model.stages[number - 1]
        if self.most is not None and state == self.most.beyond:
            formula, bound = "Q > Q_most", Value("Q_most", self.most.flow_m3_s, "flow", "down")
        elif state == "not-on":
            name, switch_m3_s = ("open", stage.opens_at_m3_s) if self.falling else ("close", stage.closes_at_m3_s)
            formula, bound = f"Q < Q_{name}", Value(f"Q_{name}", switch_m3_s, "flow", "up")
        else:
            formula, bound = "Q > Q_close,next", Value("Q_close,next", stages[number].closes_at_m3_s, "flow", "up")
        return Step(formula, (flow, bound), _YES, "nameplate of the model; supply of the site")


def outlet_table(
    prefix: str,
    title: str,
    model: HeaterModel,
    powers_w: Sequence[float],
    heads: Sequence[Value],
    inlet_k: float,
    limit_k: float | None,
    most: Most | None = None,
    side: Side = "up",
    note: str = "",
) -> FigureTable:
    """Return the outlet temperatures [K] of every stage at every flow, each cell with state and working.

    `heads` are the flows of the rows (outlet_rows), `powers_w` cumulative per stage, `inlet_k` the season's inlet,
    `limit_k` the site's limit, `most` the greatest flow that supply and pressure allow (None: not known). `side`: to
    which the outlets round: "up" for the hottest that a flow can give, "down" for the coolest. Ids start with `prefix`.
    """
    cut_out_k, falling = model.water.cut_out_k, side != "down"
    cut_out = Value("T_cut-out", cut_out_k, "temperature", "up")
    grid = _Grid(prefix, model, heating.inlet_values(inlet_k), cut_out, limit_k, most, side, falling)
    flows = [counted_m3_s(head, falling) for head in heads]
    numbers = range(1, len(powers_w) + 1)
    powers = [
        [closed_power_w(model, n, flow, powers_w) if falling else powers_w[n - 1] for n in numbers] for flow in flows
    ]
    outlets = outlet_grid_k(inlet_k, flows, np.asarray(powers), cut_out_k).tolist()
    rows = tuple(
        (head, tuple(map(grid.cell, numbers, power_row, (head,) * len(numbers), outlet_row)))
        for head, power_row, outlet_row in zip(heads, powers, outlets, strict=True)
    )
    conditions = [Value("inlet", inlet_k, "temperature")]
    if limit_k is not None:
        conditions.append(Value("limit", limit_k, "temperature", "down"))
    columns = tuple(Value("stage", number, "count") for number in numbers)
    return FigureTable(prefix, title, "flow, by stages closed", columns, rows, note, tuple(conditions))

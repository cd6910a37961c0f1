"""Outlet temperature per stage over a grid of flows, with working, and what keeps a cell from being reached.

The rows are flows at the inlet, the column of stage n is for stages 1 to n closed. At the very flow at which a stage
turns on the table has both states: so the outlet between two rows lies between their cells in the column of the first.

States of a cell, first match first: "beyond-supply" or "below-working-pressure", "not-on", "next-stage-on",
"above-cut-out" (no value: unreachable), "above-model-limit", "above-limit" (value kept), "ok".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from generator.compute.heat import balance as heating
from generator.compute.heat.figures.outlet_rows import counted_m3_s, row_key
from generator.compute.heat.outlet import Heated, above_limit, outlets_k, unreached
from generator.compute.sources import NAMEPLATE, sources
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.said import say
from generator.model.state import State

UNREACHED: dict[State, str] = {
    "beyond-supply": say("beyond-supply"),
    "below-working-pressure": say("below-working-pressure"),
    "not-on": say("not-on"),
    "next-stage-on": say("next-stage-on"),
    "above-cut-out": say("above-cut-out"),
}
DROPPED_OUT = say("dropped-out")
ABOVE: dict[State, str] = {
    "above-model-limit": say("above-model-limit"),
    "above-limit": say("above-limit"),
}

_PASSES = "h(T_in) + P / (ρ(T_in) × Q) ≥ h(T_cut-out)"


@dataclass(frozen=True, slots=True)
class _Grid:
    """What all the cells of one table share."""

    prefix: str
    at: Heated
    inlet: tuple[Value, ...]

    def cell(self, head: Value, number: int, power_w: float, *, outlet_k: float) -> Figure:
        """Return the cell of `number` stages in the row of a flow, whose outlet is `outlet_k` (at most the cut-out)."""
        at, flow, power = self.at, replace(head, symbol="Q"), Value("P", power_w, "power")
        counted = replace(flow, value=counted_m3_s(head, at.falling))
        id_, label = f"{self.prefix}.stage.{number}.at.{row_key(head)}", say("outlet", stage=number)
        state = unreached(at, number, float(head.value))
        if state:
            step = self._compared(state, number, flow)
            reason = DROPPED_OUT if at.falling and state == "not-on" else UNREACHED[state]
            return Figure(id_, label, None, "temperature", at.bound, (step,), state, reason)
        state = above_limit(at.model, outlet_k, at.limit_k) or "ok"
        if state == "above-cut-out":
            cut_out = Value("T_cut-out", at.model.water.cut_out_k, "temperature", "at_least")
            step = Step(_PASSES, (*self.inlet, power, counted, cut_out), heating.HOLDS, heating.BALANCE)
            return Figure(id_, label, None, "temperature", at.bound, (step,), state, UNREACHED[state])
        step = heating.outlet_step(self.inlet, power, counted, outlet=Value("T_out", outlet_k, "temperature", at.bound))
        return Figure(id_, label, outlet_k, "temperature", at.bound, (step,), state, ABOVE.get(state, ""))

    def _compared(self, state: State, number: int, flow: Value) -> Step:
        """Return the comparison that put a cell out of reach."""
        stages, most = self.at.model.stages, self.at.most
        if most is not None and state == most.beyond:
            formula, bound = "Q > Q_most", Value("Q_most", most.flow_m3_s, "flow", "at_most")
        elif state == "not-on":
            stage = stages[number - 1]
            name, switch_m3_s = ("open", stage.opens_at_m3_s) if self.at.falling else ("close", stage.closes_at_m3_s)
            formula, bound = f"Q < Q_{name}", Value(f"Q_{name}", switch_m3_s, "flow", "at_least")
        else:
            formula, bound = (
                "Q > Q_close,next",
                Value("Q_close,next", stages[number].closes_at_m3_s, "flow", "at_least"),
            )
        return Step(formula, (flow, bound), heating.HOLDS, sources(NAMEPLATE, say("supply-of-site")))


def outlet_table(prefix: str, title: str, at: Heated, *, heads: Sequence[Value], note: str = "") -> FigureTable:
    """Return the outlet temperatures [K] of every stage at every flow, each cell with state and working.

    `heads` are the flows of the rows (outlet_rows). Ids start with `prefix`.
    """
    grid = _Grid(prefix, at, heating.inlet_values(at.inlet_k))
    numbers = range(1, len(at.powers_w) + 1)
    powers_w, outlets = outlets_k(at, [counted_m3_s(head, at.falling) for head in heads])
    rows = tuple(
        (
            head,
            tuple(
                grid.cell(head, number, power_w, outlet_k=outlet_k)
                for number, power_w, outlet_k in zip(numbers, power_row, outlet_row, strict=True)
            ),
        )
        for head, power_row, outlet_row in zip(heads, powers_w, outlets, strict=True)
    )
    conditions = [Value(say("inlet"), at.inlet_k, "temperature")]
    if at.limit_k is not None:
        conditions.append(Value(say("limit"), at.limit_k, "temperature", "at_most"))
    columns = tuple(Value(say("stage"), number, "count") for number in numbers)
    return FigureTable(prefix, title, say("flow-by-stages"), columns, rows, note, tuple(conditions))

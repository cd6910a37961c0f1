"""Outlet temperature per stage over a grid of flows, and what keeps a cell of such a grid from being reached.

The row of stage n is for stages 1 to n closed, the columns are flows at the inlet. States of a cell, first match
first: "beyond supply", "not closed", "next stage closes", "above cut-out" (no value: unreachable), "above model
limit", "above limit" (value kept), "ok".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from generator.compute import heating
from generator.compute.water import FloatArray
from generator.model.figures import Figure, FigureTable, Side, Step, Value
from generator.model.heater import HeaterModel

UNREACHED = {
    "beyond supply": "The supply cannot bring this flow through the heater.",
    "not closed": "The flow is below the one at which this stage closes.",
    "next stage closes": "The next stage closes too at this flow, and the model has no selector to hold it open.",
    "above cut-out": "The cut-out opens before the water gets as hot as this flow would make it.",
}
ABOVE = {
    "above model limit": "Hotter than the greatest outlet temperature of the model.",
    "above limit": "Hotter than the limit temperature of the site.",
}

_PASSES = "h(T_in) + P / (ρ(T_in) × Q) ≥ h(T_cut-out)"
_YES = Value("holds", "yes", "text")


def flow_key(flow_m3_s: float) -> str:
    """Return the part of an id that names a flow: whole cubic millimetres a second, such as `126180-mm3-s`."""
    return f"{round(flow_m3_s * 1e9)}-mm3-s"


def outlet_grid_k(
    inlet_k: float, flows_m3_s: Sequence[float], powers_w: Sequence[float], ceiling_k: float
) -> FloatArray:
    """Return the outlet temperatures [K], shape (powers, flows), held at `ceiling_k` where the balance passes it."""
    powers = np.asarray(powers_w, dtype=np.float64)[:, np.newaxis]
    flows = np.asarray(flows_m3_s, dtype=np.float64)[np.newaxis, :]
    return heating.capped_outlet_k(np.full((1, 1), inlet_k), flows, powers, ceiling_k)


def unreached(model: HeaterModel, number: int, flow_m3_s: float, supply_m3_s: float | None) -> str:
    """Return the state that keeps exactly stages 1 to `number` from being closed at a rising flow, or ""."""
    if supply_m3_s is not None and flow_m3_s > supply_m3_s:
        return "beyond supply"
    if flow_m3_s < model.stages[number - 1].closes_at_m3_s:
        return "not closed"
    following = model.stages[number : number + 1]
    if not model.stage_selector and following and flow_m3_s >= following[0].closes_at_m3_s:
        return "next stage closes"
    return ""


def too_hot(model: HeaterModel, outlet_k: float, limit_k: float | None) -> str:
    """Return the state of an outlet temperature that passes a limit, the gravest first, or ""."""
    if outlet_k >= model.water.cut_out_k:
        return "above cut-out"
    if outlet_k > model.water.greatest_outlet_k:
        return "above model limit"
    return "above limit" if limit_k is not None and outlet_k > limit_k else ""


@dataclass(frozen=True, slots=True)
class _Grid:
    """What all the cells of one table share."""

    prefix: str
    model: HeaterModel
    inlet: tuple[Value, ...]
    cut_out: Value
    limit_k: float | None
    supply_m3_s: float | None
    side: Side

    def cell(self, number: int, power: Value, flow: Value, outlet_k: float) -> Figure:
        """Return the cell of `number` stages at a flow, whose outlet is `outlet_k` (at most the cut-out)."""
        flow_m3_s = float(flow.value)
        id_, label = f"{self.prefix}.stage.{number}.at.{flow_key(flow_m3_s)}", f"Outlet, stage {number}"
        state = unreached(self.model, number, flow_m3_s, self.supply_m3_s)
        if state:
            step = self._compared(state, number, flow)
            return Figure(id_, label, None, "temperature", self.side, (step,), state, UNREACHED[state])
        state = too_hot(self.model, outlet_k, self.limit_k)
        if state == "above cut-out":
            step = Step(_PASSES, (*self.inlet, power, flow, self.cut_out), _YES, heating.BALANCE)
            return Figure(id_, label, None, "temperature", self.side, (step,), state, UNREACHED[state])
        step = heating.outlet_step(self.inlet, power, flow, Value("T_out", outlet_k, "temperature", self.side))
        return Figure(id_, label, outlet_k, "temperature", self.side, (step,), state or "ok", ABOVE.get(state, ""))

    def _compared(self, state: str, number: int, flow: Value) -> Step:
        """Return the comparison that put a cell out of reach."""
        stages = self.model.stages
        if state == "beyond supply" and self.supply_m3_s is not None:
            formula, bound = "Q > Q_supply", Value("Q_supply", self.supply_m3_s, "flow", "down")
        elif state == "not closed":
            formula, bound = "Q < Q_close", Value("Q_close", stages[number - 1].closes_at_m3_s, "flow", "up")
        else:
            formula, bound = "Q ≥ Q_close,next", Value("Q_close,next", stages[number].closes_at_m3_s, "flow", "up")
        return Step(formula, (flow, bound), _YES, "nameplate of the model; supply of the site")


def outlet_table(
    prefix: str,
    title: str,
    model: HeaterModel,
    powers_w: Sequence[float],
    flows_m3_s: Sequence[float],
    inlet_k: float,
    limit_k: float | None,
    supply_m3_s: float | None = None,
    side: Side = "up",
    note: str = "",
) -> FigureTable:
    """Return the outlet temperatures [K] of every stage over the flows, each cell with state and working.

    `powers_w` cumulative per stage, `inlet_k` the season's inlet, `limit_k` the site's limit, `supply_m3_s` the
    greatest flow that the supply can bring (None: not known). `side`: to which the outlets round, "down" where they are
    to reach something. Ids start with `prefix`.
    """
    cut_out_k = model.water.cut_out_k
    cut_out = Value("T_cut-out", cut_out_k, "temperature", "up")
    grid = _Grid(prefix, model, heating.inlet_values(inlet_k), cut_out, limit_k, supply_m3_s, side)
    flows = tuple(Value("Q", flow, "flow") for flow in flows_m3_s)
    outlets = outlet_grid_k(inlet_k, flows_m3_s, powers_w, cut_out_k).tolist()
    rows = []
    for number, (power_w, row) in enumerate(zip(powers_w, outlets, strict=True), start=1):
        power = Value("P", power_w, "power")
        cells = tuple(grid.cell(number, power, flow, outlet_k) for flow, outlet_k in zip(flows, row, strict=True))
        rows.append((Value("stage", number, "count"), cells))
    conditions = [Value("inlet", inlet_k, "temperature")]
    if limit_k is not None:
        conditions.append(Value("limit", limit_k, "temperature", "down"))
    return FigureTable(prefix, title, "stages closed", flows, tuple(rows), note, tuple(conditions))

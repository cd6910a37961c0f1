"""Outlet temperature per stage over a grid of flows, and what keeps a stage from being on there.

Between the flow at which a stage drops out and the one at which it turns on it may be closed or not. The hottest
outlets take it as closed (the flow falls), the coolest as open (the flow rises).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from generator.compute.heat.balance import capped_outlet_k
from generator.compute.heat.water import FloatArray
from generator.model.figures import BoundKind
from generator.model.heater import HeaterModel
from generator.model.outlet_flows import Most
from generator.model.state import State
from generator.si import added


@dataclass(frozen=True, slots=True)
class Heated:
    """A model with its power by stage [W], cumulative, and the inlet [K] that it heats.

    `limit_k` is the site's limit (None: no site), `most` the greatest flow that supply and pressure allow (None: not
    known). `bound`: of the outlets: "at_least" for the hottest that a flow can give, "at_most" for the coolest.
    """

    model: HeaterModel
    powers_w: Sequence[float]
    inlet_k: float
    limit_k: float | None = None
    most: Most | None = None
    bound: BoundKind = "at_least"

    @property
    def falling(self) -> bool:
        """Whether the flow comes from above, where a stage stays closed until it drops out."""
        return self.bound != "at_most"


def outlets_k(at: Heated, flows_m3_s: Sequence[float]) -> tuple[list[list[float]], list[list[float]]]:
    """Return power [W] and outlet [K] by flow [m3/s] and stage; the outlet is at most the cut-out."""
    numbers = range(1, len(at.powers_w) + 1)
    powers_w = [[closed_power_w(at, number, flow) for number in numbers] for flow in flows_m3_s]
    return powers_w, outlet_grid_k(
        at.inlet_k, flows_m3_s, np.asarray(powers_w), ceiling_k=at.model.water.cut_out_k
    ).tolist()


def outlet_grid_k(inlet_k: float, flows_m3_s: Sequence[float], powers_w: FloatArray, *, ceiling_k: float) -> FloatArray:
    """Return the outlet temperatures [K], shape (flows, powers), held at `ceiling_k` where the balance passes it.

    `powers_w`, of that shape, is the power of each cell [W].
    """
    flows = np.asarray(flows_m3_s, dtype=np.float64)[:, np.newaxis]
    return capped_outlet_k(np.full((1, 1), inlet_k), flows, powers_w, ceiling_k=ceiling_k)


def closed_power_w(at: Heated, number: int, flow_m3_s: float) -> float:
    """Return the power [W] of stages 1 to `number`; of a falling flow [m3/s], of those that it has not opened yet.

    All of them, unless a stage that closes early drops out before a later one.
    """
    powers_w = at.powers_w
    if not at.falling:
        return powers_w[number - 1]
    opened = [place for place in range(number) if flow_m3_s < at.model.stages[place].opens_at_m3_s]
    return powers_w[number - 1] - added(powers_w[place] - (powers_w[place - 1] if place else 0.0) for place in opened)


def unreached(at: Heated, number: int, flow_m3_s: float) -> State | None:
    """Return the state that keeps stages 1 to `number`, and no more, from being closed at a flow [m3/s], or None."""
    model, most = at.model, at.most
    stage, following = model.stages[number - 1], model.stages[number : number + 1]
    if most is not None and flow_m3_s > most.flow_m3_s:
        return most.beyond
    if flow_m3_s < (stage.opens_at_m3_s if at.falling else stage.closes_at_m3_s):
        return "not-on"
    if not model.stage_selector and following and flow_m3_s > following[0].closes_at_m3_s:
        return "next-stage-on"
    return None


def above_limit(model: HeaterModel, outlet_k: float, limit_k: float | None) -> State | None:
    """Return the state of an outlet temperature that passes a limit, the gravest first, or None."""
    if outlet_k >= model.water.cut_out_k:
        return "above-cut-out"
    if outlet_k > model.water.greatest_outlet_k:
        return "above-model-limit"
    return "above-limit" if limit_k is not None and outlet_k > limit_k else None

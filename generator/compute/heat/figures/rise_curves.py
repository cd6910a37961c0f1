"""The rise of a model over the flow as curves, one a number of stages on, at each line of its nameplate."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from generator.compute.heat.figures.outlet_by_flow import BEYOND, POINTS
from generator.compute.heat.figures.rise import REFERENCE_INLET_K
from generator.compute.heat.outlet import Heated, outlets_k
from generator.compute.heat.stages import stage_powers_w
from generator.model.heater import HeaterModel, Rating
from generator.model.said import say
from generator.model.water_results import Curve


def rise_curves(prefix: str, model: HeaterModel, flows_m3_s: Sequence[float]) -> tuple[tuple[Curve, ...], ...]:
    """Return by rating the curves [m3/s, K] of 1, 2, ... stages, from the drop-out of the last to where the next is on.

    The last runs to the greatest of `flows_m3_s`, those of the rise tables, and a little beyond its own turn-on at
    least. At the reference inlet of the rise tables; held at the cut-out. Ids
    `<prefix>.curve.<voltage>-v-<phases>-phase.<n>`.
    """
    return tuple(tuple(_curves(prefix, model, rating, last=max(flows_m3_s))) for rating in model.ratings)


def _curves(prefix: str, model: HeaterModel, rating: Rating, *, last: float) -> Iterator[Curve]:
    heated = Heated(model, stage_powers_w(model, rating.voltage_v, rating.phases), REFERENCE_INLET_K)
    stages = model.stages
    ends = [one.closes_at_m3_s for one in stages[1:]] + [max(last, BEYOND * stages[-1].closes_at_m3_s)]
    for place, (stage, end) in enumerate(zip(stages, ends, strict=True)):
        start = stage.opens_at_m3_s
        if end <= start:
            continue
        switching = [stage.closes_at_m3_s, *(after.opens_at_m3_s for after in stages[place + 1 : place + 2])]
        inside = [flow for flow in switching if start < flow < end]
        flows = sorted({*np.geomspace(start, end, POINTS).tolist(), *inside})
        _, outlets = outlets_k(heated, flows)
        points = tuple((flow, row[place] - REFERENCE_INLET_K) for flow, row in zip(flows, outlets, strict=True))
        id_ = f"{prefix}.curve.{rating.voltage_v:.0f}-v-{rating.phases}-phase.{place + 1}"
        kind = "temperature_difference"
        yield Curve(id_, str(place + 1), say("flow-axis"), "flow", say("rise-axis"), kind, points)

"""The hottest water that a user could meet while throttling.

As the flow falls the outlet grows hotter until a stage opens; just above the flow at which stage k opens, all stages
with no higher opening flow are still closed. The hottest water is the hottest of these points at the warmest inlet,
held at the cut-out, which senses late: there the value is the least it can be. This is the heater's ordinary range,
with nothing broken. That the supply might never bring the flow that closes a stage is left out: pressure changes
through the day, and the result errs to the hot side.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, lru_cache

from generator.compute.band import Band
from generator.compute.heat.balance import capped_outlet_k, power_for_outlet_w
from generator.compute.heat.burn import hotter_row_k
from generator.compute.heat.stages import power_of_w
from generator.model.heater import HeaterModel
from generator.model.tables.burns import BurnTable


@dataclass(frozen=True, slots=True)
class Hottest:
    """The hottest water [K] with at most `number` stages selected, and where it occurs: flow [m3/s], power [W], stages
    closed. `held`: only the cut-out keeps it from growing hotter.

    `judged_k`: the temperature to judge by [K], itself or, held by the cut-out, the burn tables' next hotter row: a
    cut-out senses late and hot elements go on heating, so the water is at least as hot as its setting; infinite where
    no table has a hotter row.
    """

    number: int
    temperature_k: float
    flow_m3_s: float
    power_w: float
    closed: int
    held: bool
    judged_k: float


def drop_out_points(model: HeaterModel, number: int) -> tuple[tuple[float, tuple[int, ...]], ...]:
    """Return (flow [m3/s], stages closed just above it) for every flow at which one of stages 1 to `number` opens."""
    return _points(tuple(stage.opens_at_m3_s for stage in model.stages[:number]))


@lru_cache(maxsize=1_000)
def _points(opens_at_m3_s: tuple[float, ...]) -> tuple[tuple[float, tuple[int, ...]], ...]:
    return tuple(
        (flow, tuple(index for index, opens in enumerate(opens_at_m3_s, start=1) if opens <= flow))
        for flow in opens_at_m3_s
    )


@dataclass(frozen=True, slots=True)
class Circumstances:
    """Supply voltage [V] and phases, inlet [K]; what the true power and the true drop-out flows are of those stated."""

    voltage_v: float
    phases: int
    inlet_k: float
    power: float = 1.0
    flows: float = 1.0


def hottest_water(model: HeaterModel, on: Circumstances, burns: Sequence[BurnTable]) -> tuple[Hottest, ...]:
    """Return the hottest water with at most 1, 2, ... stages selected."""
    cut_out_k = model.water.cut_out_k

    @cache  # the same points stand under every number of stages that has them on
    def at(stated_m3_s: float, closed: tuple[int, ...]) -> tuple[float, float, float, int]:
        power_w = on.power * power_of_w(model, closed, on.voltage_v, phases=on.phases)
        flow_m3_s = on.flows * stated_m3_s
        outlet_k = max(on.inlet_k, capped_outlet_k(on.inlet_k, flow_m3_s, power_w, ceiling_k=cut_out_k))
        return outlet_k, flow_m3_s, power_w, len(closed)

    found = []
    for number in range(1, len(model.stages) + 1):
        outlet_k, flow_m3_s, power_w, closed = max(at(*point) for point in drop_out_points(model, number))
        held = outlet_k >= cut_out_k
        judged_k = hotter_row_k(outlet_k, burns) if held else outlet_k
        found.append(Hottest(number, outlet_k, flow_m3_s, power_w, closed, held, judged_k))
    return tuple(found)


def hottest_at_top(model: HeaterModel, phases: int, *, band: Band, burns: Sequence[BurnTable]) -> tuple[Hottest, ...]:
    """Return the hottest water by stages selected at the adverse end of the band.

    Where every stage has its least drop-out flow the most stages are on at each flow, so one share stands for all.
    """
    volts, inlet_k, power = band.volts.nominal, band.warmest_k.greatest, band.power.greatest
    return hottest_water(model, Circumstances(volts, phases, inlet_k, power, band.flows.least), burns)


def coolest_hottest(model: HeaterModel, phases: int, *, band: Band, burns: Sequence[BurnTable]) -> tuple[Hottest, ...]:
    """Return the same at the other end of the band, at which the hottest water is the coolest it can be."""
    volts, inlet_k, power = band.volts.nominal, band.warmest_k.least, band.power.least
    return hottest_water(model, Circumstances(volts, phases, inlet_k, power, band.flows.greatest), burns)


def holds_to_v(model: HeaterModel, number: int, *, phases: int, band: Band, limit_k: float) -> float:
    """Return up to which supply voltage [V] the hottest water keeps a limit [K], all else at the adverse end.

    With at most `number` stages selected; zero where the inlet alone passes the limit. The power that takes the inlet
    to the limit at each drop-out flow goes with the square of the voltage (Ohm and Joule). A limit above the cut-out
    counts as the cut-out, which senses late.
    """
    inlet_k, outlet_k = band.warmest_k.greatest, min(limit_k, model.water.cut_out_k)
    if inlet_k >= outlet_k:
        return 0.0
    nominal_v, taken = band.volts.nominal, band.input.greatest
    return nominal_v * math.sqrt(
        min(
            power_for_outlet_w(inlet_k, outlet_k, band.flows.least * flow_m3_s)
            / (taken * power_of_w(model, closed, nominal_v, phases=phases))
            for flow_m3_s, closed in drop_out_points(model, number)
        )
    )

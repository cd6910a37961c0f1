"""The tables of a pocket page, made of the functions by which the site itself is computed and its record judged."""

from __future__ import annotations

import math
from functools import cache

import numpy as np

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.drop.divider import Weights, weights
from generator.compute.circuit.drop.voltage_drop import own_stages
from generator.compute.heat.balance import power_at_voltage_w, power_for_outlet_w
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.hottest import drop_out_points
from generator.compute.heat.stages import power_of_w
from generator.compute.heat.water import BOILING_K
from generator.compute.known import Known
from generator.compute.record.expected import lines
from generator.compute.record.fields.full_load import pairs
from generator.compute.record.observe import predicted
from generator.compute.use.allowed_reading import kept_by_cut_out_k, open_limit_k
from generator.model.documents.pocket_tables import AllowedToday, LineAmps, Numbers, PocketTables, StageTable
from generator.si import FREEZING_K

# A curve of the third degree through neighbouring nodes misses the outlet by 0.0002 K at most: the tests measure it.
NODES = 18
# The least and the greatest voltage taken, as parts of the stated one: beyond them no such heater runs.
LEAST_PART, GREATEST_PART = 0.5, 1.4


def pocket_tables(facts: Known) -> PocketTables | None:
    """Return the tables of a site; None where the supply does not fit the heater, so that nothing follows."""
    if facts.unfit:
        return None
    heat, supply = facts.heat, facts.at.site.supply
    warmest_k = heat.band.warmest_k.greatest
    limit_k = open_limit_k(facts.at.site, heat.default_limit_k, facts.at.plumbing.limits)
    return PocketTables(
        temperatures_k=_temperatures_k(),
        heat_j_m3=_heat_j_m3(),
        volts=(LEAST_PART * supply.voltage_v, GREATEST_PART * supply.voltage_v),
        pairs=pairs(facts.circuits[0].load.connection),
        stages=tuple(_stage(facts, number) for number in range(1, heat.selected + 1)),
        input=(facts.stated_input.least, facts.stated_input.greatest),
        supply_v=(heat.band.volts.least, heat.band.volts.greatest),
        inlet_k=(heat.band.coldest_k.least, warmest_k),
        cut_out_k=facts.at.model.water.cut_out_k,
        summer_k=warmest_k,
        summer_j_m3=summer_heat_j_m3(heat),
        limit_k=limit_k,
        allowed=_allowed(heat, limit_k),
    )


def summer_heat_j_m3(heat: ThermalCase) -> float:
    """Return the most heat that a volume of water takes up [J/m3] at the nameplate's power and the greatest voltage.

    The greatest P / Q over the flows, at their least, at which a stage drops out, with the stages on just above it:
    where the hottest water of `heat.hottest` occurs, whatever the power. Source: steady-flow energy balance.
    """
    model, supply, band = heat.model, heat.site.supply, heat.band

    def power_w(closed: tuple[int, ...]) -> float:
        stated_w = power_of_w(model, closed, supply.voltage_v, phases=supply.phases)
        return power_at_voltage_w(stated_w, supply.voltage_v, band.volts.greatest)

    points = drop_out_points(model, heat.selected)
    return max(power_w(closed) / (band.flows.least * flow_m3_s) for flow_m3_s, closed in points)


@cache
def _temperatures_k() -> Numbers:
    return tuple(float(node) for node in np.linspace(FREEZING_K, BOILING_K, NODES))


@cache
def _heat_j_m3() -> tuple[Numbers, ...]:
    """Return by inlet and outlet the heat that a volume takes up [J/m3]: the power at a flow of 1 m3/s."""
    nodes = np.asarray(_temperatures_k())
    heat = power_for_outlet_w(nodes[:, np.newaxis], nodes[np.newaxis, :], np.ones((1, 1)))
    return tuple(tuple(float(one) for one in row) for row in heat)


def _stage(facts: Known, number: int) -> StageTable:
    model, flows = facts.at.model, facts.heat.band.flows
    on, following = range(1, number + 1), model.stages[number : number + 1]
    unread = [predicted(circuit, on, None, at_panel=False) for circuit in facts.circuits]
    return StageTable(
        number=number,
        power_s=tuple(map(math.fsum, zip(*(_weights(one, number).power_s for one in facts.circuits), strict=True))),
        unread_w=math.fsum(found.power_w for found in unread if found),
        lines=tuple(one for circuit in facts.circuits for one in _lines(circuit, number)),
        drops_out_m3_s=flows.least * max(stage.opens_at_m3_s for stage in model.stages[:number]),
        next_on_m3_s=flows.greatest * following[0].closes_at_m3_s if following and not model.stage_selector else None,
    )


def _weights(circuit: Circuit, number: int) -> Weights:
    return weights(circuit.load.stages[: own_stages(circuit.load, number)], circuit.load.connection)


def _lines(circuit: Circuit, number: int) -> tuple[LineAmps, ...]:
    by_line = _weights(circuit, number).lines_s2
    unread = predicted(circuit, range(1, number + 1), None, at_panel=False)
    return tuple(
        LineAmps(
            feed=circuit.load.name,
            line=line,
            squares_s2=by_line[place],
            unread_a=unread.line_a(place) if unread else 0.0,
        )
        for place, line in enumerate(lines(circuit))
    )


def _allowed(heat: ThermalCase, limit_k: float | None) -> AllowedToday | None:
    """Return what a reading may be today; None where a valve holds each limit, or the warmest inlet passes it."""
    warmest_k = heat.band.warmest_k.greatest
    if limit_k is None or limit_k <= warmest_k:
        return None
    held_k = kept_by_cut_out_k(heat.model, limit_k, heat.burns)
    return AllowedToday(power_for_outlet_w(warmest_k, limit_k, 1.0), held_k)

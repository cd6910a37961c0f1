"""What each fixture asks of the heater: power in the coldest month, stage, what it then gets, and the hot share.

A fixture's flow is taken as mixed water metered at the inlet temperature, which overstates its mass, and so the power
asked for, by less than 1 %. Hot and cold shared at the fixture change nothing in the power: the mixture carries what
the heater put in.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from generator.compute.flow.heater_loss import heater_loss
from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance as heating
from generator.compute.heat.stages import closed_stages, rating_for_supply, stage_powers_w
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.errors import CannotCompute
from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.model.state import State

# A supply within this share of a rated voltage suits it: common practice, no source.
VOLTAGE_MARGIN = 0.1


@dataclass(frozen=True, slots=True)
class Climate:
    """What the wet side reckons with [K]: coldest and warmest inlet, target and limit of the site.

    `reach_w`: what the voltage drop leaves of a model's power by stage here [W], or None where it can have no circuit.
    """

    winter_k: float
    summer_k: float
    target_k: float
    limit_k: float
    reach_w: Callable[[HeaterModel], tuple[float, ...] | None]


@dataclass(frozen=True, slots=True)
class Duty:
    """What one fixture, or all in use together, ask for and get; target and limit [K].

    `needed_w`: power that takes the flow [m3/s] to the target at the coldest inlet. `stage`: the lowest stage that can
    be set and gives it, else None. `off`: why no stage turns on at this flow here (see `Operating.why_off`), else None.
    `at_stage`: the stage, or the highest that turns on at this flow (0: none).
    `power_w`, `reach_w`: its power, and what the voltage drop leaves of it, with which the demand is met. `winter_k`,
    `summer_k`: what then comes out [K]. `hot_share`: of hot water at the limit temperature in the mixture, at the
    coldest inlet (by mass; 1 where the target is the limit).
    """

    name: str
    flow_m3_s: float
    target_k: float
    limit_k: float
    needed_w: float
    stage: int | None
    off: State | None
    at_stage: int
    power_w: float
    reach_w: float
    winter_k: float
    summer_k: float
    hot_share: float


def serving_stage(
    model: HeaterModel, powers_w: Sequence[float], flow_m3_s: float, *, needed_w: float, selected: int | None
) -> int | None:
    """Return the lowest stage that can be set at this flow [m3/s] and gives `needed_w` [W], or None.

    With a selector any stage that closes at the flow, without one only the highest that does.
    """
    closed = closed_stages(flow_m3_s, model, selected)
    usable = closed if model.stage_selector else closed[-1:]
    return next((number for number in usable if powers_w[number - 1] >= needed_w), None)


def _duty(at: Operating, climate: Climate, name: str, *, flow_m3_s: float, target_k: float, limit_k: float) -> Duty:
    site, model = at.site, at.model
    powers_w = (0.0, *stage_powers_w(model, site.supply.voltage_v, site.supply.phases))
    left_w = (0.0, *(climate.reach_w(model) or (0.0,) * len(model.stages)))
    needed_w = max(0.0, heating.power_for_outlet_w(climate.winter_k, target_k, flow_m3_s))
    off, stage = at.why_off(flow_m3_s), None
    if not off:
        stage = serving_stage(model, left_w[1:], flow_m3_s, needed_w=needed_w, selected=site.selected_stage)
    at_stage = stage or max(at.closed_at(flow_m3_s), default=0)
    power_w, reach_w, cut_out_k = powers_w[at_stage], left_w[at_stage], model.water.cut_out_k
    winter_k = heating.capped_outlet_k(climate.winter_k, flow_m3_s, reach_w, ceiling_k=cut_out_k)
    summer_k = heating.capped_outlet_k(climate.summer_k, flow_m3_s, power_w, ceiling_k=cut_out_k)
    return Duty(
        name,
        flow_m3_s,
        target_k,
        limit_k,
        needed_w,
        stage,
        off,
        at_stage,
        power_w,
        reach_w,
        winter_k,
        summer_k,
        hot_share=_hot_share(limit_k, climate.winter_k, target_k),
    )


def _hot_share(hot_k: float, cold_k: float, target_k: float) -> float:
    """Return the share of hot water in the mixture, 0 where cold water is warm enough, 1 where hot water is not."""
    if target_k <= cold_k:
        return 0.0
    return 1.0 if hot_k <= target_k else heating.hot_share(hot_k, cold_k, target_k)


def duties(at: Operating, climate: Climate) -> tuple[Duty, ...]:
    """Return the duty of every fixture alone."""
    return tuple(
        _duty(
            at,
            climate,
            fixture.name,
            flow_m3_s=fixture.flow_m3_s,
            target_k=fixture.target_k,
            limit_k=fixture_limit_k(fixture, climate.limit_k),
        )
        for fixture in at.site.fixtures
    )


def together(at: Operating, climate: Climate) -> Duty:
    """Return the duty of all fixtures in use at once, each brought to the highest target among them."""
    return _duty(
        at, climate, "all in use together", flow_m3_s=at.wanted_m3_s, target_k=climate.target_k, limit_k=climate.limit_k
    )


def _suits_supply(site: Site, model: HeaterModel) -> bool:
    supply = site.supply
    try:
        rating = rating_for_supply(model, supply.voltage_v, supply.phases)
    except CannotCompute:
        return False
    near = abs(supply.voltage_v / rating.voltage_v - 1.0) <= VOLTAGE_MARGIN
    return near and model.frequency_hz == supply.frequency_hz


def _serves(at: Operating, model: HeaterModel, climate: Climate, *, flow_m3_s: float, needed_w: float) -> bool:
    left_w = climate.reach_w(model)
    way = replace(at.way, heater=heater_loss(at.site, model))
    pressed = way.at_switches(flow_m3_s) >= model.water.working_pressure.least_pa
    reached = (way.greatest_flow() or 0.0) >= flow_m3_s and model.water.greatest_outlet_k >= climate.target_k
    if left_w is None or not (pressed and reached):
        return False
    return serving_stage(model, left_w, flow_m3_s, needed_w=needed_w, selected=None) is not None


def smallest_heater(
    at: Operating, models: Sequence[HeaterModel], climate: Climate, *, flow_m3_s: float, needed_w: float
) -> HeaterModel | None:
    """Return the least powerful model of the range that gives `needed_w` [W] at this flow [m3/s] here, or None.

    The power is what the voltage drop leaves. It must suit the supply (phases, frequency, voltage within a tenth of its
    rating) and the pressure at the heater.
    """
    supply = at.site.supply
    suited = [model for model in models if _suits_supply(at.site, model)]
    able = [model for model in suited if _serves(at, model, climate, flow_m3_s=flow_m3_s, needed_w=needed_w)]
    return min(able, key=lambda model: stage_powers_w(model, supply.voltage_v, supply.phases)[-1], default=None)

"""What each fixture asks of the heater: power in the coldest month, stage, what it then gets, and the hot share.

A fixture's flow is taken as mixed water metered at the inlet temperature, which overstates its mass, and so the power
asked for, by less than 1 %. Hot and cold shared at the fixture change nothing in the power: the mixture carries what
the heater put in. What comes out is taken at the stage that the site has selected, not at one that would do.

Several at once ask for the sum of their powers. The heater then heats to the highest of their targets, and those with a
lower one add cold water beside it, so that less than the whole flow passes the heater.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from generator.compute.flow.heater_loss import heater_loss
from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance as heating
from generator.compute.heat.stages import closed_stages, power_of_w, rating_for_supply, stage_powers_w
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.errors import CannotCompute
from generator.model.heater import HeaterModel
from generator.model.said import say
from generator.model.site import Fixture, Site
from generator.model.state import State
from generator.si import added

# A supply within this share of a rated voltage suits it: common practice, no source.
VOLTAGE_MARGIN = 0.1


@dataclass(frozen=True, slots=True)
class Terms:
    """What the wet side computes with [K]: coldest and warmest inlet, target and limit of the site.

    `reach_w`: what the voltage drop leaves of a model's power by stage here [W], or None where it can have no circuit.
    `warmest_k`: the warmest that an estimated inlet may be, None where it is measured. `hottest_k`: the hottest water
    that `hottest-water` judges as stated, None where it does not.
    """

    winter_k: float
    summer_k: float
    target_k: float
    limit_k: float
    reach_w: Callable[[HeaterModel], tuple[float, ...] | None]
    warmest_k: float | None = None
    hottest_k: float | None = None


@dataclass(frozen=True, slots=True)
class Ask:
    """What one fixture, or all in use together, ask for; target and limit [K], flows [m3/s].

    `heated_m3_s`: what of the flow passes the heater when it heats to the target; the whole where one fixture asks.
    `needed_w`: power that takes it there at the coldest inlet.
    """

    name: str
    flow_m3_s: float
    heated_m3_s: float
    target_k: float
    limit_k: float
    needed_w: float


@dataclass(frozen=True, slots=True)
class Duty(Ask):
    """What is asked for, and what they get.

    `stage`: the lowest stage that can be set and gives it, else None. `off`: why no stage turns on at this flow here
    (see `Operating.why_off`), else None. `at_stage`: the highest stage in use that turns on at this flow (0: none);
    `reach_w`: what the voltage drop leaves of its power, with which the demand is met. `warm_stage`: the highest in use
    still on where the flow falls to it; `power_w`: the whole power of all that are. `winter_k`, `summer_k`: what then
    comes out [K]. `hot_share`: of hot water at the limit temperature in the mixture, at the coldest inlet (by mass; 1
    where the target is the limit).
    """

    stage: int | None
    off: State | None
    at_stage: int
    reach_w: float
    warm_stage: int
    power_w: float
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


def _duty(at: Operating, terms: Terms, ask: Ask) -> Duty:
    site, model, flow_m3_s, cut_out_k = at.site, at.model, ask.heated_m3_s, at.model.water.cut_out_k
    left_w = (0.0, *(terms.reach_w(model) or (0.0,) * len(model.stages)))
    off, stage, at_stage = why_off(at, ask.flow_m3_s, flow_m3_s), None, 0
    warm: tuple[int, ...] = ()
    if not off:
        stage = serving_stage(model, left_w[1:], flow_m3_s, needed_w=ask.needed_w, selected=at.selected)
        at_stage = max(at.closed_at(flow_m3_s))
        warm = closed_stages(flow_m3_s, model, at.selected, falling=True)
    power_w = power_of_w(model, warm, site.supply.voltage_v, phases=site.supply.phases)
    return Duty(
        ask.name,
        ask.flow_m3_s,
        flow_m3_s,
        ask.target_k,
        ask.limit_k,
        ask.needed_w,
        stage,
        off,
        at_stage,
        left_w[at_stage],
        max(warm, default=0),
        power_w,
        winter_k=heating.capped_outlet_k(terms.winter_k, flow_m3_s, left_w[at_stage], ceiling_k=cut_out_k),
        summer_k=heating.capped_outlet_k(terms.summer_k, flow_m3_s, power_w, ceiling_k=cut_out_k),
        hot_share=_hot_share(ask.limit_k, terms.winter_k, ask.target_k),
    )


def why_off(at: Operating, flow_m3_s: float, heated_m3_s: float) -> State | None:
    """Return why no stage turns on at a flow [m3/s] of which `heated_m3_s` pass the heater, or None.

    Pressure and supply are judged as if the whole passed it, which asks more of them.
    """
    whole = at.why_off(flow_m3_s)
    return at.why_off(heated_m3_s) if whole in (None, "not-on") else whole


def _hot_share(hot_k: float, cold_k: float, target_k: float) -> float:
    """Return the share of hot water in the mixture, 0 where cold water is warm enough, 1 where hot water is not."""
    if target_k <= cold_k:
        return 0.0
    return 1.0 if hot_k <= target_k else heating.hot_share(hot_k, cold_k, target_k)


def _needed_w(fixture: Fixture, winter_k: float) -> float:
    return max(0.0, heating.power_for_outlet_w(winter_k, fixture.target_k, fixture.flow_m3_s))


def duties(at: Operating, terms: Terms) -> tuple[Duty, ...]:
    """Return the duty of every fixture alone, computed once for all that is found of them."""
    if terms not in at.kept:
        at.kept[terms] = tuple(_duty(at, terms, _alone(at, fixture, terms)) for fixture in at.site.fixtures)
    found: tuple[Duty, ...] = at.kept[terms]
    return found


def _alone(at: Operating, fixture: Fixture, terms: Terms) -> Ask:
    flow, limit_k = fixture.flow_m3_s, fixture_limit_k(fixture, terms.limit_k, at.plumbing.limits)
    return Ask(fixture.name, flow, flow, fixture.target_k, limit_k, _needed_w(fixture, terms.winter_k))


def together(at: Operating, terms: Terms) -> Duty:
    """Return the duty of all fixtures in use at once: the sum of their powers, at the highest target among them."""
    used = [fixture for fixture in at.site.fixtures if fixture.at_once]
    target_k = max(fixture.target_k for fixture in used)
    needed_w = added(fixture.at_once * _needed_w(fixture, terms.winter_k) for fixture in used)
    shares = (
        fixture.at_once * fixture.flow_m3_s * _hot_share(target_k, terms.winter_k, fixture.target_k) for fixture in used
    )
    flow = at.wanted_m3_s
    return _duty(at, terms, Ask(say("all-together"), flow, added(shares) or flow, target_k, terms.limit_k, needed_w))


def selections(at: Operating, terms: Terms, duty: Duty) -> tuple[int, ...]:
    """Return the stages that can be selected for a fixture alone: its target is reached, its limit kept in summer.

    Whatever keeps the heater off here is left out; without a circuit there are none.
    """
    model, supply, found = at.model, at.site.supply, []
    left_w = terms.reach_w(model) or (0.0,) * len(model.stages)
    outlets_k: dict[tuple[int, ...], float] = {}
    for number in range(1, len(model.stages) + 1):
        closed = closed_stages(duty.flow_m3_s, model, number)
        if not (closed and left_w[closed[-1] - 1] >= duty.needed_w):
            continue
        warm = closed_stages(duty.flow_m3_s, model, number, falling=True)
        if warm not in outlets_k:
            power_w, most_k = power_of_w(model, warm, supply.voltage_v, phases=supply.phases), model.water.cut_out_k
            outlets_k[warm] = heating.capped_outlet_k(terms.summer_k, duty.flow_m3_s, power_w, ceiling_k=most_k)
        if outlets_k[warm] <= duty.limit_k:
            found.append(number)
    return tuple(found)


def _suits_supply(site: Site, model: HeaterModel) -> bool:
    supply = site.supply
    try:
        rating = rating_for_supply(model, supply.voltage_v, supply.phases)
    except CannotCompute:
        return False
    near = abs(supply.voltage_v / rating.voltage_v - 1.0) <= VOLTAGE_MARGIN
    return near and model.frequency_hz == supply.frequency_hz


def _serves(at: Operating, model: HeaterModel, terms: Terms, *, duty: Duty) -> bool:
    way = replace(at.way, heater=heater_loss(at.site, model))
    pressed = way.at_switches(duty.flow_m3_s) >= model.water.working_pressure.least_pa
    reached = way.brings(duty.flow_m3_s) and model.water.greatest_outlet_k >= terms.target_k
    supply, flow_m3_s, needed_w = at.site.supply, duty.heated_m3_s, duty.needed_w
    full_w = stage_powers_w(model, supply.voltage_v, supply.phases)
    # The drop leaves less: of a heater that is too small anyway no circuit is designed.
    enough = serving_stage(model, full_w, flow_m3_s, needed_w=needed_w * (1.0 - 1e-9), selected=None) is not None
    left_w = terms.reach_w(model) if pressed and reached and enough else None
    if left_w is None:
        return False
    return serving_stage(model, left_w, flow_m3_s, needed_w=needed_w, selected=None) is not None


def smallest_heater(at: Operating, models: Sequence[HeaterModel], terms: Terms, *, duty: Duty) -> HeaterModel | None:
    """Return the least powerful model of the range that gives the power that a duty needs here, or None.

    The power is what the voltage drop leaves. It must suit the supply (phases, frequency, voltage within a tenth of its
    rating) and the pressure at the heater.
    """
    supply = at.site.supply
    suited = [model for model in models if _suits_supply(at.site, model)]
    rising = sorted(suited, key=lambda model: stage_powers_w(model, supply.voltage_v, supply.phases)[-1])
    return next((model for model in rising if _serves(at, model, terms, duty=duty)), None)

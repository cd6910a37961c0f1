"""The flow that happens: balances recomputed forward, drop-out simulated with the valve left as it is."""

import random
from dataclasses import replace

import pytest
from hypothesis import assume

from generator.compute.flow.operating_point import (
    Operating,
    flow_bounds,
    operating_figures,
    wanted_flow_m3_s,
)
from generator.compute.flow.stage_reach import FLOW_FALLS, PRESSURE_FALLS, stage_reach
from generator.compute.flow.throttling import inlet_fails_below_m3_s, pressure_curves, table_flows
from generator.compute.flow.throttling_finding import throttling_finding
from generator.compute.flow.waterway import MOST_FLOW_M3_S
from tests.compute.wet_cases import (
    GPM,
    PSI,
    SITES,
    four_stage,
    model,
    operating,
    run,
    site,
    steady,
    waterway,
    with_fixtures,
    with_water,
)
from tests.compute.wet_random import A_DROP_M3_S, by_chance, random_model, random_site
from tests.finding_texts import said


def at_work(chance: random.Random) -> Operating:
    place = random_site(chance)
    heater = random_model(chance, place.heater)
    return operating(place, heater, waterway(place, heater, float(place.water.inlet.winter_k or 0.0)))


def of_demo(name: str, winter_k: float = 284.0) -> Operating:
    place = site(name)
    heater = model(place.heater)
    return operating(place, heater, waterway(place, heater, winter_k))


def flow_at(at: Operating, static_pa: float) -> float:
    """The flow that runs at another static pressure with the outlet valve as at work: the simulated sag."""
    way = replace(at.way, static_pa=static_pa)
    return way.flow_holding(lambda flow: way.left_for_outlet(flow) - at.valve * flow**2) or 0.0


@by_chance
def test_the_valve_at_work_balances_the_pressures(chance: random.Random) -> None:
    at = at_work(chance)
    q = at.working_m3_s
    assume(q > 0.0)
    assert at.valve * q**2 == pytest.approx(max(at.way.left_for_outlet(q), 0.0), abs=1e-6 * at.way.static_pa)
    if at.way.left_for_outlet(q) > 0.0:
        assert flow_at(at, at.way.static_pa) == pytest.approx(q, rel=1e-6)


@by_chance
def test_drop_out_happens_where_it_is_told(chance: random.Random) -> None:
    at = at_work(chance)
    least_pa = at.model.water.working_pressure.least_pa
    for stage, reach in zip(at.model.stages, stage_reach(at), strict=True):
        if reach.drop_out_pa is None:
            continue
        assert reach.drop_out_pa <= at.way.static_pa * (1.0 + 1e-9)
        for shift, holds in ((1.0, True), (-1.0, False)):
            static = reach.drop_out_pa + shift * 1e-3 * PSI
            flow = flow_at(at, static)
            pressure = replace(at.way, static_pa=static).at_switches(flow)
            assert (flow > stage.opens_at_m3_s and pressure >= least_pa) is holds
        falls = PRESSURE_FALLS if flow > stage.opens_at_m3_s else FLOW_FALLS
        assert reach.drop_out_reason == falls


@by_chance
def test_a_stage_closes_at_its_least_static_pressure_and_not_below(chance: random.Random) -> None:
    at = at_work(chance)
    for stage, reach in zip(at.model.stages, stage_reach(at), strict=True):
        closes = stage.closes_at_m3_s
        for shift, can in ((1.0, True), (-1.0, False)):
            way = replace(at.way, static_pa=reach.least_static_pa + shift * 1e-3 * PSI)
            enough = way.at_switches(closes) >= at.model.water.working_pressure.least_pa
            assert (enough and way.left_for_outlet(closes) >= 0.0) is can


@by_chance
def test_within_the_bounds_every_pressure_is_in_range(chance: random.Random) -> None:
    at = at_work(chance)
    working = at.model.water.working_pressure
    bounds = flow_bounds(at)
    least = max((flow for flow, _ in bounds.least), default=0.0)
    greatest = min(flow for flow, _ in bounds.greatest)
    assume(least <= greatest)
    slack = 1e-6 * at.way.static_pa
    for share in (0.0, 0.3, 1.0):
        flow = least + share * (greatest - least)
        pressure = at.way.at_switches(flow)
        if flow < greatest or greatest < MOST_FLOW_M3_S:
            assert pressure >= working.least_pa - slack or greatest == 0.0
        assert pressure <= working.greatest_pa + slack or flow < MOST_FLOW_M3_S == least
        assert at.way.left_for_outlet(flow) >= -slack or greatest == 0.0


@by_chance
def test_just_outside_the_bounds_a_pressure_is_out_of_range(chance: random.Random) -> None:
    at = at_work(chance)
    working, bounds = at.model.water.working_pressure, flow_bounds(at)
    greatest = min(flow for flow, _ in bounds.greatest)
    if A_DROP_M3_S < greatest < MOST_FLOW_M3_S:
        above = greatest * (1.0 + 1e-6)
        short = at.way.at_switches(above) < working.least_pa
        assert short or min(at.way.left_for_outlet(above), at.way.at_heater(above)) < 0.0
    for flow, _ in bounds.least:
        if A_DROP_M3_S < flow < MOST_FLOW_M3_S:
            assert at.way.at_switches(flow * (1.0 - 1e-6)) > working.greatest_pa * (1.0 - 1e-12)


@by_chance
def test_throttled_inlet_fails_just_where_it_is_told(chance: random.Random) -> None:
    at = at_work(chance)
    fails, least_pa = inlet_fails_below_m3_s(at), at.model.water.working_pressure.least_pa
    if fails is None:
        assert at.way.behind_inlet_valve(0.0) > least_pa
    elif fails < MOST_FLOW_M3_S:
        assert at.way.behind_inlet_valve(fails) == pytest.approx(least_pa, rel=1e-6)


@by_chance
def test_a_valve_before_the_heater_never_leaves_more_pressure_than_one_after(chance: random.Random) -> None:
    at = at_work(chance)
    for flow in table_flows(at):
        assert at.way.behind_inlet_valve(flow) <= at.way.at_switches(flow) + 1e-6 * at.way.static_pa
    curves = pressure_curves("site.x.water", at)
    if not curves:
        assert not at.greatest_m3_s, "a curve is missing where water flows"
        return
    outlet, inlet = curves
    assert [flow for flow, _ in outlet.points] == [flow for flow, _ in inlet.points]
    if at.greatest_m3_s and at.way.left_for_outlet(at.greatest_m3_s) < 1.0:
        assert inlet.points[-1][1] == pytest.approx(outlet.points[-1][1], abs=1.0)


@pytest.mark.parametrize("name", SITES)
def test_throttling_before_the_heater_starves_it_at_every_demo_site(name: str) -> None:
    at = of_demo(name)
    found = throttling_finding(at)
    q = at.working_m3_s
    stopped = any("stop-valve" in run.fittings for run in at.site.water.cold_run)
    judged = ("attention", "regulated-starves-below") if stopped else ("ok", "starves-below")
    assert (found.severity, found.case) == judged
    assert {value.symbol: value.value for value in found.values} == {
        "least": at.model.water.working_pressure.least_pa,
        "flow": q,
        "outlet": at.way.at_switches(q),
        "inlet": at.way.behind_inlet_valve(q),
        "fails": inlet_fails_below_m3_s(at),
    }
    assert at.way.behind_inlet_valve(at.working_m3_s) < at.model.water.working_pressure.least_pa


def test_a_valve_made_for_regulating_before_the_heater_needs_attention() -> None:
    """A globe valve regulates, a ball or gate valve shuts off: common practice, no source."""
    place, heater = site("packing-house"), model("beck-9")
    for kind, severity in (
        ("globe-valve", "attention"),
        ("gate-valve", "ok"),
        ("stop-valve", "attention"),
        ("ball-valve", "ok"),
    ):
        fitted = with_water(place, cold_run=(*place.water.cold_run, run("copper-l", "3/4 in", 1.0, **{kind: 1})))
        found = throttling_finding(operating(fitted, heater, waterway(fitted, heater, 284.0)))
        assert (found.severity, found.case) == (severity, f"{'regulated-' * (severity == 'attention')}starves-below")
        assert ("globe" in said(found, "do")) == (severity == "attention")


def test_throttling_is_ok_where_the_height_alone_keeps_the_pressure() -> None:
    tall = with_water(site("packing-house"), static_pressure=steady(150.0), hot_run=(run("pex", "1/2 in", 90, 90.0),))
    heater = model("beck-9")
    found = throttling_finding(operating(tall, heater, waterway(tall, heater, 284.0)))
    assert (found.severity, found.case) == ("ok", "holds")


def at_pressure(spare_psi: float) -> Operating:
    """The packing house with its heater's least working pressure and this much more at the working flow."""
    place, heater = site("packing-house"), four_stage()
    at = operating(place, heater, waterway(place, heater, 284.0))
    over_pa = at.way.at_switches(at.wanted_m3_s) - heater.water.working_pressure.least_pa - spare_psi * PSI
    place = with_water(place, static_pressure=steady((place.water.static_pressure.least_pa - over_pa) / PSI))
    return operating(place, heater, waterway(place, heater, 284.0))


@pytest.mark.parametrize(
    ("spare_psi", "off", "closed"), [(0.1, None, (1, 2, 3, 4)), (-0.1, "below-working-pressure", ())]
)
def test_no_stage_counts_below_the_working_pressure(spare_psi: float, off: str | None, closed: tuple[int, ...]) -> None:
    """The model is stated to work from 25 psi: what it does below that nobody says."""
    at = at_pressure(spare_psi)
    assert at.way.at_switches(at.working_m3_s) / PSI == pytest.approx(25.0 + spare_psi)
    assert (at.why_off(at.working_m3_s), at.closed) == (off, closed)
    pressure = operating_figures("site.x.water", at)[2]
    assert (pressure.id, pressure.state) == ("site.x.water.pressure-at-heater", off or "ok")


def test_why_no_stage_is_on() -> None:
    """The heater's first stage turns on at 0.40 gpm, the third at 0.70, the last at 0.90."""
    at = at_pressure(20.0)
    assert at.why_off(at.greatest_m3_s * 1.001) == "beyond-supply"
    assert at.why_off(0.399 * GPM) == "not-on"
    assert (at.closed_at(0.40 * GPM), at.closed_at(0.89 * GPM)) == ((1,), (1, 2, 3))


def test_the_figures_say_what_flows() -> None:
    """A figure without flow has no value; one short of what is wanted says so. 0.9 gpm is wanted, then ten times it."""
    place, heater = with_water(site("packing-house"), hot_run=(run("copper-l", "1/2 in", 100.0),)), four_stage()
    for gpm, state in ((0.9, "ok"), (90.0, "below-wanted")):
        wanted = with_fixtures(place, place.fixtures[0].model_copy(update={"flow_m3_s": gpm * GPM, "at_once": 1}))
        at = operating(wanted, heater, waterway(wanted, heater, 284.0))
        working, greatest, *_ = operating_figures("site.x.water", at)
        assert (working.state, greatest.state) == (state, "ok")
        assert greatest.value == at.greatest_m3_s
        assert working.value == pytest.approx(min(gpm * GPM, at.greatest_m3_s))
    uphill = with_water(place, static_pressure=steady(10.0), cold_run=(run("pex", "1 in", 60, 60.0),))
    none = operating_figures("site.x.water", operating(uphill, heater, waterway(uphill, heater, 284.0)))[1]
    assert (none.value, none.state) == (None, "none")


def test_colder_water_brings_less() -> None:
    """Colder water is thicker; the coldest inlet therefore gives the least flow."""
    assert of_demo("bunkhouse", 275.0).greatest_m3_s < of_demo("bunkhouse", 295.0).greatest_m3_s


def test_working_flow_is_what_the_fixtures_ask_for() -> None:
    at = of_demo("packing-house")
    (sink,) = at.site.fixtures
    assert at.working_m3_s == sink.flow_m3_s * sink.at_once
    assert at.closed == (1, 2, 3, 4)


def test_fixtures_in_use_together_add_up_and_none_counts_as_the_largest() -> None:
    tap = site("packing-house").fixtures[0].model_copy(update={"flow_m3_s": 0.4 * GPM, "at_once": 2})
    jet = tap.model_copy(update={"flow_m3_s": 0.7 * GPM, "at_once": 1})
    assert wanted_flow_m3_s(with_fixtures(site("packing-house"), tap, jet)) == pytest.approx(1.5 * GPM)
    idle = [fixture.model_copy(update={"at_once": 0}) for fixture in (tap, jet)]
    assert wanted_flow_m3_s(with_fixtures(site("packing-house"), *idle)) == pytest.approx(0.7 * GPM)


def test_a_site_uphill_of_its_pressure_has_no_flow() -> None:
    uphill = with_water(site("packing-house"), static_pressure=steady(10.0), cold_run=(run("pex", "1 in", 60, 60.0),))
    at = operating(uphill, model("beck-9"), waterway(uphill, model("beck-9"), 284.0))
    assert (at.greatest_m3_s, at.working_m3_s, at.closed) == (0.0, 0.0, ())
    assert min(flow for flow, _ in flow_bounds(at).greatest) == 0.0


@by_chance
def test_at_the_greatest_flow_the_losses_use_up_the_static_pressure(chance: random.Random) -> None:
    """Bernoulli from the main to the open air, each loss as it is shown: their sum is what the supply has.

    Where the hot run falls, the flow can end at a heater without pressure before the fixture has none left.
    """
    at = at_work(chance)
    assume(0.0 < at.greatest_m3_s < MOST_FLOW_M3_S)
    assume(at.way.at_heater(at.greatest_m3_s) > 1e-3 * at.way.static_pa)
    greatest = next(one for one in operating_figures("x", at) if one.id == "x.greatest-flow")
    static, *losses = (float(value.value) for value in greatest.steps[0].inputs)
    assert static == at.way.static_pa
    assert sum(losses) == pytest.approx(static, rel=1e-3)
    assert losses[1] == pytest.approx(at.way.heater.total_pa(at.greatest_m3_s))

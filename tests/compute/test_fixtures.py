"""Fixtures: power, stage and hot share by the energy balance; the choice of a heater; valves against stages."""

import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.band import Ends
from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance as heating
from generator.compute.heat import water
from generator.compute.heat.stages import stage_powers_w
from generator.compute.use.figures import fixture_table
from generator.compute.use.fixture_findings import (
    fixture_demand,
    fixture_flow_limit,
    simultaneous_use,
)
from generator.compute.use.fixtures import Duty, Terms, duties, selections, serving_stage, smallest_heater, together
from generator.compute.use.guard import guarded
from generator.compute.use.mixing_finding import mixing_valve
from generator.compute.use.valve_fit import (
    HUNTS,
    MORE_PRESSURE,
    NO_EXCESS,
    NO_PRESSURE,
    OTHER_HEATER,
    STAYS_OFF,
    all_obstacles,
    obstacles,
)
from generator.model.figures import Figure, Finding
from generator.model.heater import HeaterModel
from generator.model.said import because
from generator.model.site import Fixture, Site
from tests.compute.heat_cases import heater as made
from tests.compute.wet_cases import (
    GPM,
    LIMITS,
    PSI,
    all_models,
    four_stage,
    kelvin,
    model,
    no_drop,
    operating,
    site,
    steady,
    valve,
    waterway,
    with_fixtures,
    with_water,
)
from tests.compute.wet_random import by_chance, random_model, random_site
from tests.finding_texts import said

PUBLISHED = yaml.safe_load((Path(__file__).parents[1] / "sources/water/fixtures.yaml").read_text())
NO_DROP = no_drop(site("packing-house"))
TERMS = Terms(kelvin(50.0), kelvin(68.0), kelvin(105.0), kelvin(120.0), NO_DROP)


def at_work(place: Site, *, held: bool = True) -> Operating:
    heater, place = four_stage(), place.model_copy(update={"selected_stage": None})
    return operating(place, heater, waterway(place, heater, TERMS.winter_k), held=held)


def values(found: Finding) -> dict[str, Any]:
    return {value.symbol: value.value for value in found.values}


def codes(found: Finding, name: str) -> list[Any]:
    """The single values of the rows of a list."""
    return [value.value for row in found.lists[name] for value in row.values()]


def tap(gpm: float, target_f: float = 105.0, **changes: object) -> Fixture:
    return Fixture(name="tap", kind="service sink", flow_m3_s=gpm * GPM, target_k=kelvin(target_f), **changes)


@pytest.mark.parametrize("row", PUBLISHED["mixing"]["rows"])
def test_hot_share_of_textbook_mixing(row: dict) -> None:
    terms = Terms(kelvin(row["cold"]), kelvin(row["cold"]), kelvin(row["target"]), kelvin(row["hot"]), NO_DROP)
    place = with_fixtures(site("packing-house"), tap(1.0, row["target"], limit_k=kelvin(row["hot"])))
    (duty,) = duties(at_work(place), terms)
    assert duty.hot_share == pytest.approx(row["share"], abs=2e-4)


@pytest.mark.parametrize(("gpm", "rise_f", "kilowatts"), [(0.8, 51.188, 6.0), (1.0, 68.26, 10.0), (0.5, 40.92, 3.0)])
def test_power_needed_as_the_trade_computes_it(gpm: float, rise_f: float, kilowatts: float) -> None:
    """Rises by enthalpy, computed: 6 kW at 0.8 gpm and 10 kW at 1.0 gpm from 54 degF, 3 kW at 0.5 gpm from 50 degF."""
    cold = 50.0 if gpm == 0.5 else 54.0
    terms = Terms(kelvin(cold), kelvin(70.0), kelvin(105.0), kelvin(130.0), NO_DROP)
    (duty,) = duties(at_work(with_fixtures(site("packing-house"), tap(gpm, cold + rise_f))), terms)
    assert duty.needed_w == pytest.approx(kilowatts * 1000.0, rel=1e-4)


@given(st.floats(0.3, 1.0), st.floats(0.6, 3.0), st.floats(274.0, 300.0), st.floats(1000.0, 8000.0))
def test_sharing_hot_and_cold_at_a_fixed_flow_cools_nothing(
    share: float, gpm: float, inlet_k: float, power_w: float
) -> None:
    """What `mixing-valve` tells: the mixture has the temperature of the whole flow heated at once."""
    direct = heating.outlet_k(inlet_k, gpm * GPM, power_w)
    enthalpy = water.enthalpy(inlet_k) + power_w / (water.density(inlet_k) * share * gpm * GPM)
    if enthalpy < water.GREATEST_ENTHALPY:
        hot = heating.outlet_k(inlet_k, share * gpm * GPM, power_w)
        assert heating.hot_share(hot, inlet_k, direct) == pytest.approx(share, abs=1e-6)


@by_chance
def test_what_a_fixture_gets_reaches_its_target_exactly_when_a_stage_serves_it(chance: random.Random) -> None:
    place = random_site(chance)
    heater = random_model(chance, place.heater)
    winter = float(place.water.inlet.winter_k or 0.0)
    at = operating(place, heater, waterway(place, heater, winter))
    left = chance.uniform(0.7, 1.0)

    def left_w(model: HeaterModel) -> tuple[float, ...]:
        return tuple(left * power for power in no_drop(place)(model))

    terms = Terms(winter, float(place.water.inlet.summer_k or 0.0), 320.0, 325.0, left_w)
    for duty in duties(at, terms):
        if duty.stage is None:
            assert duty.winter_k < duty.target_k or duty.at_stage == 0
        else:
            assert duty.winter_k >= min(duty.target_k, heater.water.cut_out_k) - 1e-6
            assert heater.stages[duty.stage - 1].closes_at_m3_s <= duty.flow_m3_s
        assert 0.0 <= duty.hot_share <= 1.0


def test_serving_stage_is_the_lowest_that_can_be_set() -> None:
    heater = four_stage()
    powers = stage_powers_w(heater, 240.0, 1)
    assert serving_stage(heater, powers, 1.0 * GPM, needed_w=powers[1], selected=None) == 2
    assert serving_stage(heater, powers, 1.0 * GPM, needed_w=powers[1] + 1.0, selected=None) == 3
    assert serving_stage(heater, powers, 0.6 * GPM, needed_w=powers[1] + 1.0, selected=None) is None
    assert serving_stage(heater, powers, 1.0 * GPM, needed_w=powers[3], selected=3) is None
    fixed = heater.model_copy(update={"stage_selector": False})
    assert serving_stage(fixed, powers, 1.0 * GPM, needed_w=powers[1], selected=None) == 4


def asking(gpm: float, watts: float) -> Duty:
    """A fixture that asks for this power."""
    (duty,) = duties(at_work(with_fixtures(site("packing-house"), tap(gpm))), TERMS)
    return replace(duty, needed_w=watts)


def test_smallest_heater_of_the_range() -> None:
    place, models = site("packing-house"), all_models()
    small = smallest_heater(at_work(place), models, TERMS, duty=asking(1.0, 5000.0))
    assert small is not None
    assert small.id == "beck-9"
    large = smallest_heater(at_work(place), models, TERMS, duty=asking(2.0, 12000.0))
    assert large is not None
    assert large.id == "tarn-18"
    assert smallest_heater(at_work(place), models, TERMS, duty=asking(2.0, 40000.0)) is None


def test_a_heater_is_proposed_that_gives_just_what_is_needed_and_none_that_lacks_one_thing() -> None:
    """9.6 kW of 9.6; a target at its greatest outlet of 140 degF and above; 24 psi where its least is 25."""
    unit, at, duty = four_stage(), at_work(site("packing-house")), asking(1.0, 9600.0)
    assert smallest_heater(at, (unit,), TERMS, duty=duty) == unit
    assert smallest_heater(at, (unit,), TERMS, duty=replace(duty, needed_w=9601.0)) is None
    outlet_k = unit.water.greatest_outlet_k
    assert smallest_heater(at, (unit,), replace(TERMS, target_k=outlet_k), duty=duty) == unit
    assert smallest_heater(at, (unit,), replace(TERMS, target_k=outlet_k + 0.1), duty=duty) is None
    weak = at_work(with_water(site("packing-house"), static_pressure=steady(24.0)))
    assert weak.greatest_m3_s > duty.flow_m3_s
    assert smallest_heater(weak, (unit,), TERMS, duty=duty) is None


def test_the_smallest_heater_is_the_one_of_the_least_whole_power() -> None:
    """9.0 kW in stages of 8.1 and 0.9 is smaller than 9.6 kW in two of 4.8."""
    uneven = made([0.4, 0.6], [0.3, 0.5], 9000.0, shares=(0.9, 0.1)).model_copy(update={"id": "uneven"})
    even = made([0.4, 0.6], [0.3, 0.5], 9600.0).model_copy(update={"id": "even"})
    for models in ((uneven, even), (even, uneven)):
        found = smallest_heater(at_work(site("packing-house")), models, TERMS, duty=asking(1.0, 5000.0))
        assert found is not None
        assert found.id == "uneven"


def test_cold_water_that_is_warm_enough_needs_neither_power_nor_hot_water() -> None:
    """Cold water is 50 degF here: a target of 49 asks for nothing."""
    (duty,) = duties(at_work(with_fixtures(site("packing-house"), tap(1.0, 49.0))), TERMS)
    assert (duty.needed_w, duty.hot_share) == (0.0, 0.0)


def cells(place: Site) -> dict[str, Figure]:
    """The cells of the only fixture's row, by the last part of their ids."""
    ((_, row),) = fixture_table("site.x.water", at_work(place), TERMS).rows
    return {figure.id.rpartition(".")[2]: figure for figure in row}


def test_a_fixture_gets_what_the_selected_stage_gives_and_the_stage_that_would_do_stands_apart() -> None:
    """9.6 kW in 1.4 gpm from 60 degF is 60 + 9.6 x 3412 / 500 / 1.4 = 106.8 degF, though stage 3 would do."""
    terms = replace(TERMS, winter_k=kelvin(50.0), summer_k=kelvin(60.0))
    at = at_work(with_fixtures(site("packing-house"), tap(1.4, 85.0)))
    ((_, row),) = fixture_table("site.x.water", at, terms).rows
    held = {figure.id.rpartition(".")[2]: figure for figure in row}
    assert (held["stage"].value, held["would-do"].value) == (4, 3)
    assert held["warmest"].value == pytest.approx(kelvin(106.8), abs=0.3)
    found = fixture_demand(at, terms, all_models())
    assert (found.case, values(found)["stage"], values(found)["would"]) == ("met", 4, 3)
    assert "Stage 3 would do." in said(found, "found")
    lower = replace(at, site=at.site.model_copy(update={"selected_stage": 3}))
    assert "would" not in values(fixture_demand(lower, terms, all_models()))


def test_the_warmest_inlet_meets_the_stages_that_are_still_on() -> None:
    """Stage 4 turns on at 0.90 gpm and drops out at 0.78: at 0.80 gpm it may be on, with 9.6 kW, when water is drawn
    elsewhere before. From 68 degF that is 68 + 9.6 x 3412 / 500 / 0.8 = 149.9 degF; three stages give 129.4 degF."""
    (duty,) = duties(at_work(with_fixtures(site("packing-house"), tap(0.8))), TERMS)
    assert (duty.at_stage, duty.warm_stage, duty.power_w) == (3, 4, pytest.approx(9600.0))
    assert duty.summer_k == pytest.approx(kelvin(149.9), abs=0.6)


def test_fixtures_that_need_different_stages_of_one_selector_are_named() -> None:
    """By the trade's constant 1.3 gpm from 50 to 95 degF takes 8.6 kW, stage 4. In 0.8 gpm from 68 degF three stages
    give 129 degF and two 109 degF, so that a limit of 120 degF allows stage 2."""
    basin, sink = tap(0.8, 85.0), tap(1.3, 95.0)
    at = at_work(with_fixtures(site("packing-house"), basin.model_copy(update={"name": "basin"}), sink))
    first, second = duties(at, TERMS)
    assert (selections(at, TERMS, first), selections(at, TERMS, second)) == ((2,), (4,))
    found = fixture_demand(at, TERMS, all_models())
    assert (found.severity, found.case) == ("attention", "two-stages")
    assert values(found) == {
        "fixture": "tap",
        "stage": 4,
        "other": "basin",
        "most": 2,
        "limit": pytest.approx(kelvin(120.0)),
    }
    fixed = replace(at, model=at.model.model_copy(update={"stage_selector": False}))
    assert fixture_demand(fixed, TERMS, all_models()).case != "two-stages"
    alike = at_work(with_fixtures(site("packing-house"), sink, sink.model_copy(update={"name": "other"})))
    assert fixture_demand(alike, TERMS, all_models()).case == "met"


def test_two_fixtures_that_share_one_of_their_stages_need_no_other_for_each() -> None:
    """By the trade's constant, 1.0 gpm from 50 degF takes 3.7 kW to 75 and 5.9 kW to 90 degF; from 68 degF two, three
    and four stages of 2.4 kW give 101, 117 and 133 degF, of which 120 is the most: stage 3 serves both."""
    basin, sink = tap(1.0, 75.0).model_copy(update={"name": "basin"}), tap(1.0, 90.0)
    for fixtures in ((basin, sink), (sink, basin)):
        at = at_work(with_fixtures(site("packing-house"), *fixtures))
        assert {selections(at, TERMS, duty) for duty in duties(at, TERMS)} == {(2, 3), (3,)}
        assert fixture_demand(at, TERMS, all_models()).case == "met"


def test_the_two_fixtures_named_are_those_farthest_apart_whatever_else_each_may_have() -> None:
    """By the trade's constant from 50 degF, up to 120 degF from 68: 0.8 gpm at 70 degF takes 2.3 kW and allows two of
    the stages of 2.4 kW; 1.3 gpm at 80 degF takes 5.7 kW, three, and all four give 118 degF; 0.4 gpm at 85 degF takes
    2.0 kW and never turns on a second stage, whatever is set."""
    given = {"pail": tap(0.4, 85.0), "basin": tap(0.8, 70.0), "sink": tap(1.3, 80.0)}
    fixtures = [fixture.model_copy(update={"name": name}) for name, fixture in given.items()]
    for order in (fixtures, fixtures[::-1]):
        at = at_work(with_fixtures(site("packing-house"), *order))
        assert {selections(at, TERMS, duty) for duty in duties(at, TERMS)} == {(1, 2, 3, 4), (1, 2), (3, 4)}
        found = fixture_demand(at, TERMS, all_models())
        assert found.case == "two-stages"
        told = values(found)
        assert (told["fixture"], told["stage"], told["other"], told["most"]) == ("sink", 3, "basin", 2)
        assert {value.symbol: value.side for value in found.values}["limit"] == "down", (
            "a limit rounds to the safe side"
        )
    near = at_work(with_fixtures(site("packing-house"), tap(1.3, 80.0), tap(1.0, 75.0)))  # (3, 4) and (2, 3)
    assert fixture_demand(near, TERMS, all_models()).case != "two-stages"


def test_several_fixtures_ask_for_the_sum_of_their_needs() -> None:
    """0.5 + 0.5 gpm at 100 and 1.4 gpm at 85 degF from 55 degF: 45 and 30 degF of rise. By the trade's constant
    (1.0 x 45 + 1.4 x 30) x 500 / 3412 = 12.75 kW, not the 15.8 kW of 2.4 gpm at 100 degF. Heated to 100 degF that is
    1.0 + 1.4 x 30 / 45 = 1.93 gpm; the rest is cold water beside it."""
    terms = replace(TERMS, winter_k=kelvin(55.0))
    at = at_work(with_fixtures(site("packing-house"), tap(0.5, 100.0), tap(0.5, 100.0), tap(1.4, 85.0)))
    all_of_them = together(at, terms)
    assert all_of_them.needed_w == pytest.approx(12750.0, rel=0.01)
    assert all_of_them.needed_w == pytest.approx(sum(duty.needed_w for duty in duties(at, terms)))
    assert all_of_them.heated_m3_s == pytest.approx(1.933 * GPM, rel=0.002)
    assert all_of_them.flow_m3_s == pytest.approx(2.4 * GPM)
    assert all_of_them.target_k == pytest.approx(kelvin(100.0))


def test_several_fixtures_turn_on_a_stage_with_the_flow_that_passes_the_heater() -> None:
    """0.25 gpm at 105 and 0.55 gpm at 75 degF from 50 degF: 0.25 + 0.55 x 25 / 55 = 0.50 gpm, below the 0.55 gpm of
    stage 2, though 0.80 gpm would turn on stage 3."""
    at = at_work(with_fixtures(site("packing-house"), tap(0.25), tap(0.55, 75.0)))
    all_of_them = together(at, TERMS)
    assert (all_of_them.at_stage, all_of_them.stage) == (1, None)
    assert simultaneous_use(at, TERMS, all_models()).severity == "attention"


def test_the_table_of_fixtures_by_the_trades_constant() -> None:
    """9.6 kW in 1.0 gpm: 9.6 x 3412 / 500 = 65.5 degF above 50 and 68 degF, within half a degree."""
    row = cells(with_fixtures(site("packing-house"), tap(1.0, 105.0)))
    assert row["stage"].value == 4
    assert row["coldest"].value == pytest.approx(kelvin(115.5), abs=0.3)
    assert row["warmest"].value == pytest.approx(kelvin(133.5), abs=0.3)
    assert (row["stage"].state, row["coldest"].state) == ("ok", "ok")


@pytest.mark.parametrize(
    ("gpm", "psi", "state"),
    [(0.39, 60.0, "not-on"), (1.0, 24.0, "below-working-pressure"), (55.0, 60.0, "beyond-supply")],
)
def test_no_water_is_promised_where_no_stage_is_on(gpm: float, psi: float, state: str) -> None:
    """The first stage turns on at 0.40 gpm, and the model works from 25 psi."""
    place = with_water(with_fixtures(site("packing-house"), tap(gpm, 105.0)), static_pressure=steady(psi))
    row = cells(place)
    for part in ("stage", "coldest", "warmest"):
        assert (row[part].value, row[part].state, row[part].reason) == (None, state, because(state))
    found = fixture_demand(at_work(place), TERMS, all_models())
    assert (found.severity, found.case) == ("attention", state)
    assert values(found)["off"] == state
    assert ("another heater" in said(found, "do")) is (state == "not-on")


def test_no_heater_of_another_supply_is_proposed() -> None:
    """A 230 V 50 Hz or 120 V model must never be named for a 240 V 60 Hz site, however small the demand."""
    found = smallest_heater(at_work(site("packing-house")), all_models(), TERMS, duty=asking(1.0, 500.0))
    assert found is not None
    assert {rating.voltage_v for rating in found.ratings} & {240.0}


def test_demand_names_what_would_do() -> None:
    place = with_fixtures(site("packing-house"), tap(1.8))
    found = fixture_demand(at_work(place), TERMS, all_models())
    (duty,) = duties(at_work(place), TERMS)
    assert (found.severity, found.case) == ("attention", "short")
    assert values(found) == {
        "fixture": "tap",
        "flow": 1.8 * GPM,
        "target": TERMS.target_k,
        "inlet": TERMS.winter_k,
        "needed": duty.needed_w,
        "stage": 4,
        "power": 9600.0,
        "outlet": duty.winter_k,
        "best": model("tarn-18").title,
    }
    enough = with_fixtures(site("packing-house"), tap(1.0))
    found = fixture_demand(at_work(enough), TERMS, all_models())
    assert (found.severity, found.case) == ("ok", "met")
    low = operating(place, four_stage(), waterway(place, four_stage(), TERMS.winter_k))
    low = replace(low, site=place.model_copy(update={"selected_stage": 2}))
    assert fixture_demand(low, TERMS, all_models()).case == "short"


def test_a_higher_stage_is_a_remedy_only_where_it_keeps_the_limit() -> None:
    """At 1.2 gpm from 50 to 68 degF two of four stages of 2.4 kW give 77, all four 105 to 123 degF: 120 is passed."""
    for limit_f, case in ((125.0, "short-higher"), (119.0, "short")):
        place = with_fixtures(site("packing-house"), tap(1.2, 100.0, limit_k=kelvin(limit_f)))
        place = place.model_copy(update={"selected_stage": 2})
        at = operating(place, four_stage(), waterway(place, four_stage(), TERMS.winter_k))
        assert fixture_demand(at, TERMS, all_models()).case == case


def test_one_finding_has_the_remedy_where_two_speak_of_one_valve() -> None:
    """`hottest-water` names the valve where the water passes the limit of all that lack one."""
    shower = tap(2.2, 95.0).model_copy(update={"kind": "shower"})
    at = at_work(with_fixtures(site("packing-house"), shower))
    for hottest_f, told in ((None, False), (119.0, False), (121.0, True)):
        terms = replace(TERMS, hottest_k=None if hottest_f is None else kelvin(hottest_f))
        found = mixing_valve(at, terms)
        assert found.case == "missing"
        assert ("Do what `hottest-water` says" in said(found, "do")) is told
        assert ("Fit the listed limiting valve" in said(found, "do")) is not told


def test_a_heater_that_turns_on_only_while_the_valve_shuts_the_cold_off() -> None:
    """0.7 gpm turn stage 3 on; of them half pass the heater once the valve mixes to 85 degF, below 0.40 gpm."""
    at = at_work(with_fixtures(site("packing-house"), tap(0.7, 85.0, mixing_valve=valve(85.0))))
    found = mixing_valve(at, TERMS)
    assert HUNTS in codes(found, "troubles") and STAYS_OFF not in codes(found, "troubles")
    assert all_obstacles(at, TERMS) == ((HUNTS,),)


def test_no_heater_is_said_to_do_where_none_does() -> None:
    found = fixture_demand(at_work(with_fixtures(site("packing-house"), tap(1.8))), TERMS, ())
    assert "best" not in values(found)
    assert said(found, "do").endswith("No heater of the range would.")


@pytest.mark.parametrize(("target_f", "own"), [(49.0, True), (50.0, True), (51.0, False)])
def test_a_target_of_cold_water_is_no_demand(target_f: float, own: bool) -> None:
    """Cold water is 50 degF here."""
    found = fixture_demand(at_work(with_fixtures(site("packing-house"), tap(1.0, target_f))), TERMS, all_models())
    assert (found.case == "no-need", found.severity == "attention") == (own, own)


def test_demand_is_met_with_what_the_drop_leaves_and_valves_meet_the_whole() -> None:
    """1.0 gpm from 50 to 105 degF takes about 8.05 kW: 9.6 kW does it, 80 % of 9.6 kW does not."""
    at = at_work(with_fixtures(site("packing-house"), tap(1.0, mixing_valve=valve())))

    def dropped(heater: HeaterModel) -> tuple[float, ...]:
        return tuple(0.8 * power for power in NO_DROP(heater))

    fallen = replace(TERMS, reach_w=dropped)
    assert fixture_demand(at, TERMS, all_models()).severity == "ok"
    found = fixture_demand(at, fallen, all_models())
    assert found.severity == "attention"
    assert {value.symbol: value.value for value in found.values}["power"] == pytest.approx(0.8 * 9600.0)
    (whole,), (left,) = duties(at, TERMS), duties(at, fallen)
    assert left.summer_k == whole.summer_k
    assert left.winter_k < whole.winter_k


def test_a_heater_without_a_possible_circuit_is_not_proposed() -> None:
    nowhere = replace(TERMS, reach_w=lambda heater: None)
    assert smallest_heater(at_work(site("packing-house")), all_models(), nowhere, duty=asking(1.0, 5000.0)) is None


def test_flow_too_small_for_any_stage_is_told() -> None:
    found = fixture_demand(at_work(with_fixtures(site("packing-house"), tap(0.3))), TERMS, all_models())
    assert found.case == "not-on"


def test_use_at_once_adds_up() -> None:
    two = at_work(with_fixtures(site("packing-house"), tap(0.58), tap(0.85, 95.0)))
    assert together(two, TERMS).flow_m3_s == pytest.approx(1.43 * GPM)
    assert fixture_demand(two, TERMS, all_models()).severity == "ok"
    both = simultaneous_use(two, TERMS, all_models())
    assert (both.severity, both.case) == ("attention", "short")
    assert (values(both)["flow"], values(both)["target"]) == (pytest.approx(1.43 * GPM), TERMS.target_k)
    assert len(fixture_table("site.x.water", two, TERMS).rows) == 3
    one = at_work(with_fixtures(site("packing-house"), tap(0.6)))
    single = simultaneous_use(one, TERMS, all_models())
    assert (single.severity, single.case) == ("ok", "one-at-a-time")


@pytest.mark.parametrize("kind", PUBLISHED["flow_limits"]["rows"])
def test_flow_limits_in_law_and_code(kind: str) -> None:
    gpm = PUBLISHED["flow_limits"]["rows"][kind]
    assert LIMITS.flows[kind].at_most_m3_s == pytest.approx(gpm * GPM)
    for factor, severity in ((1.0, "ok"), (1.01, "attention")):
        fixture = tap(gpm * factor).model_copy(update={"kind": kind})
        found = fixture_flow_limit(at_work(with_fixtures(site("packing-house"), fixture)))
        assert (found.severity, found.case) == (severity, "within" if severity == "ok" else "above")
        assert values(found) == pytest.approx({"fixture": "tap", "flow": gpm * factor * GPM, "limit": gpm * GPM})


def test_flow_limits_of_the_united_states_are_not_held_elsewhere() -> None:
    fixture = tap(9.0).model_copy(update={"kind": "shower"})
    found = fixture_flow_limit(at_work(with_fixtures(site("packing-house"), fixture), held=False))
    assert (found.severity, found.case) == ("ok", "none-held")
    assert "CFR" not in found.source


def test_a_valve_that_meets_too_much_heat_needs_attention() -> None:
    """9.6 kW in 1.0 gpm from 68 degF is 133 degF; the valve is set to 105 degF."""
    found = mixing_valve(at_work(with_fixtures(site("packing-house"), tap(1.0, 105.0, mixing_valve=valve()))), TERMS)
    assert (found.severity, found.case) == ("attention", "disagrees-selector")
    assert codes(found, "troubles") == ["heat", STAYS_OFF]
    (duty,) = duties(at_work(with_fixtures(site("packing-house"), tap(1.0, 105.0, mixing_valve=valve()))), TERMS)
    held = values(found)
    assert (held["mixed"], held["target"], held["at_limit"]) == (duty.summer_k, kelvin(105.0), kelvin(120.0))
    assert held["hot_flow"] == pytest.approx(duty.hot_share * GPM)
    assert (held["flow"], held["opens"], held["closes"]) == pytest.approx((GPM, 0.78 * GPM, 0.90 * GPM))
    assert held["hot"] == pytest.approx(kelvin(150.0)), "held at the cut-out"


def test_a_valve_is_judged_at_the_warmest_inlet() -> None:
    """9.6 kW in 1.25 gpm gives 102 degF from 50 degF, below the target of 105, but 120 degF from 68 degF."""
    found = mixing_valve(at_work(with_fixtures(site("packing-house"), tap(1.25, 105.0, mixing_valve=valve()))), TERMS)
    assert found.severity == "attention"


def test_a_valve_within_its_heater_is_ok() -> None:
    """9.6 kW in 2.2 gpm from 68 degF is 98 degF: below the target, so the valve stays open."""
    found = mixing_valve(at_work(with_fixtures(site("packing-house"), tap(2.2, 105.0, mixing_valve=valve()))), TERMS)
    assert (found.severity, found.case, codes(found, "troubles")) == ("ok", "suits", [])


@pytest.mark.parametrize(
    ("changes", "trouble"),
    [({"type": "pressure-balancing"}, "senses-pressure"), ({"setting_k": kelvin(121.0)}, "set-too-high")],
)
def test_a_valve_that_guards_nobody_is_told_first(changes: dict[str, Any], trouble: str) -> None:
    """Type P of ASSE 1016 senses pressures alone (abstract of ASME A112.1016); the limit here is 120 degF."""
    idle, good = tap(2.2, 95.0, mixing_valve=valve(**changes)), tap(0.45, mixing_valve=valve())
    assert not guarded(idle, kelvin(120.0), LIMITS)
    assert guarded(good, kelvin(120.0), LIMITS) and not guarded(good, kelvin(94.9), LIMITS)
    found = mixing_valve(at_work(with_fixtures(site("packing-house"), good, idle)), TERMS)
    assert found.severity == "attention"
    assert trouble in codes(found, "troubles")


@pytest.mark.parametrize(("least_gpm", "short"), [(2.1, False), (2.3, True)])
def test_a_valves_own_least_flow_is_held_against_the_fixture(least_gpm: float, short: bool) -> None:
    sink = tap(2.2, 105.0, mixing_valve=valve(least_flow_m3_s=least_gpm * GPM))
    found = mixing_valve(at_work(with_fixtures(site("packing-house"), sink)), TERMS)
    assert ("least-flow" in codes(found, "troubles")) is short


def test_a_valve_needs_flow_and_hotter_water() -> None:
    trickle = mixing_valve(at_work(with_fixtures(site("packing-house"), tap(0.45, mixing_valve=valve()))), TERMS)
    assert "least-flow" in codes(trickle, "troubles")
    hot = mixing_valve(at_work(with_fixtures(site("packing-house"), tap(2.2, 125.0, mixing_valve=valve(125.0)))), TERMS)
    assert NO_EXCESS in codes(hot, "troubles")


def test_the_heaters_part_of_the_flow_must_close_the_stage() -> None:
    """Hot water at 120 degF mixed with 50 degF to 85 degF is half the flow, near enough: 0.6 of 1.2 gpm, and stage 3
    of the heater, the lowest that serves the whole flow, closes at 0.70 gpm."""
    place = with_fixtures(site("packing-house"), tap(1.2, 85.0, mixing_valve=valve()))
    (duty,) = duties(at_work(place), TERMS)
    assert (duty.stage, duty.hot_share) == (3, pytest.approx(0.5, abs=0.005))
    found = mixing_valve(at_work(place), TERMS)
    assert found.severity == "attention"
    assert STAYS_OFF in codes(found, "troubles")
    assert values(found)["closes"] == pytest.approx(0.7 * GPM)
    wide = mixing_valve(at_work(with_fixtures(site("packing-house"), tap(2.2, 105.0, mixing_valve=valve()))), TERMS)
    assert STAYS_OFF not in codes(wide, "troubles")


@pytest.mark.parametrize(("within", "case"), [(0.04, "suits"), (0.10, "band")])
def test_the_heaters_part_of_the_flow_may_not_turn_on_a_stage_at_the_top_of_its_tolerance(
    within: float, case: str
) -> None:
    """Hot water at 120 degF mixed with 50 degF to 90 degF is 4/7 of 0.75 gpm, 0.43: more than the 0.40 gpm at which
    stage 1 turns on as stated, less than the 0.44 gpm of a heater 10 % above; by hand."""
    place = with_fixtures(site("packing-house"), tap(0.75, 90.0, mixing_valve=valve(90.0)))
    place, heater = place.model_copy(update={"selected_stage": 1}), four_stage()
    at = operating(place, heater, waterway(place, heater, TERMS.winter_k))
    found = mixing_valve(replace(at, switching=Ends(1.0 - within, 1.0, 1.0 + within)), TERMS)
    assert (found.case, found.severity) == (case, "ok" if case == "suits" else "attention")
    assert codes(found, "troubles") == ([HUNTS] if case == "band" else [])
    assert values(found)["hot_flow"] == pytest.approx(0.75 * 4 / 7 * GPM, rel=5e-3)


def test_a_shower_without_a_valve_is_told_when_the_heater_would_not_suit_one() -> None:
    shower = tap(1.0, 105.0).model_copy(update={"kind": "shower"})
    found = mixing_valve(at_work(with_fixtures(site("packing-house"), shower)), TERMS)
    assert found.case == "missing-unsuited"
    wide = mixing_valve(
        at_work(with_fixtures(site("packing-house"), shower.model_copy(update={"flow_m3_s": 2.2 * GPM}))), TERMS
    )
    assert wide.case == "missing"


def test_every_fixture_that_the_code_wants_guarded_is_named() -> None:
    """Two showers and a public lavatory without valves, each with the limit of its kind (IPC 2021 412.3, 419.5)."""
    shower = tap(2.2, 95.0).model_copy(update={"kind": "shower"})
    names = ("shower one", "shower two", "washroom")
    fixtures = [shower.model_copy(update={"name": name}) for name in names]
    fixtures[2] = fixtures[2].model_copy(update={"kind": "public lavatory"})
    found = mixing_valve(at_work(with_fixtures(site("packing-house"), *fixtures, tap(2.2))), TERMS)
    held = [{name: value.value for name, value in row.items()} for row in found.lists["bare"]]
    assert [row["fixture"] for row in held] == list(names)
    assert [row["kind"] for row in held] == ["shower", "shower", "public lavatory"]
    assert [row["limit"] for row in held] == pytest.approx([kelvin(120.0), kelvin(120.0), kelvin(110.0)])


def test_a_missing_valve_that_would_not_work_is_not_simply_ordered() -> None:
    """As above, 0.6 of 1.2 gpm would pass the heater where stage 3 turns on at 0.70 gpm."""
    shower = tap(1.2, 85.0).model_copy(update={"kind": "shower"})
    at = at_work(with_fixtures(site("packing-house"), shower, shower.model_copy(update={"name": "other"})))
    assert all_obstacles(at, TERMS) == ((STAYS_OFF,),) * 2
    found = mixing_valve(at, TERMS)
    assert (found.case, codes(found, "ways")) == ("missing-unsuited", [OTHER_HEATER])
    assert (values(found)["fixture"], codes(found, "others")) == ("tap", ["other"])
    assert (values(found)["needs"], values(found)["closes"]) == (3, pytest.approx(0.7 * GPM))


def test_which_part_of_a_flow_turns_a_stage_on_is_told_where_the_valve_would_hunt_and_only_there() -> None:
    """0.7 gpm, of which half pass the heater behind a valve, below 0.40 gpm; and 2.2 gpm, for which the valve is simply
    missing."""
    shower = tap(0.7, 85.0).model_copy(update={"kind": "shower"})
    at = at_work(with_fixtures(site("packing-house"), shower))
    assert all_obstacles(at, TERMS) == ((HUNTS,),)
    assert values(mixing_valve(at, TERMS))["flow"] == pytest.approx(0.7 * GPM)
    simple = at_work(with_fixtures(site("packing-house"), tap(2.2).model_copy(update={"kind": "shower"})))
    assert "flow" not in values(mixing_valve(simple, TERMS))


@pytest.mark.parametrize(("psi_left", "found"), [(19.9, (NO_PRESSURE,)), (20.1, ())])
def test_a_shower_valve_needs_its_own_pressure(psi_left: float, found: tuple[str, ...]) -> None:
    """IPC (2018) table 604.3: 20 psi at a shower with a balancing or thermostatic valve, 8 psi without."""
    shower = tap(2.2, 95.0).model_copy(update={"kind": "shower"})
    place = with_fixtures(site("packing-house"), shower)
    spare_pa = at_work(place).way.at_fixture(2.2 * GPM) - psi_left * PSI
    place = with_water(place, static_pressure=steady((place.water.static_pressure.least_pa - spare_pa) / PSI))
    at = at_work(place)
    assert obstacles(at, shower, duties(at, TERMS)[0]) == found
    missing = mixing_valve(at, TERMS)
    assert missing.case == ("missing-unsuited" if found else "missing")
    if found:
        assert (codes(missing, "ways"), codes(missing, "obstacles")) == ([MORE_PRESSURE], [NO_PRESSURE])
        assert values(missing)["left"] == pytest.approx(psi_left * PSI)
        assert values(missing)["needed"] == pytest.approx(20.0 * PSI)


def test_no_lower_stage_is_offered_without_a_selector() -> None:
    place, fixed = site("packing-house"), four_stage().model_copy(update={"stage_selector": False})
    place = with_fixtures(place, tap(1.0, 105.0, mixing_valve=valve()))
    assert mixing_valve(at_work(place), TERMS).case == "disagrees-selector"
    at = operating(place, fixed, waterway(place, fixed, TERMS.winter_k))
    found = mixing_valve(at, TERMS)
    assert (found.severity, found.case) == ("attention", "disagrees")
    assert "elect" not in said(found, "do")


def test_no_valve_is_ok() -> None:
    found = mixing_valve(at_work(with_fixtures(site("packing-house"), tap(1.0))), TERMS)
    assert (found.severity, found.case) == ("ok", "no-valve")


def test_what_mixes_cold_water_in_may_leave_the_heater_too_little_flow() -> None:
    """Of 0.2 gpm at 105 degF and 0.5 gpm at 55 degF, from 50, 0.25 gpm passes the heater, and stage 1 turns on at 0.4.
    Of 1 gpm and 6 gpm there would be enough, but the supply does not bring the whole."""
    slow = at_work(with_fixtures(site("packing-house"), tap(0.2), tap(0.5, 55.0)))
    assert (slow.why_off(0.7 * GPM), together(slow, TERMS).off) == (None, "not-on")
    many = at_work(with_fixtures(site("packing-house"), tap(1.0), tap(6.0, 55.0)))
    assert many.why_off(1.6 * GPM) is None
    assert together(many, TERMS).off == "beyond-supply"


def test_a_heater_that_can_have_no_circuit_here_gives_nothing() -> None:
    terms = replace(TERMS, reach_w=lambda _: None)
    at = at_work(with_fixtures(site("packing-house"), tap(1.0)))
    (duty,) = duties(at, terms)
    assert (duty.stage, duty.reach_w, selections(at, terms, duty)) == (None, 0.0, ())
    assert duty.winter_k == pytest.approx(terms.winter_k)


def test_of_several_fixtures_the_two_furthest_apart_are_named() -> None:
    """The basin allows stage 2 at most, as above; 0.9 gpm to 95 degF takes 5.9 kW, stage 3, and the sink stage 4."""
    basin, middle, sink = tap(0.8, 85.0), tap(0.9, 95.0, limit_k=kelvin(140.0)), tap(1.3, 95.0)
    named = [one.model_copy(update={"name": name}) for name, one in (("middle", middle), ("basin", basin))]
    at = at_work(with_fixtures(site("packing-house"), *named, sink))
    assert [min(selections(at, TERMS, duty)) for duty in duties(at, TERMS)] == [3, 2, 4]
    found = values(fixture_demand(at, TERMS, all_models()))
    assert (found["fixture"], found["stage"], found["other"], found["most"]) == ("tap", 4, "basin", 2)


def test_a_heater_that_can_have_no_circuit_gives_nothing() -> None:
    terms = replace(TERMS, reach_w=lambda _: None)
    at = at_work(with_fixtures(site("packing-house"), tap(1.5)))
    (duty,) = duties(at, terms)
    assert (duty.at_stage, duty.reach_w, duty.stage) == (4, 0.0, None)
    assert selections(at, terms, duty) == ()


def test_a_stage_that_gives_just_what_is_needed_can_be_selected() -> None:
    """At the power left, at the limit, and a watt or a thousandth of a kelvin beyond either."""
    at = at_work(with_fixtures(site("packing-house"), tap(1.5)))
    (duty,) = duties(at, TERMS)
    left_w = NO_DROP(at.model)[2]
    fits = replace(duty, needed_w=left_w, limit_k=1000.0)
    assert 3 in selections(at, TERMS, fits)
    assert 3 not in selections(at, TERMS, replace(fits, needed_w=left_w + 1.0))
    summer_k = float(
        heating.capped_outlet_k(TERMS.summer_k, duty.flow_m3_s, left_w, ceiling_k=at.model.water.cut_out_k)
    )
    assert 3 in selections(at, TERMS, replace(fits, limit_k=summer_k))
    assert 3 not in selections(at, TERMS, replace(fits, limit_k=summer_k - 1e-3))

"""The wet side put together, on the demo's sites and on random ones."""

import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from generator.compute.flow.operating_point import flow_bounds
from generator.compute.flow.water_side import water_findings, water_side
from generator.compute.heat import balance as heating
from generator.compute.heat.hottest import Circumstances, hottest_water
from generator.compute.heat.inlet import Season, season
from generator.compute.heat.stages import stage_powers_w
from generator.compute.heat.window import StagePower, flow_window, next_stage_bound
from generator.compute.use.energy import energy_figures
from generator.compute.use.fixture_limit import Limits
from generator.compute.use.fixtures import Terms
from generator.model.figures import Figure
from generator.model.heater import HeaterModel
from generator.model.site import Site, Tariff
from generator.model.water_results import FlowBounds, WaterSide
from tests.compute.wet_cases import (
    BURNS,
    SITES,
    TOLERANCES,
    all_models,
    kelvin,
    model,
    no_drop,
    operating,
    site,
    waterway,
)
from tests.compute.wet_random import random_model, random_site
from tests.finding_texts import said
from tests.sample import sample

RULES = """
inlet-year static-pressure working-pressure working-flow fixture-pressure pressure-sag filter-screen throttle-on-outlet
hot-pipe-material cold-pipe-rating pipe-velocity mixed-metals thermal-expansion relief-valve
fixture-demand simultaneous-use fixture-flow-limit fixture-limit mixing-valve delivery hardness altitude
""".split()  # noqa: SIM905


def side(place: Site, heater: HeaterModel) -> WaterSide:
    inlet, volts, phases = season(place), place.supply.voltage_v, place.supply.phases
    met = max(
        found.temperature_k for found in hottest_water(heater, Circumstances(volts, phases, inlet.warmest_k), BURNS)
    )
    target = max(fixture.target_k for fixture in place.fixtures)
    limit = min(fixture.limit_k or kelvin(120.0) for fixture in place.fixtures)
    terms = Terms(inlet.coldest_k, inlet.warmest_k, target, limit, no_drop(place))
    at = operating(place, heater, waterway(place, heater, inlet.coldest_k))
    findings = water_findings(at, terms, met, models=all_models())
    return water_side(at, terms, met, findings=findings)


def figures(found: WaterSide) -> list[Figure]:
    return [*found.figures, *(cell for table in found.tables for _, cells in table.rows for cell in cells)]


def check(found: WaterSide) -> None:
    """What every page relies on: unique ids, a working for every value, sentences whose places are all filled."""
    ids = [figure.id for figure in figures(found)] + [table.id for table in found.tables]
    assert len(ids) == len(set(ids))
    assert all(id_.startswith(f"site.{found.id}.water.") for id_ in ids)
    for figure in figures(found):
        assert figure.steps or figure.value is None
        assert figure.value is not None or (figure.state != "ok" and figure.reason)
        if figure.steps and figure.value is not None and not figure.id.endswith(".stage"):
            assert figure.steps[-1].result.value == figure.value
        assert all(step.source for step in figure.steps)
    for told in found.findings:
        assert all(said(told, key) for key in ("found", "why", "do")) and told.source
    assert [told.rule for told in found.findings] == RULES


@pytest.mark.parametrize("name", SITES)
def test_demo_sites(name: str) -> None:
    check(side(site(name), model(site(name).heater)))


@settings(max_examples=150)
@given(st.randoms(use_true_random=False))
def test_random_sites_compute_whole(chance: random.Random) -> None:
    place = random_site(chance)
    check(side(place, random_model(chance, place.heater)))


def test_named_figures_are_among_all() -> None:
    found = side(site("creamery"), model("tarn-18"))
    assert {found.working_flow, found.greatest_flow} <= set(found.figures)
    assert found.inlet.months in found.tables
    assert {curve.id.rsplit(".", 1)[1] for curve in found.curves} == {"curve", "outlet", "inlet"}


def test_a_year_costs_power_times_time_times_price() -> None:
    """9.6 kW for 90 min a day at 0.14 a kWh: 9.6 x 1.5 x 365 x 0.14 = 735.84."""
    place = site("packing-house").model_copy(
        update={"tariff": Tariff(price_per_kwh=0.14, currency="USD", minutes_a_day=90), "selected_stage": None}
    )
    heater = model("beck-9")
    at = operating(place, heater, waterway(place, heater, 284.0))
    minute, year, cost = energy_figures("site.x.water", at, stage_powers_w(heater, 240.0, 1))
    assert minute.value == pytest.approx(9600.0 * 60.0)
    assert year.value == pytest.approx(9.6 * 1.5 * 365 * 3.6e6)
    assert cost.value == pytest.approx(735.84)


def test_without_a_tariff_no_cost_is_told() -> None:
    place = site("potting-shed")
    heater = model(place.heater)
    at = operating(place, heater, waterway(place, heater, 284.0))
    assert len(energy_figures("site.x.water", at, stage_powers_w(heater, 120.0, 1))) == 1


def round_trip(seed: int) -> int:
    """Recompute forward every limit at the ends and the middle of each window; return how many windows were open.

    Limits at the full power, the target with what a voltage drop leaves of it.
    """
    chance = random.Random(seed)
    place = random_site(chance)
    heater = random_model(chance, place.heater)
    winter, summer = float(place.water.inlet.winter_k or 0.0), float(place.water.inlet.summer_k or 0.0)
    limit, target = kelvin(chance.uniform(100.0, 135.0)), kelvin(chance.uniform(75.0, 110.0))
    at = operating(place, heater, waterway(place, heater, winter))
    bounds, working, highest = flow_bounds(at), heater.water.working_pressure, heater.water.greatest_outlet_k
    found = 0
    for number, power in enumerate(stage_powers_w(heater, place.supply.voltage_v, place.supply.phases), start=1):
        stage, greatest = heater.stages[number - 1], (*bounds.greatest, *next_stage_bound(heater, number))
        left = power * chance.uniform(0.85, 1.0)
        season_, limits = Season(winter, summer), Limits(target, limit, highest)
        given = FlowBounds(bounds.least, greatest)
        powers, setting = StagePower(number, power, left), TOLERANCES.setting
        window = flow_window(stage, powers, season_, limits=limits, given=given, setting=setting)
        if window.empty or math.isinf(window.greatest.flow_m3_s):
            continue
        found += 1
        low, high = window.least.flow_m3_s, window.greatest.flow_m3_s
        for flow in (low, 0.5 * (low + high), high):
            assert flow >= stage.closes_at_m3_s
            assert heating.capped_outlet_k(summer, flow, power, ceiling_k=373.0) <= min(limit, highest) + 1e-6
            assert winter >= target or heating.outlet_k(winter, flow, left) >= target - 1e-6
            assert working.least_pa - 1e-3 <= at.way.at_switches(flow) <= working.greatest_pa + 1e-3
            assert at.way.left_for_outlet(flow) >= -1e-3
    return found


def test_nothing_in_a_flow_window_breaks_a_limit() -> None:
    """The round trip over random sites with random heaters, whatever the bound that governs."""
    count = sample(2_000, 10_000)
    assert sum(round_trip(seed) for seed in range(count)) > count / 5

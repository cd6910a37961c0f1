"""Ratings, powers, currents and resistances of stages, and which stages are closed at a flow."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.heat import stages
from generator.compute.heat.figures.stages import _resistance, stage_results
from generator.errors import CannotCompute
from generator.model.heater import HeaterModel, Rating, Stage
from generator.model.said import say
from tests.compute.heat_cases import heater
from tests.compute.wet_cases import GPM, MODELS, model
from tests.finding_texts import speaker

FOUR = heater([0.4, 0.55, 0.7, 0.9], [0.32, 0.46, 0.6, 0.78])


def rated(*ratings: tuple[float, int, float]) -> HeaterModel:
    lines = tuple(Rating(voltage_v=volts, phases=phases, power_w=watts) for volts, phases, watts in ratings)
    return FOUR.model_copy(update={"ratings": lines})


@pytest.mark.parametrize(
    ("supply", "expected"),
    [((240.0, 1), (240.0, 1)), ((208.0, 1), (208.0, 1)), ((223.0, 1), (208.0, 1)), ((224.0, 1), (208.0, 1)),
     ((225.0, 1), (240.0, 1)), ((208.0, 3), (208.0, 3)), ((240.0, 3), (208.0, 3))],
)  # fmt: skip
def test_the_rating_has_the_phases_and_the_nearest_voltage(
    supply: tuple[float, int], expected: tuple[float, int]
) -> None:
    found = stages.rating_for_supply(rated((240.0, 1, 18e3), (208.0, 1, 13.5e3), (208.0, 3, 13.5e3)), *supply)
    assert (found.voltage_v, found.phases) == expected


def test_a_single_phase_model_connects_across_two_lines_and_the_working_says_so() -> None:
    first = stage_results("site.x", rated((240.0, 1, 9.6e3)), 208.0, phases=3)[0]
    assert first.current.value == pytest.approx(2400.0 * (208.0 / 240.0) ** 2 / 208.0)
    assert "across two lines of the three-phase supply" in speaker().worded(first.power.steps[0].note)


def test_a_three_phase_model_is_refused_on_a_single_phase_supply() -> None:
    with pytest.raises(CannotCompute) as refusal:
        stage_results("site.x", rated((208.0, 3, 13.5e3)), 208.0, phases=1)
    assert refusal.value.where == ("supply", "phases")


# Line currents of resistive loads in trade tables and code examples, from memory: [W, V, phases, A].
@pytest.mark.parametrize(
    ("watts", "volts", "phases", "amperes"),
    [(10e3, 240.0, 1, 41.67), (5500.0, 240.0, 1, 22.92), (45e3, 208.0, 3, 124.9), (36e3, 480.0, 3, 43.3),
     (3e3, 120.0, 1, 25.0)],
)  # fmt: skip
def test_line_currents_are_those_of_the_trade(watts: float, volts: float, phases: int, amperes: float) -> None:
    assert stages.line_current_a(watts, volts, phases) == pytest.approx(amperes, rel=5e-4)


def test_resistance_between_terminals_is_the_same_in_star_and_delta() -> None:
    """Built up from the three elements themselves, at 208 V and 4.5 kW."""
    volts, watts = 208.0, 4500.0
    star, delta = (volts / math.sqrt(3.0)) ** 2 / (watts / 3.0), volts**2 / (watts / 3.0)
    stage = FOUR.stages[0].model_copy(update={"share": 1.0})
    found = stages.element_resistance_ohm(Rating(voltage_v=volts, phases=3, power_w=watts), stage)
    assert found == pytest.approx(2.0 * star)
    assert found == pytest.approx(1.0 / (1.0 / delta + 1.0 / (2.0 * delta)))


def test_resistance_gives_back_the_stage_power_at_any_voltage() -> None:
    for result, stage in zip(stage_results("m", FOUR, 208.0, phases=1), FOUR.stages, strict=True):
        own_w = 208.0**2 / float(result.element_resistance.value or 0.0)
        assert own_w == pytest.approx(9600.0 * stage.share * (208.0 / 240.0) ** 2)


@pytest.mark.parametrize("name", MODELS)
def test_figures_of_the_demo_models(name: str) -> None:
    heater_model = model(name)
    rating = heater_model.ratings[0]
    results = stage_results(f"model.{name}", heater_model, rating.voltage_v, phases=rating.phases)
    assert results[-1].power.value == pytest.approx(rating.power_w, rel=2e-3)
    figures = [f for r in results for f in (r.power, r.current, r.closes_at, r.opens_at, r.element_resistance)]
    assert len({figure.id for figure in figures}) == len(figures) == 5 * len(heater_model.stages)
    assert all(figure.steps and figure.steps[-1].result.value == figure.value for figure in figures)


@pytest.mark.parametrize(
    ("gpm", "selected", "rising", "falling"),
    [(0.31, None, (), ()), (0.32, None, (), ()), (0.33, None, (), (1,)), (0.4, None, (1,), (1,)),
     (0.5, None, (1,), (1, 2)), (0.8, None, (1, 2, 3), (1, 2, 3, 4)), (0.9, None, (1, 2, 3, 4), (1, 2, 3, 4)),
     (0.9, 2, (1, 2), (1, 2)), (5.0, 1, (1,), (1,)), (0.5, 3, (1,), (1, 2))],
)  # fmt: skip
def test_closed_stages(gpm: float, selected: int | None, rising: tuple[int, ...], falling: tuple[int, ...]) -> None:
    assert stages.closed_stages(gpm * GPM, FOUR, selected) == rising
    assert stages.closed_stages(gpm * GPM, FOUR, selected, falling=True) == falling


def test_a_model_without_a_selector_ignores_the_selection() -> None:
    assert stages.closed_stages(1.0 * GPM, heater([0.4, 0.6], [0.3, 0.5], selector=False), 1) == (1, 2)


@given(st.floats(1e-6, 1e-3), st.floats(1.0, 5.0), st.booleans())
def test_more_flow_never_opens_a_stage(flow: float, times: float, falling: bool) -> None:
    less, more = (set(stages.closed_stages(q, FOUR, None, falling=falling)) for q in (flow, flow * times))
    assert less <= more


@given(st.floats(1e-6, 1e-3))
def test_every_stage_closed_on_the_way_up_is_closed_on_the_way_down(flow: float) -> None:
    assert set(stages.closed_stages(flow, FOUR, None)) <= set(stages.closed_stages(flow, FOUR, None, falling=True))


def test_a_stage_across_one_pair_of_lines_measures_as_one_element() -> None:
    """Ohm's law by hand for 2.25 kW across 208 V: 19.23 ohm and 10.82 A, in two lines only."""
    first = stage_results("m", model("tarn-18"), 208.0, phases=3)[0]
    assert first.element_resistance.value == pytest.approx(208.0**2 / 2250.0)
    assert first.current.value == pytest.approx(2250.0 / 208.0)


@given(pairs=st.tuples(*[st.floats(0.0, 20e3)] * 3))
def test_the_greatest_line_current_is_that_of_phasors(pairs: tuple[float, float, float]) -> None:
    """Kirchhoff's law with complex currents, worked independently of the closed form."""
    phasors = [cmath.rect(power / 208.0, -2.0 * math.pi * place / 3.0) for place, power in enumerate(pairs)]
    lines = [abs(phasors[place] - phasors[place - 1]) for place in range(3)]
    found = stages.unbalanced_line_current_a(*stages.meeting_pair_powers_w(pairs), 208.0)
    assert found == pytest.approx(max(lines), rel=1e-9, abs=1e-9)


def test_all_pairs_loaded_alike_are_a_balanced_load() -> None:
    tarn = model("tarn-18")
    third = stage_results("m", tarn, 208.0, phases=3)[2]
    assert third.current.value == pytest.approx(stages.line_current_a(6750.0, 208.0, 3), rel=1e-12)
    assert stages.pair_powers_w(FOUR.stages[:1], 900.0) == pytest.approx((300.0, 300.0, 300.0))


def test_the_resistance_of_an_element_is_worked_from_its_own_power_and_says_where_it_stands() -> None:
    """Joule, by hand: a sixth of 18 kW across 208 V is 208^2 / 3000 = 14.42 ohm, measured across its two lines."""
    rating = Rating.model_validate({"voltage": "208 V", "phases": "3", "power": "18 kW"})
    switching = {"closes_at": "0.5 gpm", "opens_at": "0.4 gpm"}
    stage = Stage.model_validate({"share": "16.666667 %", "lines": "L2-L3", **switching})
    found = _resistance("x", 4, rating, stage=stage)
    (step,) = found.steps
    assert found.value == pytest.approx(14.421, abs=0.001)
    assert {value.symbol: value.value for value in step.inputs} == pytest.approx({"V_rated": 208.0, "P_stage": 3000.0})
    assert step.note == say("element-across", lines="L2-L3")

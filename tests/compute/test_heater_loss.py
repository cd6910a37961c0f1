"""The heater's loss curve and its screen."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.flow.heater_loss import SCREEN_SHARE, HeaterLoss, heater_loss
from generator.errors import CannotCompute
from tests.compute.wet_cases import GPM, MODELS, PSI, model, site, with_water

CURVE = tuple((gpm * GPM, psi * PSI) for gpm, psi in ((0.5, 0.6), (1.0, 2.1), (2.0, 7.8), (3.0, 17.0)))


@pytest.mark.parametrize("name", MODELS)
def test_passes_through_every_point_of_the_maker(name: str) -> None:
    points = tuple((point.flow_m3_s, point.loss_pa) for point in model(name).water.head_loss)
    loss = HeaterLoss(points, 1.0)
    for flow, pa in points:
        assert loss.clean_pa(flow) == pytest.approx(pa)


def test_one_point_alone_is_a_square_law() -> None:
    loss = HeaterLoss(((1.0 * GPM, 2.0 * PSI),), 1.0)
    assert loss.clean_pa(2.0 * GPM) == pytest.approx(8.0 * PSI)
    assert loss.clean_pa(0.5 * GPM) == pytest.approx(0.5 * PSI)


def test_between_points_a_straight_line_on_logarithmic_paper() -> None:
    loss = HeaterLoss(CURVE, 1.0)
    middle = math.sqrt(1.0 * 2.0) * GPM
    assert loss.clean_pa(middle) == pytest.approx(math.sqrt(2.1 * 7.8) * PSI)


def test_below_the_first_point_and_above_the_last_the_curve_goes_on_as_it_was() -> None:
    """By hand: from 0.6 to 2.1 psi at twice the flow is an exponent of log2 3.5 = 1.81; from 7.8 to 17 psi at 1.5
    times it is ln 2.18 / ln 1.5 = 1.92."""
    loss = HeaterLoss(CURVE, 1.0)
    assert loss.clean_pa(0.25 * GPM) == pytest.approx(0.6 * PSI * 0.5 ** math.log2(3.5))
    assert loss.clean_pa(6.0 * GPM) == pytest.approx(17.0 * PSI * 2.0 ** (math.log(17.0 / 7.8) / math.log(1.5)))


def test_no_flatter_than_a_laminar_flow_below_and_a_smooth_pipe_above() -> None:
    """Points of one loss: Hagen and Poiseuille, exponent 1, below them; Blasius, 1.75, above."""
    flat = HeaterLoss(((1.0 * GPM, 5.0 * PSI), (2.0 * GPM, 5.0 * PSI)), 1.0)
    assert flat.clean_pa(0.5 * GPM) == pytest.approx(2.5 * PSI)
    assert flat.clean_pa(4.0 * GPM) == pytest.approx(5.0 * PSI * 2.0**1.75)


def test_above_the_last_point_no_steeper_than_a_square_law() -> None:
    steep = HeaterLoss(((1.0 * GPM, 1e-300), (2.0 * GPM, 5.0 * PSI)), 1.0)
    assert steep.clean_pa(4.0 * GPM) == pytest.approx(20.0 * PSI)
    assert steep.clean_pa(1.5 * GPM) < 1e-90 * PSI


curves = st.lists(st.tuples(st.floats(0.05, 10.0), st.floats(0.0, 60.0)), min_size=1, max_size=6).map(
    lambda pairs: tuple(
        zip(sorted({round(flow, 2) * GPM for flow, _ in pairs}), sorted(psi * PSI for _, psi in pairs), strict=False)
    )
)


@given(curves, st.floats(0.0, 20.0), st.floats(0.0, 20.0), st.floats(0.05, 1.0))
def test_more_flow_never_loses_less(points: tuple, one: float, other: float, is_open: float) -> None:
    loss, (less, more) = HeaterLoss(points, is_open), sorted((one * GPM, other * GPM))
    assert 0.0 <= loss.total_pa(less) <= loss.total_pa(more) * (1.0 + 1e-12) + 1e-9


@given(st.floats(0.05, 1.0), st.floats(0.05, 1.0))
def test_a_dirtier_screen_never_loses_less(one: float, other: float) -> None:
    dirty, clean = sorted((one, other))
    assert HeaterLoss(CURVE, dirty).total_pa(GPM) >= HeaterLoss(CURVE, clean).total_pa(GPM)


def test_screen_follows_the_inverse_square_of_its_area() -> None:
    clean, half = HeaterLoss(CURVE, 1.0), HeaterLoss(CURVE, 0.5)
    assert clean.screen_pa(GPM) == 0.0
    assert half.screen_pa(GPM) == pytest.approx(SCREEN_SHARE * 2.1 * PSI * 3.0)


def test_a_shut_screen_is_refused_at_its_key() -> None:
    with pytest.raises(CannotCompute, match="shut") as refused:
        heater_loss(with_water(site("creamery"), screen_open=0.0), model("tarn-18"))
    assert refused.value.where == ("water", "screen_open")

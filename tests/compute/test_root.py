"""The root finder against scipy and by its own promise."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from generator.compute.root import falling_root


@given(st.floats(1e-3, 1e3), st.floats(1e-3, 1e3), st.floats(1.0, 4.0), st.floats(0.0, 10.0))
def test_power_laws_as_scipy(height: float, a: float, n: float, b: float) -> None:
    def falling(x: float) -> float:
        return height - a * x**n - b * x

    found = falling_root(falling, 0.0, 1e4)
    if falling(1e4) >= 0.0:
        assert found == 1e4
    else:
        assert found == pytest.approx(brentq(falling, 0.0, 1e4, xtol=1e-13, rtol=1e-14), rel=1e-9, abs=1e-9)
        assert found is not None
        assert falling(found) >= 0.0


def test_none_where_it_starts_below_zero() -> None:
    assert falling_root(lambda x: -1.0 - x, 0.0, 1.0) is None


def test_the_end_where_it_never_crosses() -> None:
    assert falling_root(lambda x: 2.0 - x, 0.0, 1.0) == 1.0


def test_kinks_are_bracketed() -> None:
    found = falling_root(lambda x: 1.0 - x if x < 0.3 else 0.7 - 1e6 * (x - 0.3), 0.0, 1.0)
    assert found == pytest.approx(0.3 + 0.7e-6, abs=1e-12)


def test_few_evaluations_on_a_smooth_function() -> None:
    calls = []

    def falling(x: float) -> float:
        calls.append(x)
        return 50.0 - 3.0 * x - 40.0 * math.pow(x, 1.8)

    falling_root(falling, 0.0, 10.0)
    assert len(calls) < 20


def test_a_root_at_the_low_end_is_that_end() -> None:
    assert falling_root(lambda x: -x, 0.0, 1.0) == 0.0

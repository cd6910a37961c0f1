"""The weighted fit against scipy and the worked examples of JCGM 100, and chi-squared against scipy's."""

from __future__ import annotations

import math
import warnings
from typing import Any

import numpy as np
import pytest
from scipy.optimize import curve_fit
from scipy.stats import chi2 as reference
from uncertainties import correlated_values, nominal_value, std_dev, umath

from generator.compute.record.fit import chi2_beyond, weighted_fit
from tests.compute.heat_cases import source

GUM = source("gum")


def places(value: float) -> int:
    """Decimals of a printed value."""
    return len(str(value).partition(".")[2])


def test_the_calibration_line_of_the_guide() -> None:
    given: dict[str, Any] = GUM["thermometer"]
    x, y = (np.array(given[key]) for key in ("readings_c", "corrections_c"))
    design = np.column_stack([np.ones_like(x), x - given["about_c"]])
    fit = weighted_fit(design, y, np.ones(len(y)))
    variance = fit.chi2 / fit.freedom
    covariance = fit.covariance * variance
    found = [(fit.values[0], covariance[0, 0] ** 0.5), (fit.values[1], covariance[1, 1] ** 0.5)]
    at_30 = np.array([1.0, 30.0 - given["about_c"]])
    found.append((at_30 @ fit.values, (at_30 @ covariance @ at_30) ** 0.5))
    for (value, error), key in zip(found, ("intercept", "slope", "at_30_c"), strict=True):
        assert [round(value, places(given[key][0])), round(error, places(given[key][1]))] == given[key]
    assert round(variance**0.5, 4) == given["deviation_c"]
    assert round(covariance[0, 1] / math.sqrt(covariance[0, 0] * covariance[1, 1]), 3) == given["correlation"]


def test_the_correlated_quantities_of_the_guide() -> None:
    """The package `uncertainties`, by which the points of a visit are propagated, on resistance and reactance."""
    given: dict[str, Any] = GUM["impedance"]
    read = np.array([given[key] for key in ("volts", "milliamps", "phase_rad")])
    volts, milliamps, phase = correlated_values(read.mean(axis=1), np.cov(read) / read.shape[1])
    impedance = volts / (milliamps / 1000.0)
    found = {
        "resistance": impedance * umath.cos(phase),
        "reactance": impedance * umath.sin(phase),
        "impedance": impedance,
    }
    for key, value in found.items():
        # To the printed digits; of the uncertainties, which the guide cuts off (0.2956 is printed 0.295), to the last.
        assert nominal_value(value) == pytest.approx(given[key][0], abs=0.00051), key
        assert std_dev(value) == pytest.approx(given[key][1], abs=0.001), key


def test_power_scale_and_offset_equal_two_fits_of_scipy() -> None:
    """Power by flow and rise over the predicted one, against an offset of the rise: scipy.odr and curve_fit."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)
        from scipy import odr
    per_kelvin = np.array([0.24, 0.12, 0.08, 0.06, 0.045, 0.03])
    ratio = np.array([1.734, 1.400, 1.333, 1.299, 1.349, 1.348])
    own = np.array([0.096, 0.05, 0.035, 0.028, 0.024, 0.02])
    fit = weighted_fit(np.column_stack([np.ones(6), per_kelvin]), ratio, own)
    by_curve, covariance = curve_fit(lambda x, a, b: a + b * x, per_kelvin, ratio, sigma=own, absolute_sigma=True)
    assert fit.values == pytest.approx(by_curve, rel=1e-6)
    assert fit.covariance == pytest.approx(covariance, rel=1e-5)
    run = odr.ODR(odr.RealData(per_kelvin, ratio, sy=own), odr.Model(lambda p, x: p[0] + p[1] * x), beta0=[1.0, 0.0])
    run.set_job(fit_type=2)
    by_odr = run.run()
    assert fit.values == pytest.approx(by_odr.beta, rel=1e-6)
    assert fit.covariance == pytest.approx(by_odr.cov_beta, rel=1e-5)
    assert fit.chi2 == pytest.approx(by_odr.sum_square, rel=1e-6)


@pytest.mark.parametrize("freedom", range(1, 30))
def test_chi_squared_equals_scipy_s(freedom: int) -> None:
    for value in (0.0, 0.3, 2.0, 9.0, 40.0, 90.0):
        assert chi2_beyond(value, freedom) == pytest.approx(float(reference.sf(value, freedom)), abs=1e-12)
        assert chi2_beyond(value, 0) == 1.0  # as many readings as unknowns: nothing is left to be off

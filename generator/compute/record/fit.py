"""Weighted least squares, and how well a fit agrees with what was read.

Minimized is the sum of ((y - X p) / u)^2, u the standard uncertainties of the readings y. Source: least squares
(Gauss); JCGM 100:2008, annex H.3 for a calibration line.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Fit:
    """What was fitted, shape (parameters,), its covariance (parameters, parameters), the least sum of squares, and the
    readings left over the parameters."""

    values: FloatArray
    covariance: FloatArray
    chi2: float
    freedom: int

    @property
    def agreement(self) -> float:
        """How often readings whose errors are as stated lie at least as far off; 1 where nothing is left over."""
        return chi2_beyond(self.chi2, self.freedom)


def weighted_fit(design: FloatArray, read: FloatArray, deviations: FloatArray) -> Fit:
    """Return the fit of `read`, shape (readings,), to `design`, shape (readings, parameters).

    `deviations`, shape (readings,): standard uncertainties of the readings. What several readings share is a parameter
    of its own, with what is known of it as one more reading. numpy's LinAlgError where the readings do not determine
    the parameters.

    >>> line = np.array([[1.0, 0.0], [1.0, 1.0], [1.0, 2.0]])
    >>> weighted_fit(line, np.array([1.0, 3.0, 5.0]), np.ones(3)).values.round(9)  # by hand: y = 1 + 2 x
    array([1., 2.])
    """
    scaled, wanted = design / deviations[:, None], read / deviations
    within = np.asarray(np.linalg.inv(scaled.T @ scaled), dtype=np.float64)
    values = within @ (scaled.T @ wanted)
    off = wanted - scaled @ values
    return Fit(values, within, float(off @ off), len(read) - len(values))


def chi2_beyond(chi2: float, freedom: int) -> float:
    """Return the probability that chi-squared of `freedom` exceeds `chi2`; 1 for none.

    Closed forms of the upper incomplete gamma function for whole degrees of freedom. Range: chi2 at least 0.
    Source: Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 and 26.4.5, from memory.

    >>> round(chi2_beyond(3.841, 1), 3), round(chi2_beyond(18.307, 10), 3)  # printed tables of chi-squared
    (0.05, 0.05)
    """
    if freedom <= 0:
        return 1.0
    half, odd = chi2 / 2.0, freedom % 2
    total = math.erfc(math.sqrt(half)) if odd else math.exp(-half)
    term = math.sqrt(4.0 * half / math.pi) * math.exp(-half) if odd else half * math.exp(-half)
    for step in range((freedom - 1) // 2):
        total += term
        term *= half / (step + (1.5 if odd else 2.0))
    return total

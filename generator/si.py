"""Exact relations of customary and metric units to SI, once for the whole program, and two temperature scales.

Besides, how numbers with a fraction are added.

Source: NIST SP 811 (2008), appendix B.8; the gallon is 231 cubic inches, the Btu that of the International Table.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from operator import add
from typing import TYPE_CHECKING, TypeVar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Number = TypeVar("Number", "float", "NDArray[np.float64]")

INCH_M = 0.0254
FOOT_M = 0.3048
POUND_FORCE_N = 4.4482216152605
GALLON_M3 = 3.785411784e-3
MINUTE_S = 60.0
GPM_M3_S = GALLON_M3 / MINUTE_S
BTU_J = 1055.05585262
FAHRENHEIT_K = 5.0 / 9.0  # one degree
FREEZING_K = 273.15


def from_fahrenheit(degrees_f: float) -> float:
    """Return a temperature in degF as [K].

    >>> round(from_fahrenheit(120.0), 3)
    322.039
    """
    return (degrees_f + 459.67) / 1.8


def to_fahrenheit(temperature_k: float) -> float:
    """Return a temperature [K] in degF.

    >>> to_fahrenheit(273.15)
    32.0
    """
    return (temperature_k - FREEZING_K) * 1.8 + 32.0


def from_celsius(degrees_c: float) -> float:
    """Return a temperature in degC as [K]."""
    return degrees_c + FREEZING_K


def added(values: Iterable[Number], start: Number = 0.0) -> Number:  # type: ignore[assignment]
    """Return `start` and then each value, added one after another: numbers with a fraction, or arrays of them.

    From Python 3.12 on `sum` carries what rounding loses, so that the same data gave other last digits, and pages other
    revision codes, from one version of Python to the next.
    """
    return reduce(add, values, start)

"""Properties of liquid water between 0 and 100 degC at 0.1 MPa, for floats and numpy arrays.

Source: IAPWS SR7-09(2011), Revised Supplementary Release on Properties of Liquid Water at 0.1 MPa, equations (1) to
(6) and the viscosity equation. The release holds from 253.15 to 383.15 K; this module takes 273.15 to 373.15 K, the
range in which tap water is liquid at sea level, and raises ValueError outside it (NaN included). Bounds written in
another unit may miss by a rounding: 1e-6 K beyond a bound counts as on it.
A supply at 0.7 MPa differs from 0.1 MPa by less than 0.1 % in what a heater needs (density, enthalpy difference).
"""

from __future__ import annotations

from functools import lru_cache
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from generator.si import FREEZING_K, added

FloatArray = NDArray[np.float64]
Number = TypeVar("Number", float, FloatArray)

BOILING_K = 373.15
SOURCE = "IAPWS SR7-09(2011), liquid water at 0.1 MPa"

_SLACK_K = 1e-6
_STEP_K = 1e-10
_GAS_CONSTANT = 461.51805  # J/(kg K)
_T_SCALE = 10.0  # K
_PRESSURE = 1e5  # Pa
_C1, _C3 = -245.2093414, -8.983025854
# Coefficients of the release's table of parameters, named by the exponent of alpha or beta they stand before, for g
# (G) and for the volume (V). The sums are written out: a site asks for hundreds, and by pairs they took four times as
# long.
_A4G, _A5G, _A7G = -1.661470539e5, 2.708781640e6, -1.557191544e8
_B2G, _B3G, _B4G, _B5G = -0.8237426256, 1.908956353, -2.017597384, 0.8546361348
_V = 1.93763157e-2
_A4V, _A5V, _A7V, _A8V, _A9V = 6.74458446e3, -2.22521604e5, 1.00231247e8, -1.63552118e9, 8.32299658e9
_B1V, _B2V, _B3V = 5.78545292e-3, -1.53195665e-2, 3.11337859e-2
_B4V, _B5V, _B6V = -4.23546241e-2, 3.38713507e-2, -1.19946761e-2
# (coefficient, exponent) pairs.
_VISCOSITY = ((280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.45903, -40.0))


def _clip(temperature_k: Number) -> Number:
    if isinstance(temperature_k, np.ndarray):
        return np.clip(temperature_k, FREEZING_K, BOILING_K)
    return min(max(temperature_k, FREEZING_K), BOILING_K)


def every(condition: bool | NDArray[np.bool_]) -> bool:
    """Return whether a comparison of floats or of arrays holds throughout; quicker than numpy's own for a float."""
    return condition if isinstance(condition, bool) else bool(condition.all())


def _outside(value: Number, least: float, most: float) -> bool:
    return not every((value >= least) & (value <= most))


def _liquid(temperature_k: Number) -> Number:
    """Return the temperature, in range; ValueError outside the range or for NaN."""
    if isinstance(temperature_k, float) and FREEZING_K <= temperature_k <= BOILING_K:
        return temperature_k  # nearly always: what follows took as long as the property itself
    if _outside(temperature_k, FREEZING_K - _SLACK_K, BOILING_K + _SLACK_K):
        raise ValueError(f"water is computed from {FREEZING_K} to {BOILING_K} K only; got {temperature_k} K")
    return _clip(temperature_k)


def density(temperature_k: Number) -> Number:
    """Return the density of water [kg/m3] at `temperature_k` [K]; array shape is kept. ValueError out of range.

    The release's table 8 gives 997.047013 at 298.15 K:

    >>> round(density(298.15), 6)
    997.047013
    """
    t = _liquid(temperature_k)
    alpha, beta = _T_SCALE / (593.0 - t), _T_SCALE / (t - 232.0)
    volume = (
        (0.0 * t + _V)
        + _A4V * alpha**4
        + _A5V * alpha**5
        + _A7V * alpha**7
        + _A8V * alpha**8
        + _A9V * alpha**9
        + _B1V * beta**1
        + _B2V * beta**2
        + _B3V * beta**3
        + _B4V * beta**4
        + _B5V * beta**5
        + _B6V * beta**6
    )
    return _PRESSURE / (_GAS_CONSTANT * _T_SCALE * volume)


def enthalpy(temperature_k: Number) -> Number:
    """Return the specific enthalpy [J/kg] at `temperature_k` [K], zero near 0 degC. ValueError out of range.

    h = g + T s of the release's equations for g and s; the logarithms cancel. Its table 8 gives g = -4561.7537 and
    s = 367.20145 at 298.15 K, so 104 919.36:

    >>> round(enthalpy(298.15), 2)
    104919.36
    """
    t = _liquid(temperature_k)
    tau, alpha, beta = t / _T_SCALE, _T_SCALE / (593.0 - t), _T_SCALE / (t - 232.0)
    total = (
        (_C1 - _C3 * tau)
        + _A4G * alpha**4 * (1.0 - 4 * tau * alpha)
        + _A5G * alpha**5 * (1.0 - 5 * tau * alpha)
        + _A7G * alpha**7 * (1.0 - 7 * tau * alpha)
        + _B2G * beta**2 * (1.0 + 2 * tau * beta)
        + _B3G * beta**3 * (1.0 + 3 * tau * beta)
        + _B4G * beta**4 * (1.0 + 4 * tau * beta)
        + _B5G * beta**5 * (1.0 + 5 * tau * beta)
    )
    return _GAS_CONSTANT * _T_SCALE * total


def heat_capacity(temperature_k: Number) -> Number:
    """Return the specific heat capacity at constant pressure [J/(kg K)] at `temperature_k` [K].

    ValueError out of range. The release's table 8 gives 4181.44618 at 298.15 K:

    >>> round(heat_capacity(298.15), 4)
    4181.4462
    """
    t = _liquid(temperature_k)
    tau, alpha, beta = t / _T_SCALE, _T_SCALE / (593.0 - t), _T_SCALE / (t - 232.0)
    total = (
        0.0 * t
        + 20 * _A4G * alpha**6
        + 30 * _A5G * alpha**7
        + 56 * _A7G * alpha**9
        + 6 * _B2G * beta**4
        + 12 * _B3G * beta**5
        + 20 * _B4G * beta**6
        + 30 * _B5G * beta**7
    )
    return -_GAS_CONSTANT * (_C3 + tau * total)


def viscosity(temperature_k: Number) -> Number:
    """Return the dynamic viscosity [Pa s] at `temperature_k` [K]. ValueError out of range.

    The release's table 8 gives 889.996774e-6 at 298.15 K:

    >>> round(viscosity(298.15) * 1e6, 3)
    889.997
    """
    ratio = _liquid(temperature_k) / 300.0
    total: Number = added((a * ratio**b for a, b in _VISCOSITY), 0.0 * ratio)
    return total * 1e-6


LEAST_ENTHALPY = enthalpy(FREEZING_K)
GREATEST_ENTHALPY = enthalpy(BOILING_K)


def temperature(enthalpy_j_kg: Number) -> Number:
    """Return the temperature [K] of water with this specific enthalpy [J/kg], to 1e-9 K.

    Newton's method on `enthalpy`, whose slope `heat_capacity` varies by 1 % only; each step is held in range.
    ValueError for an enthalpy of ice or steam.

    >>> round(temperature(104919.36), 4)
    298.15
    """
    return _settled(enthalpy_j_kg) if type(enthalpy_j_kg) is float else _newton(enthalpy_j_kg)


def _newton(enthalpy_j_kg: Number) -> Number:
    slack = 4220.0 * _SLACK_K
    if _outside(enthalpy_j_kg, LEAST_ENTHALPY - slack, GREATEST_ENTHALPY + slack):
        raise ValueError(f"no liquid water between 0 and 100 degC has the enthalpy {enthalpy_j_kg} J/kg")
    t = _clip(FREEZING_K + enthalpy_j_kg / 4190.0)
    for _ in range(10):
        following = _clip(t - (enthalpy(t) - enthalpy_j_kg) / heat_capacity(t))
        if every(abs(following - t) <= _STEP_K):
            return following
        t = following
    raise ArithmeticError(f"the temperature for the enthalpy {enthalpy_j_kg} J/kg did not settle")


# Kept, for the same water is met in one finding after another.
_settled = lru_cache(maxsize=4_000)(_newton)

"""Inlet water temperature through the year: as stated for a site, or from its climate.

Correlation: Burch and Christensen, "Towards development of an algorithm for mains water temperature", Proc. ASES
Solar 2007 (US National Renewable Energy Laboratory), read in four public building-energy and solar programs. It is
written in degF and days; its own text warns of water warmed inside buildings and of few northern data, so a measured
temperature is better. The coldest day governs the rise, the hottest scald; the mean serves neither.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.errors import CannotCompute
from generator.model.site import Site
from generator.model.site_water import Climate
from generator.si import FAHRENHEIT_K, FREEZING_K, to_fahrenheit

SOURCE = "Burch and Christensen, ASES Solar 2007, mains water temperature"
DAYS = range(1, 366)

_OFFSET_K = 6.0 * FAHRENHEIT_K


@dataclass(frozen=True, slots=True)
class Season:
    """The inlet of a site [K] at its coldest, which governs the rise, and at its warmest, which governs scald."""

    coldest_k: float
    warmest_k: float


def range_ratio(annual_mean_k: float) -> float:
    """Return the share of the air's range that reaches the water: 0.4 + 0.01 (T_air - 44 degF), held within 0 to 1.

    The published line falls below 0 under 4 degF, where it would turn the seasons round; programs that use it hold it.

    >>> round(range_ratio(279.8166667), 3)
    0.4
    """
    return min(max(0.4 + 0.01 * (to_fahrenheit(annual_mean_k) - 44.0), 0.0), 1.0)


def lag_days(annual_mean_k: float) -> float:
    """Return by how many days the water lags the air: 35 - (T_air - 44 degF).

    >>> round(lag_days(279.8166667), 3)
    35.0
    """
    return 35.0 - (to_fahrenheit(annual_mean_k) - 44.0)


def mains_temperature_k(day: float, annual_mean_k: float, monthly_range_k: float, *, hemisphere: str) -> float:
    """Return the mains water temperature [K] on a day of the year (1 to 365), not below freezing.

    `annual_mean_k` is the mean air temperature of the year [K], `monthly_range_k` the warmest month's mean less the
    coldest month's [K], `hemisphere` "northern" or "southern". T = (T_air + 6 degF) + r dT/2 sin(0.986 (d - 15 - lag)
    -+ 90), the sine in degrees. With a mean of 44 degF and a range of 50, day 50 has 40.0 degF:

    >>> round(to_fahrenheit(mains_temperature_k(50, 279.8166667, 50.0 / 1.8, hemisphere="northern")), 1)
    40.0
    """
    sign = -90.0 if hemisphere == "northern" else 90.0
    angle = math.radians(0.986 * (day - 15.0 - lag_days(annual_mean_k)) + sign)
    swing_k = range_ratio(annual_mean_k) * monthly_range_k / 2.0
    return max(annual_mean_k + _OFFSET_K + swing_k * math.sin(angle), FREEZING_K)


def year_k(climate: Climate) -> dict[int, float]:
    """Return the mains water temperature [K] of every day of a year (1 to 365).

    CannotCompute for a mean of the year of 26 degF or less, at which the water's own mean is not above freezing: the
    estimate would be held at freezing in summer too, and the hottest water come out far too cool.
    """
    if climate.annual_mean_k + _OFFSET_K <= FREEZING_K:
        mean = f"{to_fahrenheit(climate.annual_mean_k):.3g} degF"
        wrong = f"with a mean of {mean} over the year the mains would be frozen, so the estimate does not hold here"
        expected = "the inlet as measured, winter and summer or month by month, in place of the climate"
        raise CannotCompute(("water", "inlet", "climate", "annual_mean"), wrong, expected)
    return {
        day: mains_temperature_k(day, climate.annual_mean_k, climate.monthly_range_k, hemisphere=climate.hemisphere)
        for day in DAYS
    }


def season(site: Site) -> Season:
    """Return the coldest and the warmest inlet of a site, as stated or from its climate; CannotCompute as `year_k`."""
    inlet = site.water.inlet
    stated_k = (inlet.winter_k, inlet.summer_k, *(inlet.monthly_k or ()))
    values_k = [one_k for one_k in stated_k if one_k is not None]
    if inlet.climate is not None:
        values_k = list(year_k(inlet.climate).values())
    return Season(min(values_k), max(values_k))

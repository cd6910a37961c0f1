"""Inlet water temperature through the year: as stated for a site, or from its climate.

Correlation: Burch and Christensen, "Towards development of an algorithm for mains water temperature", Proc. ASES
Solar 2007 (US National Renewable Energy Laboratory), read in four public building-energy and solar programs. It is
written in degF and days; its own text warns of water warmed inside buildings and of few northern data, so a measured
temperature is better. The coldest day governs the rise, the hottest scald; the mean serves neither.
"""

from __future__ import annotations

import math

from generator.errors import CannotCompute
from generator.model.figures import Figure, FigureTable, Side, Step, Value
from generator.model.site import Climate, Site
from generator.model.water_results import Curve, InletYear
from generator.si import FAHRENHEIT_K, FREEZING_K, to_fahrenheit

SOURCE = "Burch and Christensen, ASES Solar 2007, mains water temperature"
STATED = "stated for the site"
DAYS = range(1, 366)
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
# The day of the year in the middle of each month of a common year.
MIDDLE_DAYS = (16, 45, 75, 105, 136, 166, 197, 228, 258, 289, 319, 350)

_OFFSET_K = 6.0 * FAHRENHEIT_K
_FORMULA = "T = (T_air + 6 °F) + r × ΔT/2 × sin(0.986° × (d − 15 − lag) + s × 90°), not below 32 °F"


def _fahrenheit(temperature_k: float) -> float:
    return to_fahrenheit(temperature_k)


def range_ratio(annual_mean_k: float) -> float:
    """Return the share of the air's range that reaches the water: 0.4 + 0.01 (T_air - 44 degF), held within 0 to 1.

    The published line falls below 0 under 4 degF, where it would turn the seasons round; programs that use it hold it.
    """
    return min(max(0.4 + 0.01 * (_fahrenheit(annual_mean_k) - 44.0), 0.0), 1.0)


def lag_days(annual_mean_k: float) -> float:
    """Return by how many days the water lags the air: 35 - (T_air - 44 degF)."""
    return 35.0 - (_fahrenheit(annual_mean_k) - 44.0)


def mains_temperature_k(day: float, annual_mean_k: float, monthly_range_k: float, hemisphere: str) -> float:
    """Return the mains water temperature [K] on a day of the year (1 to 365), not below freezing.

    `annual_mean_k` is the mean air temperature of the year [K], `monthly_range_k` the warmest month's mean less the
    coldest month's [K], `hemisphere` "northern" or "southern".
    """
    sign = -90.0 if hemisphere == "northern" else 90.0
    angle = math.radians(0.986 * (day - 15.0 - lag_days(annual_mean_k)) + sign)
    swing_k = range_ratio(annual_mean_k) * monthly_range_k / 2.0
    return max(annual_mean_k + _OFFSET_K + swing_k * math.sin(angle), FREEZING_K)


def _climate_step(climate: Climate, day: int, result: Value) -> Step:
    inputs = (
        Value("T_air", climate.annual_mean_k, "temperature"),
        Value("ΔT", climate.monthly_range_k, "temperature_difference"),
        Value("r", range_ratio(climate.annual_mean_k), "number"),
        Value("lag in days", lag_days(climate.annual_mean_k), "number"),
        Value("d", day, "count"),
        Value("s", "−1" if climate.hemisphere == "northern" else "+1", "text"),
    )
    note = "r = 0.4 + 0.01 × (T_air − 44 °F) within 0 to 1; lag = 35 − (T_air − 44 °F); the sine in degrees"
    return Step(_FORMULA, inputs, result, SOURCE, note)


def _figure(prefix: str, name: str, label: str, value_k: float, side: Side, step: Step) -> Figure:
    return Figure(f"{prefix}.{name}", label, value_k, "temperature", side, (step,))


def _month_table(prefix: str, values_k: tuple[float, ...], steps: tuple[Step, ...], note: str) -> FigureTable:
    rows = []
    for month, value_k, step in zip(MONTHS, values_k, steps, strict=True):
        figure = _figure(prefix, month.lower(), f"Inlet in {month}", value_k, "nearest", step)
        rows.append((Value(month, month, "text"), (figure,)))
    column = Value("inlet", "inlet temperature", "text")
    return FigureTable(f"{prefix}.months", "Inlet temperature through the year", "month", (column,), tuple(rows), note)


def _curve(prefix: str, points: tuple[tuple[float, float], ...]) -> Curve:
    title = "Inlet temperature through the year"
    return Curve(f"{prefix}.curve", title, "day of the year", "number", "inlet", "temperature", points)


def _refuse_frozen(climate: Climate) -> None:
    """Refuse a climate in which the water's mean of the year is not above freezing.

    The estimate would then be held at freezing in summer too, and the hottest water come out far too cool.
    """
    if climate.annual_mean_k + _OFFSET_K <= FREEZING_K:
        mean = f"{_fahrenheit(climate.annual_mean_k):.3g} degF"
        wrong = f"with a mean of {mean} over the year the mains would be frozen, so the estimate does not hold here"
        expected = "the inlet as measured, winter and summer or month by month, in place of the climate"
        raise CannotCompute(("water", "inlet", "climate", "annual_mean"), wrong, expected)


def _from_climate(prefix: str, climate: Climate) -> InletYear:
    _refuse_frozen(climate)
    values_k = {
        day: mains_temperature_k(day, climate.annual_mean_k, climate.monthly_range_k, climate.hemisphere)
        for day in DAYS
    }
    cold_day, hot_day = min(values_k, key=lambda day: values_k[day]), max(values_k, key=lambda day: values_k[day])
    monthly = tuple(values_k[day] for day in MIDDLE_DAYS)
    month_steps = tuple(_climate_step(climate, day, Value("T", values_k[day], "temperature")) for day in MIDDLE_DAYS)
    coldest, hottest = values_k[cold_day], values_k[hot_day]
    cold_step = _climate_step(climate, cold_day, Value("T", coldest, "temperature", "down"))
    hot_step = _climate_step(climate, hot_day, Value("T", hottest, "temperature", "up"))
    note = "In the middle of each month, from the climate; the coldest and hottest days lie beyond. Better: measure."
    return InletYear(
        "climate",
        _figure(prefix, "coldest", "Coldest inlet of the year", coldest, "down", cold_step),
        _figure(prefix, "hottest", "Hottest inlet of the year", hottest, "up", hot_step),
        _month_table(prefix, monthly, month_steps, note),
        _curve(prefix, tuple((float(day), values_k[day]) for day in DAYS if day % 7 == 1)),
    )


def _from_months(prefix: str, values_k: tuple[float, ...]) -> InletYear:
    steps = tuple(Step("T", (), Value("T", value_k, "temperature"), STATED) for value_k in values_k)
    months = tuple(Value(month, value_k, "temperature") for month, value_k in zip(MONTHS, values_k, strict=True))
    cold = Step("T_coldest = min(T)", months, Value("T_coldest", min(values_k), "temperature", "down"), STATED)
    hot = Step("T_hottest = max(T)", months, Value("T_hottest", max(values_k), "temperature", "up"), STATED)
    points = tuple((float(day), value_k) for day, value_k in zip(MIDDLE_DAYS, values_k, strict=True))
    return InletYear(
        "monthly",
        _figure(prefix, "coldest", "Coldest inlet of the year", min(values_k), "down", cold),
        _figure(prefix, "hottest", "Hottest inlet of the year", max(values_k), "up", hot),
        _month_table(prefix, values_k, steps, "As stated for the site."),
        _curve(prefix, points),
    )


def inlet_year(site: Site) -> InletYear:
    """Return the inlet temperature of a site through the year; ids `site.<id>.water.inlet.…`.

    CannotCompute for a climate too cold for the estimate: a mean of the year of 26 degF or less.
    """
    prefix, inlet = f"site.{site.id}.water.inlet", site.water.inlet
    if inlet.climate is not None:
        return _from_climate(prefix, inlet.climate)
    if inlet.monthly_k is not None:
        return _from_months(prefix, inlet.monthly_k)
    assert inlet.winter_k is not None
    assert inlet.summer_k is not None
    winter = Step("T_winter", (), Value("T_winter", inlet.winter_k, "temperature", "down"), STATED)
    summer = Step("T_summer", (), Value("T_summer", inlet.summer_k, "temperature", "up"), STATED)
    return InletYear(
        "seasons",
        _figure(prefix, "coldest", "Coldest inlet of the year", inlet.winter_k, "down", winter),
        _figure(prefix, "hottest", "Hottest inlet of the year", inlet.summer_k, "up", summer),
    )

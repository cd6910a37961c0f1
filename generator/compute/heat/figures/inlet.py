"""The inlet through the year, with its working: its ends, its months where they are known, and their line."""

from __future__ import annotations

from generator.compute.heat.inlet import DAYS, SOURCE, STATED, lag_days, range_ratio, season, year_k
from generator.model.figures import Figure, FigureTable, Side, Step, Value
from generator.model.site import Site
from generator.model.site_water import Climate
from generator.model.water_results import Curve, InletYear

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
_FORMULA = "T = (T_air + 6 °F) + r × ΔT/2 × sin(0.986° × (d − 15 − lag) + s × 90°), not below 32 °F"


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


def _figure(prefix: str, name: str, label: str, *, value_k: float, side: Side, step: Step) -> Figure:
    return Figure(f"{prefix}.{name}", label, value_k, "temperature", side, (step,))


def _month_table(prefix: str, values_k: tuple[float, ...], steps: tuple[Step, ...], *, note: str) -> FigureTable:
    rows = []
    for month, value_k, step in zip(MONTHS, values_k, steps, strict=True):
        figure = _figure(prefix, month.lower(), f"Inlet in {month}", value_k=value_k, side="nearest", step=step)
        rows.append((Value(month, month, "text"), (figure,)))
    column = Value("inlet", "inlet temperature", "text")
    return FigureTable(f"{prefix}.months", "Inlet temperature through the year", "month", (column,), tuple(rows), note)


def _curve(prefix: str, points: tuple[tuple[float, float], ...]) -> Curve:
    title = "Inlet temperature through the year"
    return Curve(f"{prefix}.curve", title, "day of the year", "number", "inlet", "temperature", points)


def _from_climate(prefix: str, climate: Climate) -> InletYear:
    values_k = year_k(climate)
    cold_day, hot_day = min(values_k, key=lambda day: values_k[day]), max(values_k, key=lambda day: values_k[day])
    monthly = tuple(values_k[day] for day in MIDDLE_DAYS)
    month_steps = tuple(_climate_step(climate, day, Value("T", values_k[day], "temperature")) for day in MIDDLE_DAYS)
    coldest, hottest = values_k[cold_day], values_k[hot_day]
    cold_step = _climate_step(climate, cold_day, Value("T", coldest, "temperature", "down"))
    hot_step = _climate_step(climate, hot_day, Value("T", hottest, "temperature", "up"))
    note = "In the middle of each month, from the climate; the coldest and hottest days lie beyond. Better: measure."
    return InletYear(
        "climate",
        _figure(prefix, "coldest", "Coldest inlet of the year", value_k=coldest, side="down", step=cold_step),
        _figure(prefix, "hottest", "Hottest inlet of the year", value_k=hottest, side="up", step=hot_step),
        _month_table(prefix, monthly, month_steps, note=note),
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
        _figure(prefix, "coldest", "Coldest inlet of the year", value_k=min(values_k), side="down", step=cold),
        _figure(prefix, "hottest", "Hottest inlet of the year", value_k=max(values_k), side="up", step=hot),
        _month_table(prefix, values_k, steps, note="As stated for the site."),
        _curve(prefix, points),
    )


def inlet_year(site: Site) -> InletYear:
    """Return the inlet temperature of a site through the year; ids `site.<id>.water.inlet.…`; CannotCompute as
    `year_k`."""
    prefix, inlet = f"site.{site.id}.water.inlet", site.water.inlet
    if inlet.climate is not None:
        return _from_climate(prefix, inlet.climate)
    if inlet.monthly_k is not None:
        return _from_months(prefix, inlet.monthly_k)
    ends = season(site)
    winter = Step("T_winter", (), Value("T_winter", ends.coldest_k, "temperature", "down"), STATED)
    summer = Step("T_summer", (), Value("T_summer", ends.warmest_k, "temperature", "up"), STATED)
    return InletYear(
        "seasons",
        _figure(prefix, "coldest", "Coldest inlet of the year", value_k=ends.coldest_k, side="down", step=winter),
        _figure(prefix, "hottest", "Hottest inlet of the year", value_k=ends.warmest_k, side="up", step=summer),
    )

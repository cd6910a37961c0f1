"""The inlet through the year, with its working: its ends, its months where they are known, and their line."""

from __future__ import annotations

from generator.compute.heat.inlet import DAYS, SOURCE, lag_days, range_ratio, season, year_k
from generator.compute.sources import STATED
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.said import say
from generator.model.site import Site
from generator.model.site_water import Climate
from generator.model.water_results import Curve, InletYear

MONTHS = {
    "january": say("january"),
    "february": say("february"),
    "march": say("march"),
    "april": say("april"),
    "may": say("may"),
    "june": say("june"),
    "july": say("july"),
    "august": say("august"),
    "september": say("september"),
    "october": say("october"),
    "november": say("november"),
    "december": say("december"),
}
# The day of the year in the middle of each month of a common year.
MIDDLE_DAYS = (16, 45, 75, 105, 136, 166, 197, 228, 258, 289, 319, 350)


def _climate_step(climate: Climate, day: int, result: Value) -> Step:
    inputs = (
        Value("T_air", climate.annual_mean_k, "temperature"),
        Value("ΔT", climate.monthly_range_k, "temperature_difference"),
        Value("r", range_ratio(climate.annual_mean_k), "number"),
        Value(say("lag-in-days"), lag_days(climate.annual_mean_k), "number"),
        Value("d", day, "count"),
        Value("s", "−1" if climate.hemisphere == "northern" else "+1", "text"),
    )
    return Step(say("mains-temperature"), inputs, result, SOURCE, say("mains-temperature-terms"))


def _figure(prefix: str, name: str, label: str, *, value_k: float, step: Step) -> Figure:
    return Figure(f"{prefix}.{name}", label, value_k, "temperature", "neither", (step,))


def _month_table(prefix: str, values_k: tuple[float, ...], steps: tuple[Step, ...], *, note: str) -> FigureTable:
    rows = []
    for (id_, month), value_k, step in zip(MONTHS.items(), values_k, steps, strict=True):
        figure = _figure(prefix, id_, say("inlet-in-month", month=month), value_k=value_k, step=step)
        rows.append((Value(month, month, "text"), (figure,)))
    column = Value("inlet", say("inlet-head"), "text")
    return FigureTable(f"{prefix}.months", say("inlet-year"), say("month"), (column,), tuple(rows), note)


def _curve(prefix: str, points: tuple[tuple[float, float], ...]) -> Curve:
    day, inlet = say("day-of-year"), say("inlet-axis")
    return Curve(f"{prefix}.curve", say("inlet-year"), day, "number", inlet, "temperature", points)


def _from_climate(prefix: str, climate: Climate) -> InletYear:
    values_k = year_k(climate)
    cold_day, hot_day = min(values_k, key=lambda day: values_k[day]), max(values_k, key=lambda day: values_k[day])
    monthly = tuple(values_k[day] for day in MIDDLE_DAYS)
    month_steps = tuple(_climate_step(climate, day, Value("T", values_k[day], "temperature")) for day in MIDDLE_DAYS)
    coldest, hottest = values_k[cold_day], values_k[hot_day]
    cold_step = _climate_step(climate, cold_day, Value("T", coldest, "temperature"))
    hot_step = _climate_step(climate, hot_day, Value("T", hottest, "temperature"))
    return InletYear(
        "climate",
        _figure(prefix, "coldest", say("coldest-inlet"), value_k=coldest, step=cold_step),
        _figure(prefix, "hottest", say("hottest-inlet"), value_k=hottest, step=hot_step),
        monthly,
        _month_table(prefix, monthly, month_steps, note=say("inlet-from-climate")),
        _curve(prefix, tuple((float(day), values_k[day]) for day in DAYS if day % 7 == 1)),
    )


def _from_months(prefix: str, values_k: tuple[float, ...]) -> InletYear:
    steps = tuple(Step("T", (), Value("T", value_k, "temperature"), STATED) for value_k in values_k)
    months = tuple(
        Value(month, value_k, "temperature") for month, value_k in zip(MONTHS.values(), values_k, strict=True)
    )
    cold = Step("T_coldest = min(T)", months, Value("T_coldest", min(values_k), "temperature"), STATED)
    hot = Step("T_hottest = max(T)", months, Value("T_hottest", max(values_k), "temperature"), STATED)
    points = tuple((float(day), value_k) for day, value_k in zip(MIDDLE_DAYS, values_k, strict=True))
    return InletYear(
        "monthly",
        _figure(prefix, "coldest", say("coldest-inlet"), value_k=min(values_k), step=cold),
        _figure(prefix, "hottest", say("hottest-inlet"), value_k=max(values_k), step=hot),
        values_k,
        _month_table(prefix, values_k, steps, note=say("inlet-as-stated")),
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
    winter = Step("T_winter", (), Value("T_winter", ends.coldest_k, "temperature"), STATED)
    summer = Step("T_summer", (), Value("T_summer", ends.warmest_k, "temperature"), STATED)
    return InletYear(
        "seasons",
        _figure(prefix, "coldest", say("coldest-inlet"), value_k=ends.coldest_k, step=winter),
        _figure(prefix, "hottest", say("hottest-inlet"), value_k=ends.warmest_k, step=summer),
    )

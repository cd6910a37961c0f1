"""The mains correlation against worked values and against the expressions of other public programs."""

import math
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.heat.figures.inlet import MIDDLE_DAYS, inlet_year
from generator.compute.heat.inlet import FREEZING_K, lag_days, mains_temperature_k, range_ratio, season
from generator.compute.heat.inlet_year_finding import inlet_year_finding
from generator.errors import CannotCompute
from generator.model.site import Site
from generator.model.site_water import Climate, Inlet
from tests.compute.wet_cases import fahrenheit, kelvin, site, with_water

PUBLISHED = yaml.safe_load((Path(__file__).parents[1] / "sources/water/mains_temperature.yaml").read_text())
WORKED = PUBLISHED["worked"]["rows"]


def at(inlet: Inlet) -> Site:
    return with_water(site("potting-shed"), inlet=inlet)


def climate_of(case: dict, hemisphere: str = "northern") -> Climate:
    annual, spread = kelvin(case["annual_mean"]), case["monthly_range"] / 1.8
    return Climate(annual_mean_k=annual, monthly_range_k=spread, hemisphere=hemisphere)


@pytest.mark.parametrize("case", WORKED)
def test_worked_values(case: dict) -> None:
    annual, spread = kelvin(case["annual_mean"]), case["monthly_range"] / 1.8
    assert range_ratio(annual) == pytest.approx(case["ratio"])
    assert lag_days(annual) == pytest.approx(case["lag"])
    year = {day: fahrenheit(mains_temperature_k(day, annual, spread, hemisphere="northern")) for day in range(1, 366)}
    assert min(year.values()) == pytest.approx(case["coldest"], abs=0.005)
    assert max(year.values()) == pytest.approx(case["hottest"], abs=0.005)
    assert min(year, key=lambda day: year[day]) == case["coldest_day"]
    assert max(year, key=lambda day: year[day]) == case["hottest_day"]
    for day in (1, 200):
        if f"day_{day}" in case:
            assert year[day] == pytest.approx(case[f"day_{day}"], abs=0.0005)


@given(st.floats(10.0, 90.0), st.floats(0.0, 60.0), st.integers(1, 365), st.sampled_from((-1, 1)))
def test_as_the_expressions_of_public_programs(avg: float, diff: float, day: int, sign: int) -> None:
    names = {"avg": avg, "diff": diff, "day": day, "sign": sign, "sin": math.sin, "radians": math.radians}
    code = PUBLISHED["published_code"]
    names["ratio"], names["lag"] = eval(code["ratio"], {}, names), eval(code["lag"], {}, names)
    expected = max(eval(code["temperature"], {}, names), 32.0)
    hemisphere = "northern" if sign < 0 else "southern"
    ours = mains_temperature_k(day, kelvin(avg), diff / 1.8, hemisphere=hemisphere)
    assert fahrenheit(ours) == pytest.approx(expected, abs=1e-9)


@given(st.floats(-30.0, 90.0), st.floats(0.0, 100.0), st.integers(1, 365))
def test_never_below_freezing(avg: float, diff: float, day: int) -> None:
    assert mains_temperature_k(day, kelvin(avg), diff / 1.8, hemisphere="northern") >= 273.15


@pytest.mark.parametrize("case", WORKED)
def test_site_takes_coldest_and_hottest_day(case: dict) -> None:
    year = inlet_year(at(Inlet(climate=climate_of(case))))
    assert fahrenheit(year.coldest.value) == pytest.approx(case["coldest"], abs=0.005)
    assert fahrenheit(year.hottest.value) == pytest.approx(case["hottest"], abs=0.005)
    assert (year.coldest.side, year.hottest.side) == ("nearest", "nearest")
    assert year.months is not None
    assert len(year.months.rows) == 12
    assert year.months_k == tuple(cell.value for _, (cell,) in year.months.rows)


def test_seasons_turn_round_in_the_south() -> None:
    case = WORKED[0]
    north, south = (inlet_year(at(Inlet(climate=climate_of(case, side)))) for side in ("northern", "southern"))
    assert south.hottest.value == pytest.approx(north.hottest.value, abs=0.01)
    january = [table.months.rows[0][1][0].value for table in (north, south) if table.months]
    assert january[0] < january[1]


def test_months_give_their_extremes() -> None:
    months = tuple(kelvin(value) for value in (46, 46, 48, 53, 59, 65, 70, 72, 69, 62, 55, 49))
    year = inlet_year(at(Inlet(monthly_k=months)))
    assert (year.coldest.value, year.hottest.value) == (min(months), max(months))
    assert year.curve is not None
    assert year.curve.points == tuple(zip(map(float, MIDDLE_DAYS), months, strict=True))


def test_two_seasons_have_no_curve() -> None:
    year = inlet_year(site("potting-shed"))
    assert fahrenheit(year.coldest.value) == pytest.approx(52.0)
    assert fahrenheit(year.hottest.value) == pytest.approx(66.0)
    assert year.curve is None
    assert year.months is None


@pytest.mark.parametrize(("annual_mean", "severity"), [(50.0, "ok"), (30.0, "attention")])
def test_an_estimate_that_reaches_freezing_needs_attention(annual_mean: float, severity: str) -> None:
    place = at(Inlet(climate=climate_of({"annual_mean": annual_mean, "monthly_range": 60.0})))
    assert inlet_year_finding(place, season(place)).severity == severity


def test_a_stated_inlet_is_ok() -> None:
    place = site("potting-shed")
    assert inlet_year_finding(place, season(place)).severity == "ok"


@pytest.mark.parametrize(("annual_f", "refused"), [(26.0, True), (20.0, True), (-10.0, True), (26.1, False)])
def test_a_climate_in_which_the_mains_would_be_frozen_is_refused(annual_f: float, refused: bool) -> None:
    """Held at freezing all year the hottest inlet, and so the hottest water, would come out too cool."""
    climate = Climate(annual_mean_k=kelvin(annual_f), monthly_range_k=70.0 / 1.8)
    if not refused:
        assert season(at(Inlet(climate=climate))).warmest_k > FREEZING_K
        return
    with pytest.raises(CannotCompute, match="measured") as caught:
        season(at(Inlet(climate=climate)))
    assert caught.value.where == ("water", "inlet", "climate", "annual_mean")

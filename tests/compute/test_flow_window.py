"""Flow windows: their ends, reasons and emptiness; and the round trip, in which no flow of a window breaks a limit."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.heat import window as windows
from generator.compute.heat.balance import capped_outlet_k, outlet_k
from generator.compute.heat.figures.window import least_flow_figures, window_figures
from generator.compute.heat.inlet import Season
from generator.compute.heat.stages import closed_stages, stage_powers_w
from generator.compute.use.fixture_limit import Limits
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow
from generator.model.said import because
from generator.model.water_results import FlowBounds
from tests.compute.heat_cases import heater
from tests.compute.wet_cases import GPM, MODELS, TOLERANCES, kelvin, model
from tests.finding_texts import speaker
from tests.sample import sample

FOUR = heater([0.4, 0.55, 0.7, 0.9], [0.32, 0.46, 0.6, 0.78])
SHOWER = {"winter_f": 50.0, "summer_f": 70.0, "target_f": 95.0, "limit_f": 120.0, "greatest_f": 140.0}
PRESSURE, SUPPLY = "the least working pressure", "the greatest flow of the supply"


def bounds(
    number: int = 4,
    heater_model: HeaterModel = FOUR,
    least: tuple[tuple[float, str], ...] = (),
    greatest: tuple[tuple[float, str], ...] = (),
    left: float = 1.0,
    **changes: float,
) -> windows.Window:
    case = {name.removesuffix("_f"): kelvin(value) for name, value in (SHOWER | changes).items()}
    power_w = stage_powers_w(heater_model, 240.0, 1)[number - 1]
    return windows.flow_window(
        heater_model.stages[number - 1],
        windows.StagePower(number, power_w, left * power_w),
        Season(case["winter"], case["summer"]),
        limits=Limits(case["target"], case["limit"], case["greatest"]),
        given=FlowBounds(least, greatest),
        setting=TOLERANCES.setting,
    )


def window(**changes: Any) -> FlowWindow:
    return window_figures("site.x", bounds(**changes))


def ends(found: windows.Window) -> tuple[float, float]:
    """The window as (least, greatest) [m3/s]; (inf, -inf) when empty."""
    return (math.inf, -math.inf) if found.empty else (found.least.flow_m3_s, found.greatest.flow_m3_s)


def test_the_limit_sets_the_least_end_and_the_target_the_greatest() -> None:
    found = window()
    least, greatest = ends(bounds())
    assert outlet_k(kelvin(70.0), least, 9600.0) == pytest.approx(kelvin(120.0), abs=1e-7)
    assert outlet_k(kelvin(50.0), greatest, 9600.0) == pytest.approx(kelvin(95.0), abs=1e-7)
    assert (found.least.reason, found.greatest.reason) == (because(windows.LIMIT), because(windows.TARGET))
    assert (found.least.side, found.greatest.side) == ("up", "down")
    assert (found.least.id, found.greatest.id) == ("site.x.window.4.least", "site.x.window.4.greatest")


def test_the_target_is_reached_after_the_drop_and_the_limits_kept_without_it() -> None:
    least, greatest = ends(bounds(left=0.98))
    assert outlet_k(kelvin(70.0), least, 9600.0) == pytest.approx(kelvin(120.0), abs=1e-7)
    assert outlet_k(kelvin(50.0), greatest, 0.98 * 9600.0) == pytest.approx(kelvin(95.0), abs=1e-7)
    target = window(left=0.98).greatest.steps[0]
    assert {value.symbol: value.value for value in target.inputs}["P"] == pytest.approx(0.98 * 9600.0)
    assert "voltage drop" in speaker().worded(target.note)


@pytest.mark.parametrize(
    ("changes", "least", "greatest", "reasons"),
    [
        ({"number": 1, "target_f": 70.0}, 0.4, None, (windows.CLOSES, windows.TARGET)),
        ({"limit_f": 150.0, "greatest_f": 118.0}, None, None, (windows.GREATEST_OUTLET, windows.TARGET)),
        ({"least": ((1.35 * GPM, PRESSURE),)}, 1.35, None, (PRESSURE, windows.TARGET)),
        ({"greatest": ((1.42 * GPM, SUPPLY), (2.0 * GPM, "else"))}, None, 1.42, (windows.LIMIT, SUPPLY)),
    ],
)
def test_each_bound_can_govern_and_is_named(
    changes: dict[str, float], least: float | None, greatest: float | None, reasons: tuple[str, str]
) -> None:
    found = window(**changes)
    assert (found.least.reason, found.greatest.reason) == tuple(map(because, reasons))
    assert least is None or found.least.value == pytest.approx(least * GPM)
    assert greatest is None or found.greatest.value == pytest.approx(greatest * GPM)
    assert found.least.steps[-1].result.value == found.least.value
    assert found.greatest.steps[-1].result.value == found.greatest.value


def test_an_empty_window_says_why_in_numbers() -> None:
    found = window(target_f=115.0)
    assert (found.least.state, found.greatest.state) == ("none", "none")
    assert found.least.value is found.greatest.value is None
    assert found.why_empty is not None
    values = {value.symbol: value.value for value in found.why_empty.values}
    assert float(values["least"]) > float(values["greatest"])
    assert (values["for_least"], values["for_greatest"]) == (windows.LIMIT, windows.TARGET)


@pytest.mark.parametrize("summer_f", [120.0, 125.0])
def test_an_inlet_at_the_limit_leaves_no_flow(summer_f: float) -> None:
    found = window(summer_f=summer_f)
    assert found.why_empty is not None
    assert {value.symbol: value.value for value in found.why_empty.values} == {
        "summer_inlet": kelvin(summer_f),
        "hottest_allowed": kelvin(120.0),
    }


def test_a_bound_that_no_flow_meets_leaves_no_flow_and_is_named() -> None:
    found = window(least=((math.inf, PRESSURE),))
    assert found.why_empty is not None
    assert found.why_empty.values[0].value == PRESSURE


def test_a_winter_inlet_at_the_target_leaves_the_greatest_end_open() -> None:
    found = window(winter_f=70.0, target_f=70.0)
    assert (found.greatest.state, found.greatest.value) == ("no-bound", None)
    assert found.least.state == "ok"


def test_one_flow_is_a_window_and_a_hair_less_is_none() -> None:
    least, _ = ends(bounds())
    assert ends(bounds(greatest=((least, SUPPLY),))) == (least, least)
    hair_less = bounds(greatest=((least * (1.0 - 1e-12), SUPPLY),))
    assert hair_less.empty and window_figures("x", hair_less).why_empty is not None


def test_without_a_selector_the_window_ends_where_the_next_stage_opens() -> None:
    plain = heater([0.4, 0.7], [0.3, 0.6], selector=False)
    assert windows.next_stage_bound(plain, 1) == ((0.6 * GPM, windows.NEXT_STAGE),)
    assert windows.next_stage_bound(plain, 2) == ()
    assert windows.next_stage_bound(FOUR, 1) == ()


TEMPERATURE_F = st.floats(33.0, 160.0)


@given(
    st.floats(33.0, 60.0), st.floats(60.0, 90.0), st.floats(90.0, 110.0), st.floats(110.0, 140.0), st.floats(0.0, 10.0)
)
def test_the_window_shrinks_when_anything_tightens(
    winter_f: float, summer_f: float, target_f: float, limit_f: float, by_f: float
) -> None:
    case = {"winter_f": winter_f, "summer_f": summer_f, "target_f": target_f, "limit_f": limit_f}
    least, greatest = ends(bounds(**case))  # type: ignore[arg-type]
    tighter = (
        {"limit_f": limit_f - by_f},
        {"summer_f": summer_f + by_f},
        {"target_f": target_f + by_f},
        {"winter_f": max(winter_f - by_f, 32.0)},
        {"greatest_f": 140.0 - by_f},
        {"least": ((by_f * GPM, PRESSURE),)},
        {"greatest": ((by_f * GPM, SUPPLY),)},
        {"left": 1.0 - by_f / 20.0},
    )
    for change in tighter:
        tight_least, tight_greatest = ends(bounds(**(case | change)))  # type: ignore[arg-type]
        assert tight_least >= least - 1e-15
        assert tight_greatest <= greatest + 1e-15


class Case(NamedTuple):
    """A random heater at a random site."""

    model: HeaterModel
    voltage_v: float
    winter_k: float
    summer_k: float
    target_k: float
    limit_k: float
    least: tuple[tuple[float, str], ...]
    greatest: tuple[tuple[float, str], ...]
    left: float


def random_model(rng: np.random.Generator) -> HeaterModel:
    count = int(rng.integers(1, 7))
    closes = np.sort(rng.uniform(0.2, 3.0, count))
    opens = closes * rng.uniform(0.6, 0.98, count)
    shares = rng.dirichlet(np.full(count, 5.0))
    greatest_f = float(rng.uniform(110.0, 160.0))
    return heater(
        closes.tolist(),
        opens.tolist(),
        float(rng.uniform(1.5e3, 36e3)),
        selector=bool(rng.integers(2)),
        shares=shares.tolist(),
        greatest_outlet_f=greatest_f,
        cut_out_f=greatest_f + float(rng.uniform(0.0, 30.0)),
    )


def random_case(rng: np.random.Generator, heater_model: HeaterModel) -> Case:
    winter = float(rng.uniform(33.0, 70.0))
    return Case(
        heater_model,
        float(rng.uniform(198.0, 252.0)),
        kelvin(winter),
        kelvin(float(winter + rng.uniform(0.0, 25.0))),
        kelvin(float(rng.uniform(70.0, 110.0))),
        kelvin(float(rng.uniform(100.0, 150.0))),
        ((float(rng.uniform(0.0, 1.0)) * GPM, PRESSURE),) if rng.integers(3) == 0 else (),
        ((float(rng.uniform(0.5, 8.0)) * GPM, SUPPLY),) if rng.integers(3) == 0 else (),
        float(rng.uniform(0.7, 1.0)),
    )


def case_window(case: Case, number: int) -> tuple[float, windows.Window]:
    power_w = stage_powers_w(case.model, case.voltage_v, 1)[number - 1]
    greatest = (*case.greatest, *windows.next_stage_bound(case.model, number))
    found = windows.flow_window(
        case.model.stages[number - 1],
        windows.StagePower(number, power_w, case.left * power_w),
        Season(case.winter_k, case.summer_k),
        limits=Limits(case.target_k, case.limit_k, case.model.water.greatest_outlet_k),
        given=FlowBounds(case.least, greatest),
        setting=TOLERANCES.setting,
    )
    return power_w, found


def breaks_a_limit(case: Case, number: int, power_w: float, flow: float, slack_k: float) -> bool:
    """Forward, from the flow: closed stages both ways, summer at the full power, winter after the drop, the bounds."""
    expected = tuple(range(1, number + 1))
    selected = number if case.model.stage_selector else None
    rising = closed_stages(flow, case.model, selected)
    falling = closed_stages(flow, case.model, selected, falling=True)
    summer = capped_outlet_k(case.summer_k, flow, power_w, ceiling_k=373.15)
    winter = capped_outlet_k(case.winter_k, flow, case.left * power_w, ceiling_k=373.15)
    return (
        rising != expected
        or falling != expected
        or summer > min(case.limit_k, case.model.water.greatest_outlet_k) + slack_k
        or winter < case.target_k - slack_k
        or any(flow < bound for bound, _ in case.least)
        or any(flow > bound for bound, _ in case.greatest)
    )


def test_random_windows_round_trip(capsys: pytest.CaptureFixture[str]) -> None:
    rng = np.random.default_rng(20261102)
    open_windows = empty_windows = 0
    models = sample(100, 500)
    for _ in range(models):
        heater_model = random_model(rng)
        for _ in range(20):
            case = random_case(rng, heater_model)
            number = int(rng.integers(1, len(heater_model.stages) + 1))
            power_w, found = case_window(case, number)
            least, greatest = found.least.flow_m3_s, found.greatest.flow_m3_s
            if not found.empty:
                open_windows += 1
                last = min(greatest, 50.0 * GPM + least)
                inside = (least, least + float(rng.random()) * (last - least), last)
                assert not any(breaks_a_limit(case, number, power_w, flow, 1e-6) for flow in inside), case
                outside = (least * (1.0 - 1e-5), *((greatest * (1.0 + 1e-5),) if math.isfinite(greatest) else ()))
                assert all(breaks_a_limit(case, number, power_w, flow, 0.0) for flow in outside), case
            else:
                empty_windows += 1
                tried = np.exp(rng.uniform(np.log(0.05), np.log(20.0), 4)) * GPM
                assert all(breaks_a_limit(case, number, power_w, float(flow), 0.0) for flow in tried), case
    with capsys.disabled():
        print(f"\nround trip: {open_windows} open windows, {empty_windows} empty ones")
    assert open_windows > 2 * models
    assert empty_windows > 2 * models


def outside_outlet_k(inlet_k: float, flow: float, power_w: float) -> float:
    """The same outlet from CoolProp's water at 0.1 MPa."""
    density, inlet = (PropsSI(name, "T", inlet_k, "P", 1e5, "Water") for name in ("D", "H"))
    return float(PropsSI("T", "H", inlet + power_w / (density * flow), "P", 1e5, "Water"))


def test_windows_recomputed_forward_with_another_library() -> None:
    rng = np.random.default_rng(7)
    checked = 0
    while checked < 200:
        case = random_case(rng, random_model(rng))
        power_w, found = case_window(case, 1)
        least, greatest = found.least.flow_m3_s, found.greatest.flow_m3_s
        if not found.empty and math.isfinite(greatest):
            hottest = outside_outlet_k(case.summer_k, least, power_w)
            coldest = outside_outlet_k(case.winter_k, greatest, case.left * power_w)
            assert hottest <= min(case.limit_k, case.model.water.greatest_outlet_k) + 0.002
            assert coldest >= case.target_k - 0.002
            checked += 1


@pytest.mark.parametrize("name", MODELS)
def test_least_flows_of_a_model_keep_its_greatest_outlet_at_every_rating(name: str) -> None:
    heater_model = model(name)
    for number, figure in enumerate(least_flow_figures(f"model.{name}", heater_model), start=1):
        flow = float(figure.value or math.nan)
        assert flow >= heater_model.stages[number - 1].closes_at_m3_s
        for rating in heater_model.ratings:
            power_w = stage_powers_w(heater_model, rating.voltage_v, rating.phases)[number - 1]
            outlet = outlet_k(heater_model.water.greatest_inlet_k, flow, power_w)
            assert outlet <= heater_model.water.greatest_outlet_k + 1e-7

"""The hottest water while throttling, and the finding that judges it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.circuit.delivered import Powers
from generator.compute.heat.balance import capped_outlet_k, outlet_k
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.figures.hottest import hottest_figure
from generator.compute.heat.hottest import Circumstances, Hottest, drop_out_points, hottest_water
from generator.compute.heat.hottest_finding import hottest_water_finding
from generator.compute.heat.inlet import Season
from generator.compute.heat.stages import closed_stages, power_of_w
from generator.compute.plumbing import Plumbing
from generator.compute.use.fixture_limit import limits
from generator.compute.use.valve_fit import OTHER_HEATER, STAYS_OFF
from generator.model.figures import Finding, Value
from generator.model.heater import HeaterModel
from generator.model.site import Fixture, Site
from generator.render.format import show
from tests.compute.heat_cases import heater, no_band
from tests.compute.wet_cases import BURNS, GPM, LIMITS, kelvin, site, with_fixtures
from tests.compute.wet_cases import valve as a_valve
from tests.finding_texts import said
from tests.styles import US

FOUR = heater([0.4, 0.55, 0.7, 0.9], [0.32, 0.46, 0.6, 0.78])
LIMIT_K = kelvin(120.0)


def brute_hottest_k(model: HeaterModel, selected: int, inlet_k: float, voltage_v: float = 240.0) -> float:
    """Sweep the tap shut in 4000 steps from a flow that closes all stages, and keep the hottest outlet."""
    most = max(stage.closes_at_m3_s for stage in model.stages) * 2.0
    hottest = inlet_k
    for flow in np.linspace(most, most / 4000.0, 4000).tolist():
        closed = [n for n in closed_stages(flow, model, None, falling=True) if n <= selected]
        if closed:
            power_w = power_of_w(model, closed, voltage_v, phases=1)
            hottest = max(hottest, capped_outlet_k(inlet_k, flow, power_w, ceiling_k=model.water.cut_out_k))
    return hottest


@pytest.mark.parametrize("seed", range(12))
def test_the_hottest_water_is_what_a_sweep_of_the_tap_finds(seed: int) -> None:
    rng = np.random.default_rng(seed)
    count = int(rng.integers(1, 6))
    closes = np.sort(rng.uniform(0.3, 3.0, count))
    opens = closes * rng.uniform(0.6, 0.95, count)
    model = heater(closes.tolist(), opens.tolist(), float(rng.uniform(2e3, 20e3)), cut_out_f=190.0)
    inlet_k = kelvin(float(rng.uniform(45.0, 80.0)))
    for found in hottest_water(model, Circumstances(240.0, 1, inlet_k), BURNS):
        swept = brute_hottest_k(model, found.number, inlet_k)
        assert swept <= found.temperature_k + 1e-9
        assert swept == pytest.approx(found.temperature_k, abs=0.25)


def test_the_hottest_water_is_met_on_the_way_down_not_on_the_way_up() -> None:
    """A stage holds below the flow that closes it, so the falling flow gives hotter water than any rising one."""
    wide = heater([0.4, 0.55, 0.7, 0.9], [0.32, 0.46, 0.6, 0.78], power_w=6000.0, cut_out_f=190.0)
    last = hottest_water(wide, Circumstances(240.0, 1, kelvin(60.0)), BURNS)[-1]
    assert last.temperature_k == pytest.approx(
        max(outlet_k(kelvin(60.0), q * GPM, p) for q, p in ((0.32, 1500.0), (0.46, 3e3), (0.6, 4500.0), (0.78, 6e3)))
    )
    rising = max(outlet_k(kelvin(60.0), stage.closes_at_m3_s, 1500.0 * n) for n, stage in enumerate(wide.stages, 1))
    assert last.temperature_k > rising + 3.0
    figure = hottest_figure("x", last, kelvin(60.0), cut_out_k=kelvin(190.0))
    assert figure.steps[-1].result.value == figure.value == last.temperature_k
    assert (figure.id, figure.side, figure.state) == ("x.hottest.4", "up", "ok")


def test_the_cut_out_holds_it() -> None:
    last = hottest_water(FOUR, Circumstances(240.0, 1, kelvin(70.0)), BURNS)[-1]
    assert last.temperature_k == pytest.approx(kelvin(150.0), abs=1e-6)
    figure = hottest_figure("x", last, kelvin(70.0), cut_out_k=kelvin(150.0))
    assert last.held and figure.state == "at-cut-out"
    assert figure.steps[-1].result.value == figure.value == last.temperature_k


@pytest.mark.parametrize(("cut_out_f", "judged_f"), [(119.0, 120.0), (148.0, 150.0), (150.0, 155.0)])
def test_water_held_by_the_cut_out_is_judged_as_the_next_hotter_row(cut_out_f: float, judged_f: float) -> None:
    """Rows of the published tables, from memory: ... 145, 150 and, Katcher alone, 155 degF."""
    held = heater([0.4], [0.32], 9600.0, cut_out_f=cut_out_f, greatest_outlet_f=110.0)
    (last,) = hottest_water(held, Circumstances(240.0, 1, kelvin(70.0)), BURNS)
    assert last.temperature_k == pytest.approx(kelvin(cut_out_f))
    assert last.judged_k == pytest.approx(kelvin(judged_f))
    found = judge((last,) * 4, basin(cut_out_f))
    assert found.severity == "stop"
    assert "cut_out" in values(found)
    assert " or more; the limit" in said(found)
    assert values(found).get("row", values(found).get("last_row")) == pytest.approx(kelvin(judged_f))


def test_water_beyond_every_row_passes_every_limit() -> None:
    beyond = heater([0.4], [0.32], 9600.0, cut_out_f=160.0)
    (last,) = hottest_water(beyond, Circumstances(240.0, 1, kelvin(70.0)), BURNS)
    found = judge((last,) * 4, basin(199.0, kind="service sink"))
    assert found.severity == "stop"
    assert "last_row" in values(found) and "row" not in values(found)
    assert "That is hotter than the burn table's last row, " in said(found)
    assert (
        show(hottest_figure("x", last, kelvin(70.0), cut_out_k=kelvin(160.0)), US).replace("\u00a0", " ")
        == "160 °F or more"
    )


def test_stages_that_open_in_another_order_are_taken_as_they_are() -> None:
    odd = heater([0.5, 0.6], [0.45, 0.40])
    assert drop_out_points(odd, 2) == ((0.45 * GPM, (1, 2)), (0.40 * GPM, (2,)))


@given(st.floats(275.0, 305.0), st.floats(0.0, 15.0), st.floats(200.0, 250.0))
def test_a_warmer_inlet_or_another_stage_never_makes_it_cooler(inlet_k: float, by_k: float, voltage_v: float) -> None:
    cool, warm = (hottest_water(FOUR, Circumstances(voltage_v, 1, t), BURNS) for t in (inlet_k, inlet_k + by_k))
    assert all(a.temperature_k <= b.temperature_k + 1e-9 for a, b in zip(cool, warm, strict=True))
    assert all(a.temperature_k <= b.temperature_k + 1e-9 for a, b in zip(cool, cool[1:], strict=False))


def hottest_at(*degrees_f: float) -> tuple[Hottest, ...]:
    """Hottest water given outright, by the number of stages selected."""
    return tuple(Hottest(n, kelvin(t), GPM, 2400.0 * n, n, False, kelvin(t)) for n, t in enumerate(degrees_f, start=1))


def basin(limit_f: float | None = 120.0, valve: bool = False, kind: str = "lavatory") -> Fixture:
    limit_k = None if limit_f is None else kelvin(limit_f)
    return Fixture(
        name=kind,
        kind=kind,
        flow_m3_s=GPM,
        target_k=kelvin(95.0),
        limit_k=limit_k,
        mixing_valve=a_valve() if valve else None,
    )


@pytest.mark.parametrize(
    ("changes", "severity"),
    [({}, "attention"), ({"type": "pressure-balancing"}, "stop"), ({"setting_k": kelvin(125.0)}, "stop")],
)
def test_only_a_valve_that_senses_temperature_and_is_set_to_the_limit_guards(
    changes: dict[str, Any], severity: str
) -> None:
    fixture = basin().model_copy(update={"mixing_valve": a_valve(**changes)})
    assert judge(hottest_at(*[122.0] * 4), fixture).severity == severity


def judge(
    hottest: tuple[Hottest, ...],
    *fixtures: Fixture,
    selected: int | None = None,
    code_held: bool = True,
    obstacles: tuple[tuple[str, ...], ...] | None = None,
    inlet_f: float = 70.0,
    at_top: tuple[Hottest, ...] = (),
    top_inlet_f: float | None = None,
) -> Finding:
    at: Site = with_fixtures(site("bunkhouse"), *fixtures).model_copy(update={"selected_stage": selected})
    case = ThermalCase(
        at,
        FOUR,
        Season(kelvin(50.0), kelvin(inlet_f)),
        limits(at, FOUR, LIMIT_K, code=LIMITS),
        Powers((), ()),
        windows=(),
        hottest=hottest,
        at_top=at_top or hottest,
        band=no_band(kelvin(50.0), kelvin(top_inlet_f or inlet_f)),
        default_limit_k=LIMIT_K,
        plumbing=Plumbing(LIMITS, code_held),
        obstacles=obstacles or ((),) * len(fixtures),
        burns=BURNS,
    )
    return hottest_water_finding(case)


def values(found: Finding) -> dict[str, float | str]:
    return {value.symbol: value.value for value in found.values}


def rows(found: Finding, name: str) -> list[tuple[float | str, ...]]:
    return [tuple(value.value for value in row.values()) for row in found.lists[name]]


FLAT_HOT, FLAT_COOL = hottest_at(137, 137, 137, 137), hottest_at(93, 93, 93, 93)


@pytest.mark.parametrize(
    ("hottest", "fixtures", "severity"),
    [
        (FLAT_HOT, (basin(),), "stop"),
        (FLAT_HOT, (basin(valve=True),), "attention"),
        (FLAT_HOT, (basin(140.0),), "ok"),
        (FLAT_HOT, (basin(None),), "stop"),
        (FLAT_HOT, (basin(140.0), basin(valve=True)), "attention"),
        (FLAT_HOT, (basin(140.0, valve=True), basin()), "stop"),
        (FLAT_COOL, (basin(),), "ok"),
        (hottest_at(120.0, 120.0, 120.0, 120.0), (basin(),), "ok"),
        (hottest_at(120.01, 120.01, 120.01, 120.01), (basin(),), "stop"),
    ],
)
def test_severity(hottest: tuple[Hottest, ...], fixtures: tuple[Fixture, ...], severity: str) -> None:
    assert judge(hottest, *fixtures).severity == severity


def test_the_stage_selected_decides_and_turning_it_up_is_warned_of() -> None:
    rising = hottest_at(100, 110, 125, 137)
    assert judge(rising, basin(), selected=3).severity == "stop"
    found = judge(rising, basin(), selected=2)
    assert (found.severity, found.case) == ("attention", "turned-up")
    assert (values(found)["hottest"], values(found)["closed"]) == (kelvin(137.0), 4)
    assert judge(hottest_at(100, 110, 111, 112), basin(), selected=2).severity == "ok"


def test_the_sentence_holds_both_numbers_and_the_time_of_one_document() -> None:
    found = judge(FLAT_HOT, basin())
    held = values(found)
    assert (held["flow"], held["closed"], held["stages"], held["fixture"]) == (GPM, 4, 4, "lavatory")
    assert (held["hottest"], held["limit"]) == (kelvin(137.0), LIMIT_K)
    assert (held["row"], held["time"], held["qualifier"]) == (pytest.approx(kelvin(140.0)), 5, "less than")
    assert held["describes"] in said(found)
    assert "Katcher" in found.source


@pytest.mark.parametrize(("inlet_f", "own"), [(119.9, False), (120.0, True), (132.0, True)])
def test_water_that_enters_too_hot_gets_no_remedy_that_cannot_help(inlet_f: float, own: bool) -> None:
    """The heater only adds heat, and a valve mixes with the same cold water."""
    found = judge(FLAT_HOT, basin(valve=True), basin(140.0), inlet_f=inlet_f)
    assert found.severity == ("stop" if own else "attention")
    if own:
        assert found.case == "warm-inlet"
        assert values(found)["inlet"] == kelvin(inlet_f)
        assert "Fit" not in said(found, "do") and "elect" not in said(found, "do")


def test_no_time_is_given_where_no_limit_is_passed() -> None:
    assert "time" not in values(judge(FLAT_COOL, basin()))


@pytest.mark.parametrize(
    ("kind", "code_held", "standard"),
    [("shower", True, "CSA B125.16 type T or T/P (shower)"), ("lavatory", True, "ASSE 1070"),
     ("tub", True, "ASSE 1070"), ("public lavatory", True, "ASSE 1070"),
     ("shower", False, "the standard in force there")],
)  # fmt: skip
def test_the_remedy_names_the_valve_that_the_fixture_calls_for(kind: str, code_held: bool, standard: str) -> None:
    """ASSE numbers by fixture as in IPC 2021 412.3, 412.5, 419.5 and UPC 2021 407 to 409, from memory."""
    assert standard in said(judge(FLAT_HOT, basin(kind=kind), code_held=code_held), "do")


def test_a_lower_stage_is_offered_only_where_one_is_safe() -> None:
    found = judge(hottest_at(100, 119, 125, 137), basin())
    assert (found.case, values(found)["lower"]) == ("above", 2)
    assert "lower" not in values(judge(FLAT_HOT, basin()))


@pytest.mark.parametrize("kind", ["shower", "tub", "public lavatory"])
def test_nothing_is_offered_in_place_of_a_valve_that_the_code_asks_for(kind: str) -> None:
    """IPC (2021) 412.3: the heater's own control is no substitute for the valve at a shower, from memory."""
    rising = hottest_at(100, 109, 125, 137)
    for hottest in (FLAT_HOT, rising):
        found = judge(hottest, basin(kind=kind))
        assert (found.severity, found.case, rows(found, "coded")) == ("stop", "above-coded", [(kind,)])
        do = said(found, "do")
        assert do.startswith("Fit a thermostatic mixing valve listed to ")
        assert "Or " not in do and "Or" not in do.split()
    assert "Select stage 2 or lower as well." in said(judge(rising, basin(kind=kind)), "do")
    assert "turned up. Also: Fit a thermostatic" in said(judge(rising, basin(kind=kind), selected=2), "do")
    assert "Or fit an outlet with a fixed flow" in said(judge(FLAT_HOT, basin(kind="service sink")), "do")


def test_no_valve_is_fitted_where_one_is() -> None:
    rising = hottest_at(100, 110, 125, 137)
    for selected, case in ((2, "turned-up-guarded"), (4, "guarded")):
        found = judge(rising, basin(valve=True), selected=selected)
        assert (found.severity, found.case) == ("attention", case)
        assert rows(found, "checked") == [("ASSE 1070/ASME A112.1070/CSA B125.70", "lavatory")]
        assert "fit a thermostatic" not in said(found, "do").lower()
    assert "turned up. Or: Fit a thermostatic mixing valve" in said(judge(rising, basin(), selected=2), "do")


def test_the_remedy_names_every_fixture_that_lacks_its_valve() -> None:
    """Two lavatories and two showers, all bare: each belongs to its standard, and codes name the showers alone."""
    kinds = {"left basin": "lavatory", "right basin": "lavatory", "shower one": "shower", "shower two": "shower"}
    bare = [basin(kind=kind).model_copy(update={"name": name}) for name, kind in kinds.items()]
    do = said(judge(FLAT_HOT, *bare), "do")
    assert "CSA B125.16 type T or T/P (shower one and shower two) and ASSE 1070" in do
    assert "CSA B125.70 (left basin and right basin)" in do
    assert "Plumbing codes require the valve at the shower one and shower two;" in do
    guarded = [
        fixture.model_copy(update={"mixing_valve": a_valve() if fixture.name != "left basin" else None})
        for fixture in bare
    ]
    left = said(judge(FLAT_HOT, *guarded), "do")
    assert "(left basin)" in left
    assert "right basin" not in left and "shower" not in left and "codes" not in left


def test_no_valve_is_ordered_where_it_does_not_work_with_the_heater() -> None:
    """A shower too weak for the valve's share of the flow: the heater or the demand changes first, here as there."""
    shower, sink = basin(kind="shower"), basin(kind="service sink")
    found = judge(FLAT_HOT, sink, shower, obstacles=((), (STAYS_OFF,)))
    assert (rows(found, "unsuited"), rows(found, "obstacles")) == ([("shower",)], [(STAYS_OFF,)])
    assert rows(found, "ways") == [(OTHER_HEATER,)]
    do = said(found, "do")
    assert do.startswith("Fit a thermostatic mixing valve listed to ASSE 1070/ASME A112.1070/CSA B125.70 (serv")
    there = do.index("At the shower a mixing valve does not work with this heater yet: the heater's part of the flow")
    assert there < do.index("First choose another heater") < do.index("Then fit a thermostatic mixing valve listed to")
    assert do.endswith("Until then keep the heater off.")


@pytest.mark.parametrize(
    ("top_f", "fixtures", "severity", "case"),
    [
        (119.9, (basin(),), "ok", "within"),
        (120.1, (basin(),), "attention", "band-any-supply"),
        (120.1, (basin(valve=True),), "attention", "guarded"),
        (120.1, (basin(130.0),), "ok", "within"),
        (120.1, (basin(130.0), basin(kind="shower")), "attention", "band-any-supply"),
    ],
)
def test_a_limit_that_only_the_band_passes_is_an_attention(
    top_f: float, fixtures: tuple[Fixture, ...], severity: str, case: str
) -> None:
    stated, top = hottest_at(110, 110, 110, 110), hottest_at(top_f, top_f, top_f, top_f)
    found = judge(stated, *fixtures, at_top=top)
    assert (found.severity, found.case) == (severity, case)
    assert values(found)["hottest"] == kelvin(110.0)
    assert values(found)["top"] == kelvin(top_f), "both numbers are shown"


def test_what_stands_above_the_limit_as_stated_stays_a_stop() -> None:
    found = judge(hottest_at(121, 121, 121, 121), basin(), at_top=hottest_at(125, 125, 125, 125))
    assert found.severity == "stop"
    assert (values(found)["hottest"], values(found)["top"]) == (kelvin(121.0), kelvin(125.0))


def test_one_reading_of_a_voltmeter_clears_nothing() -> None:
    found = judge(hottest_at(110, 110, 110, 110), basin(), at_top=hottest_at(121, 121, 121, 121))
    holds = (*(value for value in found.values if value.symbol != "holds"), Value("holds", 243.6, "voltage", "at_most"))
    words = said(replace(found, case="band", values=holds), "do")
    assert "at most 243.6 V" in words and "voltmeter does not" in words


@pytest.mark.parametrize(
    ("limits_f", "top_f", "lower"),
    [
        ((120.0,), (100, 110, 125, 137), 2),  # the highest that keeps the limit, not the lowest
        ((105.0, 120.0), (100, 110, 125, 137), 1),  # every limit, not the laxest
        ((110.0,), (100, 110, 125, 137), 2),  # at the limit is within it
        ((110.0,), (105, 112, 130, 140), 1),  # over the band, not as stated
        ((99.0,), (100, 110, 125, 137), None),
    ],
)
def test_the_stage_to_turn_down_to_keeps_every_limit_over_the_band(
    limits_f: tuple[float, ...], top_f: tuple[float, ...], lower: int | None
) -> None:
    found = judge(hottest_at(100, 110, 125, 137), *map(basin, limits_f), at_top=hottest_at(*top_f))
    assert found.severity == "stop"
    assert values(found).get("lower") == lower


@pytest.mark.parametrize(("top_inlet_f", "case"), [(141.0, "band-any-supply"), (50.0, "band")])
def test_no_supply_clears_what_the_inlet_alone_may_pass(top_inlet_f: float, case: str) -> None:
    """An inlet that may be warmer than the limit passes it at any voltage; else some voltage above 240 V keeps it."""
    cool, warm = hottest_at(80, 90, 100, 110), hottest_at(*[141] * 4)
    found = judge(cool, basin(140.0), at_top=warm, top_inlet_f=top_inlet_f)
    assert (found.case, found.severity) == (case, "attention")
    assert ("holds" in values(found)) is (case == "band")

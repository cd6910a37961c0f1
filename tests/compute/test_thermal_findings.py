"""The findings about target, inlet, outlet and idle stages: severity on each side of each limit, and the numbers."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from generator.compute.circuit.delivered import Powers
from generator.compute.flow.operating_point import GREATEST_PRESSURE, LEAST_PRESSURE, SUPPLY_LIMIT
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.findings import idle_finding, inlet_finding, thermal_findings
from generator.compute.heat.hottest import hottest_water
from generator.compute.heat.inlet import Season
from generator.compute.heat.stages import stage_powers_w
from generator.compute.heat.target_finding import target_finding
from generator.compute.heat.window import LIMIT, Bound, StagePower, flow_window, next_stage_bound
from generator.compute.use.fixture_limit import Limits
from generator.compute.verdict.set_flow import SETTABLE_M3_S
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from generator.model.water_results import FlowBounds
from tests.compute.heat_cases import heater
from tests.compute.test_scald import basin
from tests.compute.wet_cases import GPM, kelvin, site, with_fixtures

FOUR = heater([0.4, 0.55, 0.7, 0.9], [0.32, 0.46, 0.6, 0.78])
RULES = ("hottest-water", "target-reached", "inlet-limit", "greatest-outlet", "stage-idle")


def case(
    model: HeaterModel = FOUR,
    winter_f: float = 54.0,
    summer_f: float = 68.0,
    target_f: float = 95.0,
    supply_gpm: float = 10.0,
    selected: int | None = None,
    left: float = 1.0,
) -> ThermalCase:
    powers, limit_k, winter_k, summer_k = (
        stage_powers_w(model, 240.0, 1),
        kelvin(120.0),
        kelvin(winter_f),
        kelvin(summer_f),
    )
    reach = tuple(left * power for power in powers)
    season, limits = Season(winter_k, summer_k), Limits(kelvin(target_f), limit_k, model.water.greatest_outlet_k)
    windows = tuple(
        flow_window(
            stage,
            StagePower(n, powers[n - 1], reach[n - 1]),
            season,
            limits=limits,
            given=FlowBounds((), ((supply_gpm * GPM, "the supply"), *next_stage_bound(model, n))),
        )
        for n, stage in enumerate(model.stages, start=1)
    )
    at = with_fixtures(site("bunkhouse"), basin()).model_copy(update={"selected_stage": selected})
    hottest = hottest_water(model, 240.0, 1, summer_k)
    return ThermalCase(
        at,
        model,
        season,
        limits,
        Powers(powers, reach),
        windows,
        hottest,
        limit_k,
        "nfpa70",
        ((),),
    )


def finding(rule: str, **changes: Any) -> Finding:
    return {found.rule: found for found in thermal_findings(case(**changes))}[rule]


def test_every_rule_is_always_reported_once_with_its_numbers_in_place() -> None:
    for changes in ({}, {"target_f": 118.0}, {"supply_gpm": 0.1}, {"summer_f": 100.0}, {"selected": 1}):
        found = thermal_findings(case(**changes))
        assert tuple(one.rule for one in found) == RULES
        for one in found:
            assert one.id == f"bunkhouse.{one.rule}"
            assert all("{" + value.symbol + "}" in one.found.template for value in one.found.values)
            assert one.found.template.count("{") == len({value.symbol for value in one.found.values})
            assert one.why
            assert one.do.template
            assert one.source


@pytest.mark.parametrize(
    ("changes", "severity", "words"),
    [
        ({}, "ok", "outlet side"),
        ({"selected": 1}, "attention", "Select stage 2"),
        ({"winter_f": 50.0, "summer_f": 70.0, "target_f": 105.0}, "attention", "each season"),
        ({"supply_gpm": 0.3}, "stop", "more power"),
        ({"left": 0.9}, "ok", "outlet side"),
        ({"left": 0.5}, "stop", "Lay larger conductors"),
        ({"left": 0.5, "supply_gpm": 0.3}, "stop", "Choose a heater"),
        ({"model": heater([1.5], [1.2]), "target_f": 105.0}, "stop", "more power"),
    ],
)
def test_target_reached(changes: dict[str, Any], severity: str, words: str) -> None:
    found = finding("target-reached", **changes)
    assert found.severity == severity
    assert words in found.do.template


def numbers(found: Finding) -> dict[str, Any]:
    return {value.symbol: value.value for value in found.found.values}


def test_the_stage_in_use_is_named_where_it_serves_and_told_where_it_does_not() -> None:
    """At 95 degF from 54 degF, 9.6 kW: stages 2, 3 and 4 have windows, stage 1 has none."""
    serving = [window.number for window in case().windows if window.usable]
    assert serving == [2, 3, 4]
    for selected in serving:
        found = finding("target-reached", selected=selected)
        assert (found.severity, numbers(found)["stage"]) == ("ok", selected)
    above = finding("target-reached", selected=1)
    assert (above.severity, numbers(above)["in_use"], numbers(above)["stage"]) == ("attention", 1, 2)
    below = finding("target-reached", supply_gpm=0.8)
    assert (below.severity, numbers(below)["in_use"], numbers(below)["stage"]) == ("attention", 4, 2)
    assert below.do.template.startswith("Select stage 2")


def narrowed(at: ThermalCase, number: int, width_m3_s: float) -> ThermalCase:
    """The case with one window brought to this width [m3/s] from its greatest flow, and the others left."""
    windows = tuple(
        replace(window, least_bounds=(Bound(window.greatest.flow_m3_s - width_m3_s, LIMIT),))
        if window.number == number
        else window
        for window in at.windows
    )
    return replace(at, windows=windows)


@pytest.mark.parametrize(("share", "severity"), [(1.01, "ok"), (0.99, "attention"), (0.0, "attention")])
def test_a_window_too_narrow_to_set_is_not_recommended(share: float, severity: str) -> None:
    """0.06 gpm, or 3 % of the flow where that is more: common practice, no source."""
    narrow = narrowed(case(), 4, share * SETTABLE_M3_S)
    assert narrow.windows[3].narrow == (severity == "attention")
    assert target_finding(narrow).severity == idle_finding(narrow).severity == severity
    if severity == "attention":
        assert numbers(target_finding(narrow))["stage"] == 3
        assert "closer than a flow can be set" in target_finding(narrow).found.template
        assert "closer than a flow can be set" in idle_finding(narrow).found.template


def test_only_narrow_windows_need_attention_and_no_larger_heater() -> None:
    narrow = case(selected=4)
    for number in (2, 3, 4):
        narrow = narrowed(narrow, number, 0.5 * SETTABLE_M3_S)
    found = target_finding(narrow)
    assert found.severity == "attention"
    assert "wide enough to set" in found.found.template
    assert found.do.template.startswith("Lower the target")


def test_the_printed_ends_of_a_usable_window_never_meet() -> None:
    """In steps of 0.01 gpm and 0.1 L/min, rounded inward, wherever the window lies."""
    for step_m3_s in (0.01 * GPM, 1e-4 / 60.0):
        for place in range(1000):
            least = 0.3 * GPM + place * 1.7e-8
            up, down = math.ceil(least / step_m3_s), math.floor((least + SETTABLE_M3_S) / step_m3_s)
            assert up < down


@pytest.mark.parametrize(
    ("end", "reason", "words", "never"),
    [
        ("least", GREATEST_PRESSURE, "Fit a pressure-reducing valve", "more power at"),
        ("greatest", LEAST_PRESSURE, "Raise the supply pressure", "more power at"),
        ("greatest", SUPPLY_LIMIT, "Raise the supply pressure", "more power at"),
    ],
)
def test_pressure_is_mended_as_pressure(end: str, reason: str, words: str, never: str) -> None:
    at = case(supply_gpm=0.3)
    windows = tuple(
        replace(window, **{f"{end}_bounds": (Bound(getattr(window, end).flow_m3_s, reason),)}) for window in at.windows
    )
    found = target_finding(replace(at, windows=windows))
    assert found.severity == "stop"
    assert found.do.template.startswith(words)
    assert never not in found.do.template


def test_no_valve_is_said_to_join_the_seasons() -> None:
    """Energy balance: at a fixed flow the mixture carries the heat put in, however hot and cold are shared."""
    apart = {"winter_f": 50.0, "summer_f": 70.0, "target_f": 105.0}
    assert "Fit a mixing valve" not in finding("target-reached", **apart).do.template
    assert "stage and flow" in finding("target-reached", **apart).do.template
    fixed = heater([0.4], [0.32], selector=False)
    found = finding("target-reached", model=fixed, winter_f=50.0, summer_f=75.0, target_f=115.0)
    assert "set the flow anew each season" in found.do.template


@pytest.mark.parametrize(("summer_f", "severity"), [(119.9, "attention"), (120.0, "stop"), (132.0, "stop")])
def test_an_inlet_at_the_limit_is_cooled_and_nothing_else(summer_f: float, severity: str) -> None:
    found = finding("target-reached", summer_f=summer_f)
    assert found.severity == severity
    if severity == "stop":
        assert numbers(found)["summer_inlet"] == kelvin(summer_f)
        assert "Feed it with cooler water" in found.do.template and "arget" not in found.do.template


@pytest.mark.parametrize(("target_f", "own"), [(54.0, True), (50.0, True), (95.0, False)])
def test_a_target_that_the_cold_water_meets_is_looked_at(target_f: float, own: bool) -> None:
    found = finding("target-reached", target_f=target_f, winter_f=54.0)
    assert ("warm enough already" in found.found.template, found.severity == "attention") == (own, own)


@pytest.mark.parametrize(("above_k", "severity"), [(-0.01, "ok"), (0.0, "ok"), (1e-12, "ok"), (0.01, "stop")])
def test_inlet_limit(above_k: float, severity: str) -> None:
    at_limit = replace(case(), season=Season(kelvin(54.0), FOUR.water.greatest_inlet_k + above_k))
    assert inlet_finding(at_limit).severity == severity


def test_greatest_outlet() -> None:
    assert finding("greatest-outlet").severity == "attention"
    assert finding("greatest-outlet", selected=1).severity == "ok"
    plain = heater([0.4], [0.32], selector=False, power_w=9600.0)
    assert "Select" not in finding("greatest-outlet", model=plain).do.template


def test_stage_idle() -> None:
    assert finding("stage-idle").severity == "ok"
    idle = finding("stage-idle", supply_gpm=0.8)
    assert idle.severity == "attention"
    assert {value.symbol: value.value for value in idle.found.values}["used"] == 2
    assert idle.do.template.startswith("Select stage 2")
    assert "target-reached" in finding("stage-idle", supply_gpm=0.1).do.template

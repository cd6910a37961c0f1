"""The findings about target, inlet, outlet and idle stages: severity on each side of each limit, and the numbers."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest

from generator.compute.circuit.delivered import Powers
from generator.compute.heat.balance import flow_for_outlet_m3_s
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.findings import idle_finding, inlet_limit_finding, thermal_findings
from generator.compute.heat.hottest import Circumstances, hottest_water
from generator.compute.heat.inlet import Season
from generator.compute.heat.stages import stage_powers_w
from generator.compute.heat.tankless_finding import tankless_finding
from generator.compute.heat.target_finding import target_finding
from generator.compute.heat.window import Bound, StagePower, flow_window, next_stage_bound
from generator.compute.plumbing import Plumbing
from generator.compute.use.fixture_limit import Limits
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from generator.model.water_results import (
    CLOSES,
    GREATEST_PRESSURE,
    LEAST_PRESSURE,
    NEXT_STAGE,
    SUPPLY_LIMIT,
    FlowBounds,
)
from tests.compute.heat_cases import heater, no_band
from tests.compute.test_scald import basin
from tests.compute.wet_cases import BURNS, GPM, LIMITS, TOLERANCES, kelvin, site, with_fixtures
from tests.compute.wet_cases import valve as a_valve
from tests.finding_texts import said

FOUR = heater([0.4, 0.55, 0.7, 0.9], [0.32, 0.46, 0.6, 0.78])
RULES = ("hottest-water", "tankless-limit", "target-reached", "inlet-limit", "greatest-outlet", "stage-idle")


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
            given=FlowBounds((), ((supply_gpm * GPM, NEXT_STAGE), *next_stage_bound(model, n))),
            setting=TOLERANCES.setting,
        )
        for n, stage in enumerate(model.stages, start=1)
    )
    at = with_fixtures(site("bunkhouse"), basin()).model_copy(update={"selected_stage": selected})
    hottest = hottest_water(model, Circumstances(240.0, 1, summer_k), BURNS)
    return ThermalCase(
        at,
        model,
        season,
        limits,
        Powers(powers, reach),
        windows,
        hottest,
        hottest,
        no_band(winter_k, summer_k),
        limit_k,
        Plumbing(LIMITS, held=True),
        ((),),
        BURNS,
    )


def finding(rule: str, **changes: Any) -> Finding:
    return {found.rule: found for found in thermal_findings(case(**changes))}[rule]


def test_every_rule_is_always_reported_once_with_its_numbers_in_place() -> None:
    for changes in ({}, {"target_f": 118.0}, {"supply_gpm": 0.1}, {"summer_f": 100.0}, {"selected": 1}):
        found = thermal_findings(case(**changes))
        assert tuple(one.rule for one in found) == RULES
        for one in found:
            assert one.id == f"bunkhouse.{one.rule}"
            assert all(said(one, key) for key in ("found", "why", "do"))
            assert one.values
            assert one.source


@pytest.mark.parametrize(
    ("changes", "severity", "name"),
    [
        ({}, "ok", "reached"),
        ({"selected": 1}, "attention", "other-stage"),
        ({"winter_f": 50.0, "summer_f": 70.0, "target_f": 105.0}, "attention", "seasons-selector"),
        ({"supply_gpm": 0.3}, "stop", "out-of-reach"),
        ({"left": 0.9}, "ok", "reached"),
        ({"left": 0.5}, "stop", "drop-too-great"),
        ({"left": 0.5, "supply_gpm": 0.3}, "stop", "out-of-reach"),
        ({"model": heater([1.5], [1.2]), "target_f": 105.0}, "stop", "out-of-reach"),
    ],
)
def test_target_reached(changes: dict[str, Any], severity: str, name: str) -> None:
    found, at = finding("target-reached", **changes), case(**changes)
    assert (found.severity, found.case) == (severity, name)
    held = numbers(found)
    assert (held["target"], held["inlet"]) == (at.limits.target_k, at.season.coldest_k)
    assert held["power"] == at.powers.reach_w[held["stage"] - 1]


def test_the_window_that_serves_is_told_by_its_ends() -> None:
    at = case()
    held, window = numbers(target_finding(at)), at.windows[3]
    assert (held["from"], held["to"]) == (window.least.flow_m3_s, window.greatest.flow_m3_s)
    said_why = numbers(finding("target-reached", selected=1))
    assert (said_why["least"], said_why["greatest"]) == (
        pytest.approx(0.4 * GPM),
        pytest.approx(flow_for_outlet_m3_s(at.season.coldest_k, at.limits.target_k, 2400.0)),
    )
    assert said_why["least"] > said_why["greatest"]


def numbers(found: Finding) -> dict[str, Any]:
    return {value.symbol: value.value for value in found.values}


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
    assert below.case == above.case == "other-stage"


def narrowed(at: ThermalCase, number: int, width_m3_s: float) -> ThermalCase:
    """The case with one window brought to this width [m3/s] from its greatest flow, and the others left."""
    windows = tuple(
        replace(window, least_bounds=(Bound(window.greatest.flow_m3_s - width_m3_s, CLOSES),))
        if window.number == number
        else window
        for window in at.windows
    )
    return replace(at, windows=windows)


@pytest.mark.parametrize(("share", "severity"), [(1.01, "ok"), (0.99, "attention"), (0.0, "attention")])
def test_a_window_too_narrow_to_set_is_not_recommended(share: float, severity: str) -> None:
    """0.06 gpm, or 3 % of the flow where that is more: common practice, no source."""
    narrow = narrowed(case(), 4, share * TOLERANCES.setting.flow_m3_s)
    assert narrow.windows[3].narrow == (severity == "attention")
    assert target_finding(narrow).severity == idle_finding(narrow).severity == severity
    if severity == "attention":
        assert numbers(target_finding(narrow))["stage"] == 3
        for found in (target_finding(narrow), idle_finding(narrow)):
            assert numbers(found)["about"] == case().windows[3].greatest.flow_m3_s
            assert "closer than a flow can be set" in said(found)


def test_only_narrow_windows_need_attention_and_no_larger_heater() -> None:
    narrow = case(selected=4)
    for number in (2, 3, 4):
        narrow = narrowed(narrow, number, 0.5 * TOLERANCES.setting.flow_m3_s)
    found = target_finding(narrow)
    assert (found.severity, found.case) == ("attention", "narrow")
    assert "closer than a flow can be set" in said(found)


def test_the_printed_ends_of_a_usable_window_never_meet() -> None:
    """In steps of 0.01 gpm and 0.1 L/min, rounded inward, wherever the window lies."""
    for step_m3_s in (0.01 * GPM, 1e-4 / 60.0):
        for place in range(1000):
            least = 0.3 * GPM + place * 1.7e-8
            up, down = math.ceil(least / step_m3_s), math.floor((least + TOLERANCES.setting.flow_m3_s) / step_m3_s)
            assert up < down


@pytest.mark.parametrize(
    ("end", "reason", "name"),
    [
        ("least", GREATEST_PRESSURE, "pressure-too-high"),
        ("greatest", LEAST_PRESSURE, "pressure-too-low"),
        ("greatest", SUPPLY_LIMIT, "pressure-too-low"),
    ],
)
def test_pressure_is_mended_as_pressure(end: str, reason: str, name: str) -> None:
    at = case(supply_gpm=0.3)
    windows = tuple(
        replace(window, **{f"{end}_bounds": (Bound(getattr(window, end).flow_m3_s, reason),)}) for window in at.windows
    )
    found = target_finding(replace(at, windows=windows))
    assert (found.severity, found.case) == ("stop", name)
    assert "more power at" not in said(found, "do")


def test_no_valve_is_said_to_join_the_seasons() -> None:
    """Energy balance: at a fixed flow the mixture carries the heat put in, however hot and cold are shared."""
    apart = {"winter_f": 50.0, "summer_f": 70.0, "target_f": 105.0}
    assert "Fit a mixing valve" not in said(finding("target-reached", **apart), "do")
    assert "stage and flow" in said(finding("target-reached", **apart), "do")
    fixed = heater([0.4], [0.32], selector=False)
    found = finding("target-reached", model=fixed, winter_f=50.0, summer_f=75.0, target_f=115.0)
    assert "set the flow anew each season" in said(found, "do")


@pytest.mark.parametrize(("summer_f", "severity"), [(119.9, "attention"), (120.0, "stop"), (132.0, "stop")])
def test_an_inlet_at_the_limit_is_cooled_and_nothing_else(summer_f: float, severity: str) -> None:
    found = finding("target-reached", summer_f=summer_f)
    assert found.severity == severity
    if severity == "stop":
        assert numbers(found)["summer_inlet"] == kelvin(summer_f)
        assert found.case == "warm-inlet"
        assert "arget" not in said(found, "do")


@pytest.mark.parametrize(
    ("share", "severity", "name"),
    [
        (0.0, "ok", "reached"),
        (1.0, "ok", "reached"),
        (-0.02, "attention", "flow-below"),
        (1.02, "attention", "flow-above"),
    ],
)
def test_the_target_is_judged_at_the_flow_that_the_fixtures_run_at(share: float, severity: str, name: str) -> None:
    """A share of the way from the least to the greatest flow of the window of the stage in use."""
    at = case()
    least_m3_s, greatest_m3_s = (end.flow_m3_s for end in (at.windows[3].least, at.windows[3].greatest))
    flow = least_m3_s + share * (greatest_m3_s - least_m3_s)
    found = target_finding(replace(at, working_m3_s=flow))
    assert (found.severity, found.case) == (severity, name)
    assert ("working" in numbers(found)) is (severity != "ok")
    assert all(said(found, key) for key in ("found", "why", "do"))


@pytest.mark.parametrize(("target_f", "own"), [(54.0, True), (50.0, True), (95.0, False)])
def test_a_target_that_the_cold_water_meets_is_looked_at(target_f: float, own: bool) -> None:
    found = finding("target-reached", target_f=target_f, winter_f=54.0)
    assert (found.case == "no-need", found.severity == "attention") == (own, own)


@pytest.mark.parametrize(("above_k", "severity"), [(-0.01, "ok"), (0.0, "ok"), (1e-12, "ok"), (0.01, "stop")])
def test_inlet_limit(above_k: float, severity: str) -> None:
    warmest_k = FOUR.water.greatest_inlet_k + above_k
    at_limit = replace(case(), season=Season(kelvin(54.0), warmest_k), band=no_band(kelvin(54.0), warmest_k))
    found = inlet_limit_finding(at_limit)
    assert (found.severity, found.case) == (severity, "within" if severity == "ok" else "above")
    assert numbers(found) == {"inlet": at_limit.season.warmest_k, "greatest": FOUR.water.greatest_inlet_k}


@pytest.mark.parametrize(
    ("above_f", "valve", "selected", "found"),
    [
        (-0.01, False, None, ("ok", "within")),
        (0.01, False, None, ("stop", "above-selector")),
        (0.01, True, None, ("attention", "guarded")),
        (0.01, False, 3, ("attention", "turned-up")),
    ],
)
def test_water_of_a_tankless_heater_is_held_to_the_plumbing_code_at_every_fixture(
    above_f: float, valve: bool, selected: int | None, found: tuple[str, str]
) -> None:
    """IPC 501.6: not above 140 degF from tankless heaters (read in an adoption); a sink has no limit of its kind."""
    at = case(selected=selected)
    sink = at.site.fixtures[0].model_copy(
        update={"kind": "service sink", "mixing_valve": a_valve() if valve else None, "limit_k": None}
    )
    last = replace(at.hottest[3], temperature_k=kelvin(140.0 + above_f), judged_k=kelvin(140.0 + above_f), held=False)
    cool = tuple(replace(one, temperature_k=kelvin(120.0), judged_k=kelvin(120.0)) for one in at.hottest[:3])
    judged = tankless_finding(
        replace(at, site=with_fixtures(at.site, sink), hottest=(*cool, last), at_top=(*cool, last))
    )
    assert (judged.severity, judged.case) == found
    assert numbers(judged)["limit"] == pytest.approx(kelvin(140.0))
    assert "<plumbing:limit-tankless>" in judged.source


def test_the_limit_for_tankless_heaters_offers_the_stage_that_keeps_it() -> None:
    """From 68 degF all four stages pass 140 degF (held at the cut-out of 150 degF), two stages do not."""
    found = finding("tankless-limit")
    assert (found.severity, found.case) == ("stop", "above-selector")
    assert "or more" in said(found)
    assert f"Select stage {numbers(found)['lower']} or lower" in said(found, "do")
    assert case().hottest[numbers(found)["lower"] - 1].judged_k <= kelvin(140.0)
    fixed = finding("tankless-limit", model=heater([0.4], [0.32], selector=False, power_w=9600.0))
    assert (fixed.severity, fixed.case) == ("stop", "above")
    elsewhere = tankless_finding(replace(case(), plumbing=Plumbing(LIMITS, held=False)))
    assert (elsewhere.severity, elsewhere.case) == ("ok", "not-held")


def test_greatest_outlet() -> None:
    at = case()
    found, hottest = finding("greatest-outlet"), at.hottest[3]
    assert (found.severity, found.case) == ("attention", "above-selector")
    assert numbers(found) == {
        "hottest": hottest.temperature_k,
        "top_held": hottest.temperature_k,
        "flow": hottest.flow_m3_s,
        "greatest": kelvin(140.0),
        "cut_out": kelvin(150.0),
    }
    assert "or more" in said(found)
    low = finding("greatest-outlet", selected=1)
    assert (low.severity, low.case) == ("ok", "within")
    assert "cut_out" not in numbers(low) and "or more" not in said(low)
    plain = heater([0.4], [0.32], selector=False, power_w=9600.0)
    assert finding("greatest-outlet", model=plain).case == "above"


def test_stage_idle() -> None:
    assert finding("stage-idle").severity == "ok"
    idle = finding("stage-idle", supply_gpm=0.8)
    assert idle.severity == "attention"
    assert (idle.case, numbers(idle)["used"], numbers(idle)["selected"]) == ("some-selector", 2, 4)
    assert finding("stage-idle", supply_gpm=0.1).case == "all"

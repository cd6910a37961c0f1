"""Limits of inlet, pipe and pressure that only the band passes: an attention that no person settles."""

from __future__ import annotations

from dataclasses import replace

import pytest
from CoolProp.CoolProp import PropsSI

from generator.compute.band import Ends
from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pipe_findings import cold_pipe_rating
from generator.compute.flow.pressure_findings import pressure_sag, working_flow, working_pressure
from generator.compute.flow.stage_reach import stage_reach
from generator.compute.heat.findings import inlet_limit_finding, outlet_finding
from generator.compute.heat.tankless_finding import tankless_finding
from tests.compute.heat_cases import heater
from tests.compute.test_scald import hottest_at
from tests.compute.test_thermal_findings import case
from tests.compute.wet_cases import (
    GPM,
    PSI,
    kelvin,
    model,
    operating,
    run,
    site,
    steady,
    waterway,
    with_fixtures,
    with_water,
)
from tests.finding_texts import said


@pytest.mark.parametrize(
    ("stated_f", "top_f", "name", "severity"),
    [
        (80.0, 95.0, "within", "ok"),
        (94.0, 95.5, "band", "attention"),
        (95.5, 100.0, "above", "stop"),
        (80.0, 80.0, "within", "ok"),
    ],
)
def test_the_inlet_against_the_greatest_of_the_heater(stated_f: float, top_f: float, name: str, severity: str) -> None:
    """The demo's heater takes water up to 95 degF."""
    at = case()
    ends = replace(at.band, warmest_k=Ends(kelvin(2 * stated_f - top_f), kelvin(stated_f), kelvin(top_f)))
    found = inlet_limit_finding(replace(at, band=ends))
    assert (found.case, found.severity) == (name, severity)
    assert ("may be" in said(found)) == (stated_f != top_f)


@pytest.mark.parametrize(
    ("stated_f", "top_f", "name", "severity"),
    [
        (120.0, 139.9, "within", "ok"),
        (120.0, 140.1, "band", "attention"),
        (140.1, 150.0, "above-selector", "stop"),
    ],
)
def test_the_140_degf_of_tankless_heaters(stated_f: float, top_f: float, name: str, severity: str) -> None:
    stated, top = hottest_at(100, 100, 100, stated_f), hottest_at(100, 100, 100, top_f)
    found = tankless_finding(replace(case(), hottest=stated, at_top=top))
    assert (found.case, found.severity) == (name, severity)


@pytest.mark.parametrize(
    ("stated_f", "top_f", "name", "severity"),
    [
        (120.0, 139.9, "within", "ok"),
        (120.0, 140.1, "band", "attention"),
        (140.1, 150.0, "above-selector", "attention"),
    ],
)
def test_the_greatest_outlet_of_the_heater(stated_f: float, top_f: float, name: str, severity: str) -> None:
    """The demo's heater gives water up to 140 degF."""
    stated, top = hottest_at(100, 100, 100, stated_f), hottest_at(100, 100, 100, top_f)
    found = outlet_finding(replace(case(), hottest=stated, at_top=top))
    assert (found.case, found.severity) == (name, severity)
    assert "At the top of the band it is" in said(found)


def test_a_stated_supply_clears_the_greatest_outlet_where_it_can() -> None:
    """240 V gives 131 degF; what holds 140 degF lies 6 % higher, where the service range of 5 % does not reach."""
    light = case(model=heater([0.9], [0.8], power_w=9600.0), winter_f=50.0, summer_f=50.0)
    top = hottest_at(140.5)
    found = outlet_finding(replace(light, hottest=hottest_at(131.0), at_top=top))
    holds = {value.symbol: value.value for value in found.values}["holds"]
    mass = 0.8 * GPM * PropsSI("D", "T", kelvin(50.0), "P", 1e5, "Water")
    assert 9600.0 * (holds / 240.0) ** 2 == pytest.approx(mass * 4186.0 * 50.0, rel=3e-3)
    assert "clears this" in said(found, "do")


@pytest.mark.parametrize(
    ("summer_f", "warmest_f", "name", "severity"),
    [
        (99.0, 100.0, "within", "ok"),
        (99.0, 104.0, "band", "attention"),
        (104.0, 109.0, "above-rating", "stop"),
        (99.0, None, "within", "ok"),
    ],
)
def test_a_cold_pipe_at_the_warmest_that_an_estimated_inlet_may_be(
    summer_f: float, warmest_f: float | None, name: str, severity: str
) -> None:
    """PVC Schedule 40, 3/4 in: 480 psi at 73 degF (ASTM D1785), of it 0.62 at 100 and 0.51 at 110 degF, from memory."""
    place = with_water(
        site("packing-house"), cold_run=(run("pvc-40", "3/4 in", 6.0),), static_pressure=steady(0.58 * 480.0)
    )
    at = operating(place, model(place.heater), waterway(place, model(place.heater), 284.0))
    found = cold_pipe_rating(at, kelvin(summer_f), None if warmest_f is None else kelvin(warmest_f))
    assert (found.case, found.severity) == (name, severity)


def test_a_stage_that_turns_on_as_stated_may_not_at_the_top_of_its_tolerance() -> None:
    place = site("packing-house")
    place = with_fixtures(place, place.fixtures[0].model_copy(update={"flow_m3_s": 0.5 * GPM}))
    heater = model(place.heater)
    at = operating(place, heater, waterway(place, heater, 284.0))
    last = stage_reach(at)[-1]
    psi = 6894.757293168361
    just = with_water(place, static_pressure=steady((last.least_static_pa + 200.0) / psi))
    at = operating(just, heater, waterway(just, heater, 284.0))
    stated = working_pressure(at, stage_reach(at))
    adverse = working_pressure(replace(at, switching=Ends(0.9, 1.0, 1.1)), stage_reach(at))
    assert adverse.case == "band" and adverse.severity == "attention"
    assert {value.symbol: value.value for value in adverse.values}["surely"] == 3
    assert stated.case == "enough"


def packed(gpm: float, psi: float, ends: Ends) -> Operating:
    """The rinse sink of the packing house at this flow on a level pipe, all stages in use, with this flow tolerance."""
    place = with_water(site("packing-house"), cold_run=(run("copper-l", "1 in", 10.0),), static_pressure=steady(psi))
    sink = place.fixtures[0].model_copy(update={"flow_m3_s": gpm * GPM})
    place = with_fixtures(place, sink).model_copy(update={"selected_stage": None})
    heater = model(place.heater)
    return replace(operating(place, heater, waterway(place, heater, 284.0)), switching=ends)


@pytest.mark.parametrize(
    ("gpm", "least", "greatest", "name", "severity"),
    [
        (0.42, 1.0, 1.04, "enough", "ok"),
        (0.42, 0.90, 1.0, "enough", "ok"),
        (0.42, 0.90, 1.10, "band", "attention"),
        (0.45, 0.90, 1.10, "enough", "ok"),
        (0.39, 0.90, 1.10, "none-on", "stop"),
    ],
)
def test_a_fixture_that_the_top_of_the_flow_tolerance_leaves_cold(
    gpm: float, least: float, greatest: float, name: str, severity: str
) -> None:
    """The demo's first stage turns on at 0.40 gpm: 0.44 gpm at the top of 10 %, by hand."""
    found = working_flow(packed(gpm, 60.0, Ends(least, 1.0, greatest)))
    assert (found.case, found.severity) == (name, severity)
    assert ("surely" in {value.symbol for value in found.values}) == (name == "band")
    assert ("alone it stays cold for: rinse sink" in said(found)) == (name == "band")


@pytest.mark.parametrize(
    ("gpm", "least", "greatest", "name"),
    [
        (1.25, 1.0, 1.0, "holds"),
        (1.25, 0.90, 1.0, "holds"),
        (1.25, 1.0, 1.10, "band"),
        (1.15, 1.0, 1.10, "holds"),
        (1.15, 0.90, 1.0, "band"),
        (1.40, 0.90, 1.10, "holds"),
    ],
)
def test_a_sag_that_drops_out_a_stage_only_at_an_end_of_its_flow_tolerance(
    gpm: float, least: float, greatest: float, name: str
) -> None:
    """Stage 4 turns on at 1.20 gpm and drops out at 1.08: what the outlet passes falls with the root of the pressure
    before it (a sag of a fifth leaves 0.894 of the flow where the heater loses as the outlet does).

    Of 1.25 gpm that is 1.12: above 1.08, below the 1.19 at the top. At 1.15 gpm only a heater at the foot of its
    tolerance has it on (1.08 turns it on), and at 1.03 gpm loses it again. Of 1.40 gpm 1.25 are left.
    """
    at = packed(gpm, 60.0, Ends(least, 1.0, greatest))
    found = pressure_sag(at, stage_reach(at))
    assert (found.case, found.severity) == (name, "ok" if name == "holds" else "attention")
    held = {value.symbol: value.value for value in found.values}
    assert name == "holds" or held["top"] > 0.8 * 60.0 * PSI >= held["drop"]
    assert ("anywhere in their tolerance" in said(found)) == (name == "band")

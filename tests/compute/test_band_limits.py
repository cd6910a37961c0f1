"""Limits of inlet, pipe and pressure that only the band passes: an attention that no person settles."""

from __future__ import annotations

from dataclasses import replace

import pytest

from generator.compute.band import Ends
from generator.compute.flow.pipe_findings import cold_pipe_rating
from generator.compute.flow.pressure_findings import working_pressure
from generator.compute.flow.stage_reach import stage_reach
from generator.compute.heat.findings import inlet_limit_finding
from generator.compute.heat.tankless_finding import tankless_finding
from tests.compute.test_scald import hottest_at
from tests.compute.test_thermal_findings import case
from tests.compute.wet_cases import (
    GPM,
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
    adverse = working_pressure(replace(at, turn_on=1.1), stage_reach(at))
    assert adverse.case == "band" and adverse.severity == "attention"
    assert {value.symbol: value.value for value in adverse.values}["surely"] == 3
    assert stated.case == "enough"

"""Swelling of heated water, and when a closed system or a shut-in heater is told."""

import pytest

from generator.compute.flow.operating_point import Operating
from generator.compute.use.expansion import expansion_m3, relief_valve, thermal_expansion
from generator.model.figures import Finding
from generator.model.site import Site
from tests.compute.wet_cases import kelvin, model, operating, run, site, waterway, with_water
from tests.finding_texts import said


def at_work(place: Site, water_f: float = 54.0) -> Operating:
    heater = model(place.heater)
    return operating(place, heater, waterway(place, heater, kelvin(water_f)))


@pytest.mark.parametrize(("cold_f", "hot_f", "share"), [(54.0, 120.0, 0.0111), (40.0, 140.0, 0.0171)])
def test_swelling_of_water(cold_f: float, hot_f: float, share: float) -> None:
    """54 to 120 degF 1.11 %, 40 to 140 degF 1.71 % (from the densities of the IAPWS-95 tables, computed)."""
    at = at_work(site("packing-house"), cold_f)
    held = at.model.water.volume_m3 + sum(pipe.volume_m3 for pipe in at.way.hot)
    assert expansion_m3(at, kelvin(hot_f)) / held == pytest.approx(share, abs=5e-5)


def test_a_check_valve_closes_the_system_however_it_is_stated() -> None:
    open_site = site("packing-house")
    by_flag = with_water(open_site, check_valve=True)
    in_pipe = with_water(open_site, cold_run=(run("copper-l", "3/4 in", 60.0, check_valve=1),))
    found = [thermal_expansion(at_work(place), kelvin(140.0)).severity for place in (open_site, by_flag, in_pipe)]
    assert found == ["ok", "attention", "attention"]


@pytest.mark.parametrize(
    ("before", "after", "severity"),
    [
        ({"ball_valve": 1}, {"stop_valve": 1}, "attention"),
        ({"ball_valve": 1}, {"union": 1}, "ok"),
        ({"elbow_90": 2}, {"ball_valve": 1}, "ok"),
        ({"check_valve": 1}, {"ball_valve": 1}, "attention"),
        ({"ball_valve": 0}, {"ball_valve": 1}, "ok"),
    ],
)
def test_valves_on_both_sides_shut_hot_water_in(before: dict, after: dict, severity: str) -> None:
    cold, hot = run("copper-l", "1/2 in", 10.0, **before), run("copper-l", "1/2 in", 10.0, **after)
    assert (
        relief_valve(at_work(with_water(site("potting-shed"), cold_run=(cold,), hot_run=(hot,)))).severity == severity
    )


def relief(checked: bool = False, **before: int) -> Finding:
    cold, hot = run("copper-l", "1/2 in", 10.0, **before), run("copper-l", "1/2 in", 10.0)
    return relief_valve(
        at_work(with_water(site("potting-shed"), cold_run=(cold,), hot_run=(hot,), check_valve=checked))
    )


def test_a_check_valve_shuts_hot_water_in_at_the_end_of_every_use() -> None:
    """Flow back is stopped before the heater, and the tap after it: common practice, no source."""
    assert relief(checked=True).severity == relief(check_valve=1).severity == "attention"
    shut_by_hand = relief(ball_valve=1)
    assert shut_by_hand.severity == "ok"
    assert "only when the valve before the heater is closed" in said(shut_by_hand)
    assert said(shut_by_hand, "do").startswith("Open the fixture before")
    assert "can flow back" in said(relief())

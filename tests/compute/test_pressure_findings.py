"""Where the findings about pressure change their severity."""

import math
import random
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
import yaml

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pressure_findings import (
    filter_screen,
    fixture_needs_pa,
    fixture_pressure,
    least_screen,
    pressure_sag,
    static_pressure,
    working_flow,
    working_pressure,
)
from generator.compute.flow.stage_reach import PRESSURE_FALLS, StageReach, stage_reach
from generator.compute.plumbing import plumbing
from generator.model.figures import Finding
from generator.model.site import Site
from tests.compute.wet_cases import (
    GPM,
    LIMITS,
    PSI,
    four_stage,
    operating,
    run,
    site,
    steady,
    valve,
    waterway,
    with_fixtures,
    with_water,
)
from tests.compute.wet_random import by_chance, random_model, random_site
from tests.finding_texts import said

PUBLISHED = yaml.safe_load((Path(__file__).parents[1] / "sources/water/fixtures.yaml").read_text())


def at_work(place: Site, *, held: bool = True) -> Operating:
    heater, place = four_stage(), place.model_copy(update={"selected_stage": None})
    return operating(place, heater, waterway(place, heater, 284.0), held=held)


def values(found: Finding) -> dict[str, Any]:
    return {value.symbol: value.value for value in found.values}


def reach_of(at: Operating) -> tuple[StageReach, ...]:
    return stage_reach(at)


def level(psi: float, feet: float = 10.0) -> Site:
    """The packing house with one level run of wide pipe and this static pressure."""
    return with_water(site("packing-house"), cold_run=(run("copper-l", "1 in", feet),), static_pressure=steady(psi))


@pytest.mark.parametrize(
    ("psi", "severity", "case"),
    [
        (80.0, "ok", "within"),
        (80.1, "attention", "above-code"),
        (150.0, "attention", "above-code"),
        (150.1, "stop", "above-model"),
    ],
)
def test_static_pressure_steps(psi: float, severity: str, case: str) -> None:
    """80 psi: UPC (2024) 608.2, read; 150 psi: the model's greatest."""
    found = static_pressure(at_work(level(psi)))
    assert (found.severity, found.case) == (severity, case)
    in_psi = {symbol: float(value) / PSI for symbol, value in values(found).items()}
    assert in_psi == pytest.approx({"static": psi, "rest": psi, "greatest": 150.0, "code": 80.0})


def test_height_spares_the_heater_but_not_the_code() -> None:
    """155 psi at the start is 142 psi 30 ft higher (0.433 psi a foot): within the model's 150 psi."""
    up = with_water(level(155.0), cold_run=(run("copper-l", "1 in", 30.0, 30.0),))
    found = static_pressure(at_work(up))
    assert (found.severity, found.case) == ("attention", "above-code")
    assert values(found)["rest"] == pytest.approx(142.0 * PSI, abs=0.1 * PSI)


@pytest.mark.parametrize(
    ("psi", "severity", "case", "closing"),
    [(60.0, "ok", "enough", 4), (25.2, "attention", "short", 4), (24.9, "stop", "none-closes", 0)],
)
def test_working_pressure_steps(psi: float, severity: str, case: str, closing: int) -> None:
    """The model's least is 25 psi: below it no stage closes; just above it each does, but not at work."""
    at = at_work(level(psi, 400.0))
    found = working_pressure(at, reach_of(at))
    assert (found.severity, found.case) == (severity, case)
    pressure = at.way.at_switches(at.working_m3_s)
    expected = {"flow": at.working_m3_s, "pressure": pressure, "least": 25.0 * PSI, "closing": closing, "selected": 4}
    assert values(found) == pytest.approx(expected)


def test_working_flow_steps() -> None:
    sink = site("packing-house").fixtures[0]
    for gpm, severity, case, closed in (
        (1.4, "ok", "enough", 4),
        (0.39, "stop", "none-on", 0),
        (30.0, "attention", "less-than-wanted", 4),
    ):
        at = at_work(with_fixtures(site("packing-house"), sink.model_copy(update={"flow_m3_s": gpm * GPM})))
        found = working_flow(at)
        assert (found.severity, found.case) == (severity, case)
        expected = {"wanted": gpm * GPM, "greatest": at.greatest_m3_s, "closed": closed, "first": 0.4 * GPM}
        assert values(found) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("gpm", "severity", "case", "cold"),
    [
        ((0.5, 0.45), "ok", "enough", []),
        ((0.5, 0.3), "attention", "some-alone-cold", ["tap 2"]),
        ((0.3, 0.3), "stop", "alone-cold", ["tap 1", "tap 2"]),
        ((0.3,), "stop", "none-on", []),
    ],
)
def test_a_tap_that_stays_cold_alone(gpm: tuple[float, ...], severity: str, case: str, cold: list[str]) -> None:
    """The first stage turns on at 0.40 gpm: what several ask for together does not warm the one who opens one tap."""
    sink = site("packing-house").fixtures[0]
    taps = [
        sink.model_copy(update={"name": f"tap {number}", "flow_m3_s": flow * GPM})
        for number, flow in enumerate(gpm, start=1)
    ]
    found = working_flow(at_work(with_fixtures(site("packing-house"), *taps)))
    assert (found.severity, found.case) == (severity, case)
    assert [row["fixture"].value for row in found.lists.get("cold", ())] == cold


def test_a_working_flow_of_nothing_says_which_file_to_mend() -> None:
    uphill = with_water(site("packing-house"), static_pressure=steady(10.0), cold_run=(run("pex", "1 in", 60, 60.0),))
    found = working_flow(at_work(uphill))
    assert (found.severity, found.case) == ("stop", "no-water")
    assert values(found) == {"static": pytest.approx(10.0 * PSI), "site": "packing-house"}
    assert "sites/packing-house.yaml" in said(found, "do")


def test_a_working_flow_without_its_pressure_turns_nothing_on() -> None:
    """24 psi where the model needs 25: a count of stages there would promise hot water beside `working-pressure`."""
    at = at_work(level(24.0))
    found = working_flow(at)
    assert (found.severity, found.case) == ("stop", "below-working-pressure")
    assert values(found)["closed"] == 0


@pytest.mark.parametrize("row", PUBLISHED["pressures"]["rows"], ids=lambda row: f"{row['kind']} {row['mixing_valve']}")
def test_pressure_at_fixtures_of_the_code(row: dict) -> None:
    fixture = site("packing-house").fixtures[0]
    asked = fixture.model_copy(update={"kind": row["kind"], "mixing_valve": valve() if row["mixing_valve"] else None})
    assert fixture_needs_pa(asked, LIMITS) == pytest.approx(row["psi"] * PSI)


def test_fixture_pressure_is_judged_at_the_working_flow() -> None:
    at = at_work(level(60.0))
    assert fixture_pressure(at).severity == "ok"
    assert values(fixture_pressure(at)) == {
        "left": at.way.at_fixture(at.working_m3_s),
        "flow": at.working_m3_s,
        "needed": pytest.approx(8.0 * PSI),
        "fixture": at.site.fixtures[0].name,
    }
    lost_psi = (at.way.static_pa - at.way.at_fixture(at.working_m3_s)) / PSI
    for spare_psi, told in ((8.1, ("ok", "enough")), (7.9, ("attention", "short"))):
        found = fixture_pressure(at_work(level(lost_psi + spare_psi)))
        assert (found.severity, found.case) == told


def test_the_fixture_that_needs_most_is_the_one_told() -> None:
    sink = site("packing-house").fixtures[0].model_copy(update={"kind": "service sink", "mixing_valve": None})
    shower = sink.model_copy(update={"name": "shower", "kind": "shower", "mixing_valve": valve(), "at_once": 0})
    found = fixture_pressure(at_work(with_fixtures(level(60.0), sink, shower)))
    assert (values(found)["fixture"], values(found)["needed"]) == ("shower", pytest.approx(20.0 * PSI))


def test_a_supply_that_may_sag_by_a_fifth_is_ok() -> None:
    at = at_work(level(60.0))
    drop_pa = max(found.drop_out_pa or 0.0 for found in reach_of(at))
    assert drop_pa < 0.8 * 60.0 * PSI
    found = pressure_sag(at, reach_of(at))
    assert (found.severity, found.case) == ("ok", "holds")
    assert values(found) == {
        "static": pytest.approx(60.0 * PSI),
        "drop": drop_pa,
        "spare": pytest.approx(60.0 * PSI - drop_pa),
        "stage": 4,
        "reason": PRESSURE_FALLS,
    }
    tight = at_work(level(30.0))
    found = pressure_sag(tight, reach_of(tight))
    assert (found.severity, found.case) == ("attention", "drops-out")
    none = pressure_sag(at_work(level(24.0)), reach_of(at_work(level(24.0))))
    assert (none.severity, none.case, values(none)) == ("ok", "none-on", {"static": pytest.approx(24.0 * PSI)})


@by_chance
def test_screen_at_its_least_costs_pressure_or_flow_exactly(chance: random.Random) -> None:
    place = random_site(chance)
    heater = random_model(chance, place.heater)
    at = operating(place, heater, waterway(place, heater, 284.0))
    least = least_screen(at)
    if not 0.0 < least < 1.0:
        return
    dirty = waterway(with_water(place, screen_open=least), heater, 284.0)
    q, least_pa = at.working_m3_s, heater.water.working_pressure.least_pa
    spare = min(dirty.at_switches(q) - least_pa, dirty.left_for_outlet(q))
    assert spare == pytest.approx(0.0, abs=1e-6 * at.way.static_pa)


def test_the_least_screen_by_hand() -> None:
    """Loss of the clean screen s, spare pressure p: 1 / sqrt(1 + p / s), for losses and pressures of half a pascal too;
    without flow nothing is lost, however clogged."""
    at = at_work(level(60.0))
    uphill = with_water(site("packing-house"), cold_run=(run("pex", "1 in", 300.0, 290.0),))
    assert least_screen(at_work(uphill)) == 0.0
    for q in (1.4 * GPM, 1e-9):
        slow = replace(at, wanted_m3_s=q)
        clean_pa = 0.2 * at.way.heater.clean_pa(q)
        spare_pa = min(at.way.at_heater(q) - 25.0 * PSI, at.way.left_for_outlet(q))
        assert least_screen(slow) == pytest.approx(1.0 / math.sqrt(1.0 + spare_pa / clean_pa), rel=1e-9)
        assert least_screen(slow) > 0.0
    over_pa = at.way.at_heater(at.working_m3_s) - 25.0 * PSI
    for spare_pa in (0.5, -0.5):
        tight = at_work(
            with_water(
                at.site, static_pressure=steady((at.site.water.static_pressure.least_pa - over_pa + spare_pa) / PSI)
            )
        )
        clean_pa = 0.2 * tight.way.heater.clean_pa(tight.working_m3_s)
        by_hand = 1.0 / math.sqrt(1.0 + 0.5 / clean_pa) if spare_pa > 0.0 else 1.0
        assert least_screen(tight) == pytest.approx(by_hand, abs=1e-7)
        assert (least_screen(tight) < 1.0) is (spare_pa > 0.0)


@pytest.mark.parametrize(("is_open", "severity"), [(1.0, "ok"), (0.71, "ok"), (0.69, "attention")])
def test_a_screen_with_twice_its_clean_loss_needs_attention(is_open: float, severity: str) -> None:
    at = at_work(with_water(level(60.0), screen_open=is_open))
    found = filter_screen(at)
    assert (found.severity, found.case) == (severity, "clean" if severity == "ok" else "clogged")
    lost_pa = at.way.heater.screen_pa(at.working_m3_s)
    assert values(found) == {"open": is_open, "lost": lost_pa, "flow": at.working_m3_s, "least": least_screen(at)}


def test_a_clean_screen_is_not_blamed_for_a_weak_supply() -> None:
    """At 20 psi the heater's 25 psi are not there, clean screen or not: cleaning it again mends nothing."""
    weak = level(20.0)
    weak = level(20.0)
    clean = filter_screen(at_work(weak))
    assert (clean.severity, clean.case) == ("ok", "clean")
    assert "least" not in values(clean)
    assert said(clean, "do").startswith("Settle `working-pressure`")
    assert "clean the screen now" not in said(clean, "do")
    dirty = filter_screen(at_work(with_water(weak, screen_open=0.5)))
    assert (dirty.severity, dirty.case) == ("attention", "clogged")
    assert "`working-pressure`" in said(dirty, "do") and "clean the screen now" in said(dirty, "do")


def test_the_rule_of_80_psi_is_held_on_the_us_basis_alone() -> None:
    """IPC (2021) 604.8 and UPC (2024) 608.2 are United States codes; the model's own limit holds everywhere."""
    found = static_pressure(at_work(level(100.0), held=False))
    assert found.severity == "ok"
    assert found.case == "within" and "code" not in values(found)
    assert plumbing("static-pressure") not in found.source
    assert static_pressure(at_work(level(100.0))).severity == "attention"
    for code_held in (True, False):
        assert static_pressure(at_work(level(160.0), held=code_held)).severity == "stop"

"""Short readings from the field, judged as points of a record: they can say that something is wrong, and no more.

Check values: water takes 8.33 lb a gallon and 1 Btu a pound and degree, so that kW = gpm degF / 6.83 (common practice,
no source); the rest by hand from the demo's records.
"""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Any

import pytest

from generator.build import Loaded
from generator.compute.known import Known, known
from generator.compute.site import compute_site, judge_site
from generator.model.figures import Finding
from generator.model.inputs import Inputs
from generator.model.register.installed import Installed, SentReading
from tests.compute.record.test_field_readings import field_reading
from tests.compute.record.test_field_readings import inputs as field_inputs

SITE = "packing-house"
WHOLE = {"stages": "4", "flow": "1.30 gpm", "inlet": "55 degF", "outlet": "112 degF"}


def sent(day: str = "2026-11-26", **given: Any) -> SentReading:
    return SentReading.model_validate({"date": day, **{key: value for key, value in given.items() if value}})


def told(inputs: Inputs, *readings: SentReading, site: str = SITE, **register: Any) -> Inputs:
    return replace(inputs, installed={site: Installed(readings=readings, **register)})


def facts(inputs: Inputs, site: str = SITE) -> Known:
    return known(next(one for one in inputs.sites if one.id == site), inputs)


def found(inputs: Inputs, rule: str, site: str = SITE) -> Finding:
    result = compute_site(next(one for one in inputs.sites if one.id == site), inputs)
    return next(one for one in (*result.findings, *result.measured) if one.rule == rule)


def test_the_heat_of_a_short_reading_by_hand(loaded: Loaded) -> None:
    last = facts(told(loaded.inputs, sent(**WHOLE))).judged[-1]
    (point,) = last.points
    assert last.record.sent and point.stages == 4
    assert point.heat_w.best == pytest.approx(1000.0 * 1.30 * (112 - 55) / 6.83, rel=0.005)
    assert point.heat_w.spread / point.heat_w.best > 0.10, "nobody named the instruments"


def test_one_that_does_not_agree_is_told_with_its_day(loaded: Loaded) -> None:
    before = found(loaded.inputs, "power-measured")
    after = found(told(loaded.inputs, sent(**WHOLE)), "power-measured")
    assert (before.case, after.case, after.severity) == ("agrees", "differs", "attention")
    assert {one.symbol: one.value for one in after.values}["date"] == "2026-11-26"


@pytest.mark.parametrize("lacking", ["stages", "flow", "inlet", "outlet"])
def test_one_that_lacks_what_a_judgement_needs_is_not_judged(loaded: Loaded, lacking: str) -> None:
    note = sent(**(WHOLE | {lacking: ""}))
    assert note.lacks == [lacking] and sent(**WHOLE).lacks == []
    assert not any(one.record.sent for one in facts(told(loaded.inputs, note)).judged)


def test_water_that_was_read_above_the_limit_stops_the_site(loaded: Loaded) -> None:
    hot = told(loaded.inputs, sent(**(WHOLE | {"flow": "0.9 gpm", "outlet": "141 degF"})))
    assert found(loaded.inputs, "hottest-measured").severity == "ok"
    assert found(hot, "hottest-measured").severity == found(hot, "hottest-water").severity == "stop"


def test_one_that_agrees_lifts_no_stop_of_a_visit_and_narrows_no_band(loaded: Loaded) -> None:
    visited = field_inputs(loaded, field_reading())
    stopped = found(visited, "power-measured")
    assert stopped.case == "above-device"
    # 8.8 kW by nameplate; by hand gpm = 8.8 * 6.83 / 60 degF
    good = sent("2026-11-27", stages="4", flow="1.00 gpm", inlet="55 degF", outlet="115 degF")
    alone = told(replace(visited, records=()), good)
    assert [one.agrees for one in facts(alone).judged] == [True], "by itself it agrees"
    assert facts(alone).heat.band.input == facts(alone).stated_input
    both = told(visited, good)
    assert facts(both).judged[-1].record.sent
    assert found(both, "power-measured") == stopped


def test_one_of_a_day_with_a_visit_takes_no_place_of_the_visit(loaded: Loaded) -> None:
    day = max(one.date for one in loaded.inputs.records if one.site == SITE)
    given = told(loaded.inputs, sent(day.isoformat(), **WHOLE))
    site = next(one for one in given.sites if one.id == SITE)
    assert compute_site(site, given).visits[-1].points == compute_site(site, loaded.inputs).visits[-1].points


def test_one_before_the_heater_came_or_was_commissioned_says_nothing(loaded: Loaded) -> None:
    unit = {"model": "beck-9", "serial": "1", "since": datetime.date(2026, 11, 27)}
    heater = Installed.model_validate({"heaters": [unit]}).heaters
    assert not any(one.record.sent for one in facts(told(loaded.inputs, sent(**WHOLE), heaters=heater)).judged)
    early = told(loaded.inputs, sent("2020-01-01", **WHOLE))
    assert not any(one.record.sent for one in facts(early).judged)


def test_a_site_without_a_visit_is_judged_by_what_was_sent(loaded: Loaded) -> None:
    bare = told(replace(loaded.inputs, records=()), sent(**WHOLE))
    site = next(one for one in bare.sites if one.id == SITE)
    cases = {one.rule: one.case for one in judge_site(site, bare)}
    assert (cases["power-measured"], cases["commissioned"]) == ("differs", "none")

"""The judgement of readings from the field on a nominal 220 V unit, with ordinary instruments and nothing tuned.

The check values (power, current, explanations) are common practice, no source; the instruments are ordinary ones: a
thermometer of 1 degF that shows whole degrees, a flow meter of 3 %.
"""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Any

import pytest

from generator.build import Loaded
from generator.compute.band import Band, Ends
from generator.compute.record.judge import met_k
from generator.compute.site import compute_site
from generator.compute.verdict.status import status
from generator.model.figures import Finding
from generator.model.inputs import Inputs
from generator.model.readings import Reading, Record
from generator.model.results import SiteResult
from tests.compute.heat_cases import source
from tests.compute.record.visits import outlet_k
from tests.compute.wet_cases import GPM, kelvin

FIELD = source("field_readings")
SITE = "packing-house"
EXPECTED_W = (3815.0, 6159.0, 8796.0, 11431.0, 11867.0, 11862.0)


def field_reading(**changes: Any) -> Reading:
    tool = {"serial": "1", "calibrated_until": "2027-01-01"}
    points = [
        {"stages": str(stage), "flow": f"{gpm} gpm", "inlet": f"{inlet} degF", "outlet": f"{outlet} degF"}
        for gpm, inlet, stage, outlet in FIELD["readings"]
    ]
    given = {
        "kind": "commissioning",
        "serial": "1",
        "people": [{"part": "measurement", "role": "plumber", "licence": "on file"}],
        "instruments": {
            "thermometer": {"kind": "probe", "within": "1 delta_degF", "reads_to": "1 delta_degF", **tool},
            "flow_meter": {"kind": "meter", "share": "3 %", **tool},
        },
        "points": points,
        "result": "fit for use",
        "next_check": "2027-01-01",
    }
    return Reading.model_validate(given | changes)


def inputs(loaded: Loaded, reading: Reading | None) -> Inputs:
    """The demo with its four-stage heater on 220 V at 10 A a stage, and what was read of it."""
    given, volts = loaded.inputs, FIELD["supply_v"]
    heater = given.model("beck-9")
    power_w = volts * FIELD["stage_a"] * len(heater.stages)
    rating = heater.ratings[0].model_copy(update={"voltage_v": volts, "power_w": power_w})
    heater = heater.model_copy(update={"ratings": (rating,)})
    site = next(one for one in given.sites if one.id == SITE)
    supply = site.supply.model_copy(update={"voltage_v": volts, "voltage_range": None})
    route = site.route.model_copy(update={"length_m": 0.01})  # volts as at the heater
    site = site.model_copy(update={"supply": supply, "route": route, "decisions": ()})
    records = () if reading is None else (Record(SITE, datetime.date(2026, 11, 20), reading),)
    models = tuple(heater if one.id == heater.id else one for one in given.models)
    return replace(given, models=models, sites=(site,), records=records)


def result(loaded: Loaded, reading: Reading | None) -> SiteResult:
    given = inputs(loaded, reading)
    return compute_site(given.sites[0], given)


def found(of: SiteResult, rule: str) -> Finding:
    return next(one for one in (*of.findings, *of.measured) if one.rule == rule)


@pytest.fixture(scope="module")
def judged(loaded: Loaded) -> SiteResult:
    return result(loaded, field_reading())


def test_the_powers_by_enthalpy(judged: SiteResult) -> None:
    (visit,) = judged.visits
    assert [point.heat_w.best for point in visit.points] == pytest.approx(EXPECTED_W, abs=25.0)
    over = [point.heat_w.best / (FIELD["supply_v"] * FIELD["stage_a"] * point.stages) for point in visit.points]
    assert over[0] == pytest.approx(1.73, abs=0.01)
    assert over[3] == pytest.approx(1.30, abs=0.01)
    amps = [point.heat_w.best / FIELD["supply_v"] for point in visit.points if point.stages == 4]
    assert min(amps) >= 51.9 and max(amps) <= 54.0


def test_they_do_not_agree_and_every_explanation_that_remains_is_kept(judged: SiteResult) -> None:
    (visit,) = judged.visits
    assert all(one.causes for one in visit.explanations)
    kept = {(cause.code, cause.of) for one in visit.explanations for cause in one.causes}
    assert {("thermometer", ""), ("supply", ""), ("power", ""), ("flow-meter", ""), ("stage", "1")} <= kept
    values = {
        (estimate.cause.code, *(f"{cause.code} {cause.of}".strip() for cause in one.causes)): estimate.value
        for one in visit.explanations
        for estimate in one.estimates
    }
    assert 240.0 <= values["supply", "supply", "stage 1"] * FIELD["supply_v"] <= 250.0
    assert 1.0 < values["power", "power", "stage 1"] < 1.35
    assert 0.75 <= values["flow-meter", "flow-meter", "stage 1"] <= 0.9
    for other in ("power", "supply", "flow-meter"):
        assert 0.0 <= 1.8 * values["thermometer", other, "thermometer"] <= 4.0
    assert all(one.agreement >= 0.02 for one in visit.explanations)


def test_the_reading_that_decides_and_the_stop_until_it_is_taken(judged: SiteResult) -> None:
    power = found(judged, "power-measured")
    shown = {value.symbol: value.value for value in power.values}
    assert (power.severity, power.case) == ("stop", "above-device")
    assert shown["decides"] == "volts-amps"
    # Of the readings with all four stages on, 40 A at 220 V by the nameplate, the one that found most.
    assert shown["predicted"] == pytest.approx(4 * FIELD["stage_a"] * FIELD["supply_v"], rel=1e-3)
    assert shown["read"] == pytest.approx(max(EXPECTED_W), abs=25.0)
    assert shown["device"] == 50.0 and float(shown["current"]) > 50.0
    assert status(judged).word == "stop" and power.id in status(judged).findings


def test_no_ok_for_a_hottest_water_below_the_one_that_was_read(loaded: Loaded, judged: SiteResult) -> None:
    hottest, measured = found(judged, "hottest-water"), found(judged, "hottest-measured")
    assert (hottest.severity, hottest.case, measured.severity) == ("stop", "measured", "stop")
    met = next(float(value.value) for value in measured.values if value.symbol == "met")
    assert met >= kelvin(FIELD["scalds_f"])
    assert found(result(loaded, None), "hottest-measured").case == "none"


def test_volts_and_amps_as_the_rule_says_lift_the_stop_of_the_circuit(loaded: Loaded) -> None:
    """With 220 V and 40 A read at stage 4 the flow meter or the thermometer is wrong, and the circuit is sound."""
    points = [point.model_dump(by_alias=True, exclude_none=True) for point in field_reading().points]
    points[3] |= {"volts": {"L1-L2": 220.0}, "amps": {"A": {"L1": 40.0, "L2": 40.0}}}
    tools = field_reading().instruments.model_dump(by_alias=True, exclude_none=True)
    meter = {"kind": "meter", "serial": "1", "calibrated_until": "2027-01-01"}
    tools |= {"voltmeter": {**meter, "share": 0.01}, "clamp": {**meter, "share": 0.02}}
    again = result(loaded, field_reading(points=points, instruments=tools))
    power = found(again, "power-measured")
    assert power.case == "differs"
    codes = {cause.code for one in again.visits[0].explanations for cause in one.causes}
    assert "flow-meter" in codes and "supply" not in codes


def test_readings_that_nothing_explains_are_said_to_be_so(loaded: Loaded) -> None:
    """Two readings of one state that no one error, and no two, bring together."""
    points = [point.model_dump(by_alias=True, exclude_none=True) for point in field_reading().points]
    points[2] |= {"outlet": kelvin(60.0)}
    points[4] |= {"outlet": kelvin(80.0)}
    points[5] |= {"outlet": kelvin(150.0)}
    power = found(result(loaded, field_reading(points=points)), "power-measured")
    assert (power.case, power.severity) == ("unexplained", "attention")


def test_a_reading_is_carried_to_the_warmest_day_and_the_greatest_voltage() -> None:
    """137 degF from 56 degF at 220 V: the heat of 231 V, (231 / 220)^2 as much, into water of 70 degF, by CoolProp."""
    record = Record(SITE, datetime.date(2026, 11, 20), field_reading())
    warmest_k, one = kelvin(70.0), Ends(1.0, 1.0, 1.0)
    warmest, coldest = Ends(*[warmest_k] * 3), Ends(*[kelvin(50.0)] * 3)
    band = Band(Ends(209.0, 220.0, 231.0), one, one, coldest, warmest)
    flow_m3_s, heat_w = 1.0 * GPM, EXPECTED_W[5]
    by_hand = outlet_k(warmest_k, flow_m3_s, heat_w * (231.0 / 220.0) ** 2)
    assert met_k([record], band, 4, drops_out=()) == pytest.approx(by_hand, abs=0.15)
    assert met_k([record], band, 3, drops_out=()) == pytest.approx(
        outlet_k(warmest_k, 2.0 * GPM, EXPECTED_W[2] * (231.0 / 220.0) ** 2), abs=0.15
    )
    assert met_k([], band, 4, drops_out=()) is None


def test_what_was_found_as_a_tap_closed_is_carried_to_the_flow_at_which_the_next_stage_drops_out() -> None:
    """137 degF from 56 degF found at 1.00 gpm, where the fourth stage is off and the third drops out at 0.80 gpm:
    a quarter more rise is to come before it does; by CoolProp. As read, 0.90 gpm, the drop-out counts before the one
    stated."""
    hottest = {"stages": 4, "inlet": "56 degF", "outlet": "137 degF", "volts": "220 V", "flow": "1.00 gpm"}
    one, inlet = Ends(1.0, 1.0, 1.0), Ends(*[kelvin(56.0)] * 3)
    band, stated = Band(Ends(220.0, 220.0, 220.0), one, one, inlet, inlet), [0.3 * GPM, 0.5 * GPM, 0.8 * GPM, 1.1 * GPM]
    for switching, drop in (([], 0.80), ([{"stage": 3, "drops_out": "0.90 gpm"}], 0.90)):
        reading = field_reading(hottest=hottest, switching=switching)
        found = met_k([Record(SITE, datetime.date(2026, 11, 20), reading)], band, 4, drops_out=stated)
        by_hand = outlet_k(kelvin(56.0), drop * GPM, EXPECTED_W[5])
        assert found == pytest.approx(by_hand, abs=0.15)

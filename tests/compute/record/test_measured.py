"""What a visit's readings share, what their explanations come to, and which row holds which reading: by hand."""

from __future__ import annotations

import datetime
import math
from dataclasses import replace

import numpy as np
import pytest

from generator.build import Loaded
from generator.compute.band import Ends
from generator.compute.circuit.circuits import designed
from generator.compute.known import known
from generator.compute.record.decide import _by_stage, _volts_amps
from generator.compute.record.expected import expected
from generator.compute.record.explain import Layout, _scales
from generator.compute.record.judge import Judged, measured_input
from generator.compute.record.measure import measured_points
from generator.compute.record.observe import observations, predicted, shared
from generator.compute.record.passes import READ, _valve
from generator.compute.record.power_measured import _cause, _feed_power
from generator.model.readings import Record
from generator.model.records import Cause, Estimate, Explanation
from tests.compute.circuit_cases import basis
from tests.compute.record.test_records import record_of
from tests.compute.record.visits import AMPS, FLOW, THERMOMETER_K, VOLTS, circuits, reading
from tests.compute.wet_cases import model, site

# Half of the variance of what lies evenly between two limits is shared, half a reading's own: a limit over root 6.
HALF = 1.0 / math.sqrt(6.0)
POINT = {"flow": 1e-4, "inlet": 285.0, "outlet": 300.0}
ALL_ON = {"stages": 4, **POINT, "volts": {"L1-L2": 240.0}, "amps": {"A": {"L1": 40.0, "L2": 40.0}}}
SOUND = Explanation((), (), 0.0, 1, 1.0, (1.0,) * 6, (0.0,) * 6, 1.0, 0.0, 1.0, 1.0, 0.0)


def test_what_the_readings_of_a_visit_share() -> None:
    """JCGM 100:2008, 4.3.7 and 5.1.6: limits stated, evenly between them; a rise is the difference of two readings."""
    found = shared(circuits("beck-9"), reading([ALL_ON, ALL_ON | {"stages": 2, "flow": 2e-4, "outlet": 290.0}]), (0, 0))
    assert found.volts == pytest.approx((1.0, VOLTS * HALF))
    assert found.flow == pytest.approx(FLOW * HALF)
    assert found.amps == pytest.approx(AMPS * HALF)
    assert found.rise_k == pytest.approx(math.sqrt(2.0) * THERMOMETER_K * HALF)


def test_what_the_readings_share_is_that_of_the_least_sure_of_them() -> None:
    """A flow meter of 1e-6 m3/s either way is 1 % of the less flow and 0.5 % of the greater."""
    tool = {"kind": "of a test", "serial": "1", "calibrated_until": "2030-01-01"}
    tools = {"flow_meter": {**tool, "within": 1e-6}, "thermometer": {**tool, "within": 0.4}}
    points = [{"stages": 2, **POINT}, {"stages": 4, "flow": 2e-4, "inlet": 285.0, "outlet": 330.0}]
    found = shared(circuits("beck-9"), reading(points, instruments=tools), (0.95, 1.05))
    assert found.flow == pytest.approx(0.01 * HALF)


def test_volts_that_nobody_read_lie_evenly_between_the_ends_of_the_supply() -> None:
    """By hand: 236 to 252 V of 240 V are 0.9833 to 1.05, so 1.0167, and half of 0.0667 over root 3."""
    found = shared(circuits("beck-9"), reading([{"stages": 4, **POINT}]), (236.0, 252.0))
    assert found.volts == pytest.approx((244.0 / 240.0, 8.0 / 240.0 / math.sqrt(3.0)))
    assert not found.read


def test_volts_that_are_off_count_twice_in_heat() -> None:
    """Joule: heat goes with the square of the volts, so one part in a thousand of them is two of heat."""
    tool = {"kind": "of a test", "serial": "1", "calibrated_until": "2030-01-01"}
    exact = {"thermometer": {**tool, "within": 1e-9}, "flow_meter": {**tool, "within": 1e-15}}
    own = []
    for share in (1e-9, 0.06):
        given = reading([ALL_ON], instruments={**exact, "voltmeter": {**tool, "share": share}})
        own.append(next(one for one in observations(circuits("beck-9"), given) if one.kind == "heat"))
    added = math.sqrt(own[1].own ** 2 - own[0].own ** 2)
    assert added == pytest.approx(2.0 * 0.06 * HALF * own[0].ratio, rel=1e-6)


def test_each_reading_of_a_valve_is_held_to_the_row_of_its_fixture(loaded: Loaded) -> None:
    given = record_of(loaded, "creamery").reading
    first, second = given.valves
    valves = (replace_setting(first, 310.0), replace_setting(second, 315.0))
    given = given.model_copy(update={"valves": valves})
    facts = known(next(one for one in loaded.inputs.sites if one.id == "creamery"), loaded.inputs)
    rows = [row for row in expected(facts) if row.item == "valve-setting"]
    for read in (READ["valve-setting"], _valve(lambda one: one.setting_k)):
        assert {row.named("fixture"): read(given, row) for row in rows} == {first.fixture: 310.0, second.fixture: 315.0}


def replace_setting(valve, setting_k: float):  # type: ignore[no-untyped-def]
    return valve.model_copy(update={"setting_k": setting_k})


def test_a_rise_is_expected_of_each_stage_that_may_be_on_and_of_no_more(loaded: Loaded) -> None:
    """Two of four stages selected; all four selected at a flow that turns on two; the selector may be set lower."""
    spec = next(one for one in loaded.inputs.sites if one.id == "packing-house")
    (fixture,) = spec.fixtures
    two = loaded.inputs.model(spec.heater).stages[1].closes_at_m3_s
    slow = spec.model_copy(update={"fixtures": (fixture.model_copy(update={"flow_m3_s": 1.1 * two}),)})
    for place in (spec.model_copy(update={"selected_stage": 2}), slow):
        rises = [row.of[0].value for row in expected(known(place, loaded.inputs)) if row.item == "rise"]
        assert rises == [1.0, 2.0]


def test_the_fall_is_that_of_the_wire_there_until_another_is_installed(loaded: Loaded) -> None:
    """The bunkhouse has 8 AWG of copper and is to have 6 AWG: by Chapter 9, Table 8 of NFPA 70, 0.778 and 0.491 ohm/kft
    (read in public copies); the fall goes with them, and with the current that they leave."""
    facts = known(next(one for one in loaded.inputs.sites if one.id == "bunkhouse"), loaded.inputs)
    (there,), (after,) = (
        [row.value for row in expected(facts, replaced=replaced) if row.item == "volts-circuit"]
        for replaced in (False, True)
    )
    assert there and after
    assert float(there.value) / float(after.value) == pytest.approx(0.778 / 0.491, rel=0.02)


def judged(loaded: Loaded, *kept: Explanation) -> Judged:
    record = Record("packing-house", datetime.date(2026, 11, 20), record_of(loaded, "packing-house").reading)
    return Judged(record, (), kept, "none")


def test_readings_that_do_not_agree_widen_the_input_to_both_sides_and_never_narrow_it(loaded: Loaded) -> None:
    """Two deviations to either side (JCGM 100:2008, 6.3.3), the ends stated where they lie farther out."""
    stated, why = Ends(0.9, 1.0, 1.05), (Cause("power"),)
    low = replace(SOUND, causes=why, whole=0.8, whole_deviation=0.02)
    high = replace(SOUND, causes=why, whole=1.2, whole_deviation=0.03)
    near = replace(SOUND, causes=why, whole=1.0, whole_deviation=0.001)
    for kept, ends in (
        ((low, high), (0.76, 1.26)),
        ((low,), (0.76, 1.05)),
        ((high,), (0.9, 1.26)),
        ((near,), (0.9, 1.05)),
    ):
        taken = measured_input([judged(loaded, *kept)], stated, 4)
        assert (taken.least, taken.greatest) == pytest.approx(ends)


def test_the_power_of_a_feed_by_its_own_stages() -> None:
    """By hand: every stage of the first feed a fifth over its nameplate, those of the second as stated."""
    one, other = circuits("tarn-18")
    scales = tuple(1.2 if number in one.load.feed.stages else 1.0 for number in range(1, 7))
    explained = replace(SOUND, scales=scales)
    assert [_feed_power(each, explained) for each in (one, other)] == pytest.approx([1.2, 1.0])


def test_each_stage_s_power_is_its_own_times_that_of_all() -> None:
    values = np.array([0.9, 1.1, 0.8, 1.0, 1.0, 0.0, 1.0])
    scales, _ = _scales(values, np.eye(7), Layout(2))
    assert scales == pytest.approx((0.9 * 0.8, 1.1 * 0.8))


@pytest.mark.parametrize(
    ("code", "value", "shown", "kind"),
    [
        ("thermometer", 1.5, 1.5, "temperature_difference"),
        ("supply", 1.05, 1.05 * 240.0, "voltage"),
        ("power", 1.2, 1.2, "ratio"),
    ],
)
def test_what_a_cause_comes_to_has_its_kind(loaded: Loaded, code: str, value: float, shown: float, kind: str) -> None:
    facts = known(next(one for one in loaded.inputs.sites if one.id == "packing-house"), loaded.inputs)
    cause = Cause(code)  # type: ignore[arg-type]
    explained = replace(SOUND, causes=(cause,), estimates=(Estimate(cause, value, 0.1),))
    *_, found = _cause(facts, judged(loaded, explained), explained, cause=cause)
    assert (found.value, found.kind) == (pytest.approx(shown), kind)


@pytest.mark.parametrize(("volts", "whole", "apart"), [(1.07, 1.0, True), (1.05, 1.0, False), (1.05, 1.05, True)])
def test_volts_and_amps_tell_two_explanations_apart_by_either(volts: float, whole: float, apart: bool) -> None:
    """Volts as they are, amps with power and volts: 1.05 times 1.05 is 1.10."""
    assert _volts_amps(replace(SOUND, volts=volts, whole=whole), SOUND) is apart


@pytest.mark.parametrize(("second", "apart"), [(1.0, False), (1.05, False), (0.95, False), (1.07, True), (0.93, True)])
def test_amps_by_stage_tell_two_explanations_apart_where_one_stage_differs(second: float, apart: bool) -> None:
    """By hand: one stage of six, more than 6 % from the other's to either side."""
    assert _by_stage(replace(SOUND, scales=(1.0, second, *SOUND.scales[2:])), SOUND) is apart


@pytest.mark.parametrize("on", [1, 2, 3, 4])
def test_what_a_point_is_held_against_is_the_power_of_its_stages(on: int) -> None:
    """A quarter of 9.6 kW each, at the 240 V of the nameplate."""
    (found,) = measured_points(circuits("beck-9"), reading([ALL_ON | {"stages": on}]), 360.0)
    unit = model("beck-9")
    rating = next(one for one in unit.ratings if one.voltage_v == 240.0)
    shares = sum(stage.share for stage in unit.stages[:on])
    assert found.predicted_w == pytest.approx(rating.power_w * shares, rel=1e-4)


@pytest.mark.parametrize(
    ("volts", "at_panel", "supply_v", "ohm"),
    [
        (None, False, 240.0, 0.0747),  # nobody read them: the supply, which the wire takes its part of
        (None, True, 240.0, 0.0747),
        (236.0, True, 236.0, 0.0747),
        (236.0, False, 236.0, 0.0),  # at the heater: the wire has taken its part already
    ],
)
def test_the_wire_takes_its_part_of_all_volts_but_those_read_at_the_heater(
    volts: float | None, at_panel: bool, supply_v: float, ohm: float
) -> None:
    """Ohm and Joule: 9.6 kW at 240 V are 6 ohm; 48 ft of 8 AWG, 0.778 ohm/kft (NFPA 70 chapter 9 table 8, from memory),
    are 0.0747 ohm both ways."""
    (circuit,) = designed(site("packing-house"), model("beck-9"), basis("us"))
    found = predicted(circuit, range(1, 5), volts, at_panel=at_panel)
    assert found and found.power_w == pytest.approx(supply_v**2 * 6.0 / (6.0 + ohm) ** 2, rel=1e-5)

"""Volts at the heater from no load to full load, and the other fields of a visit that a limit of their own judges."""

from __future__ import annotations

from typing import Any

import pytest

from generator.build import Loaded
from generator.model.records import Expected
from tests.compute.record.test_records import METRIC, SOUND, changed, computed, finding, listed, record_of, rows

THREE = "creamery"
DAYS = {SOUND: "2026-11-20", METRIC: "2025-11-10", THREE: "2026-04-14"}


def ends(row: Expected) -> tuple[float, float, float]:
    assert row.value is not None and row.least is not None and row.greatest is not None
    return float(row.value.value), float(row.least.value), float(row.greatest.value)


def circuit(loaded: Loaded, site: str, **changes: Any) -> list[dict[str, Any]]:
    first, *others = record_of(loaded, site).reading.circuits
    given = first.model_dump(by_alias=True, exclude_none=True)
    dumped = [one.model_dump(by_alias=True, exclude_none=True) for one in others]
    return [{key: value for key, value in (given | changes).items() if value is not None}, *dumped]


def failed_with(loaded: Loaded, site: str, **changes: Any) -> list[str]:
    reading = changed(record_of(loaded, site).reading, {"circuits": circuit(loaded, site, **changes)})
    return listed(finding(computed(loaded, site, (DAYS[site], reading))), "failed")


def test_the_fall_by_hand(loaded: Loaded) -> None:
    """48 ft of 8 AWG, 0.778 ohm/kft (NFPA 70 chapter 9 table 8, from memory): 0.0747 ohm both ways before 6 ohm on
    240 V, so 2.95 V; 1 % of 240 V less, and 3 % more."""
    fall = 240.0 * 0.0747 / 6.0747
    (row,) = rows(computed(loaded, SOUND), "volts-full-load")
    assert ends(row) == pytest.approx((fall, fall - 2.4, fall + 7.2), abs=5e-3)
    (alone,) = rows(computed(loaded, SOUND), "volts-circuit")
    assert ends(alone) == pytest.approx((fall, fall - 2.4, fall + 2.4), abs=5e-3)
    assert (row.asked, alone.asked) == (True, False)


def test_three_phases_fall_by_root_three_times_what_a_line_loses(loaded: Loaded) -> None:
    """By hand: I = P / (root 3 V) of half the heater a feed, root 3 I R across two lines; every pair of each feed."""
    result = computed(loaded, THREE)
    found = rows(result, "volts-full-load")
    pairs = [(row.named("feed"), row.named("pair")) for row in found]
    assert pairs == [(feed, pair) for feed in "AB" for pair in ("L1-L2", "L2-L3", "L3-L1")]
    site = next(one for one in loaded.inputs.sites if one.id == THREE)
    ohm = 1.24 * 3.280840 / 1000.0 * site.route.length_m  # 10 AWG, NFPA 70 chapter 9 table 8, from memory
    of_line = 208.0**2 / 6750.0
    for row in found:
        assert ends(row)[0] == pytest.approx(208.0 * ohm / (of_line + ohm), rel=5e-3)


@pytest.mark.parametrize("site", [SOUND, METRIC, THREE])
def test_the_fall_is_the_voltage_drop_of_the_page(loaded: Loaded, site: str) -> None:
    """Where every stage is in use and the circuit stays."""
    result = computed(loaded, site)
    for one in result.circuits:
        (shown,) = (figure for figure in one.extra if figure.id.endswith(".drop"))
        falls = [ends(row)[0] for row in rows(result, "volts-full-load") if row.named("feed") == one.name]
        assert falls and falls == pytest.approx([shown.value] * len(falls), rel=1e-9)


@pytest.mark.parametrize(
    ("full_load", "test"),
    [
        (239.5, []),
        (230.2, []),
        (229.7, ["volts-full-load"]),
        (239.8, ["volts-full-load"]),
        (241.0, ["volts-full-load"]),
    ],
)
def test_a_fall_passes_between_its_limits(loaded: Loaded, full_load: float, test: list[str]) -> None:
    """From 240.2 V: 0.55 V at least and 10.15 V at most."""
    volts = {"no_load": {"L1-L2": 240.2}, "full_load": {"L1-L2": full_load}}
    assert failed_with(loaded, SOUND, volts=volts) == test


@pytest.mark.parametrize(("panel", "test"), [(238.5, []), (235.8, ["volts-circuit"]), (237.6, [])])
def test_where_the_panel_was_read_too_service_and_feeder_are_left_out(
    loaded: Loaded, panel: float, test: list[str]
) -> None:
    """A weak service takes 10 V: no fault of this circuit, whose own 2.95 V is what is left, give or take 2.4 V."""
    heater = 237.6 - 2.95 if not test else 230.0
    volts = {"no_load": {"L1-L2": 248.0}, "full_load": {"L1-L2": heater}, "panel": {"L1-L2": panel}}
    assert failed_with(loaded, SOUND, volts=volts) == test


def test_one_pair_of_one_feed_is_enough_to_fail(loaded: Loaded) -> None:
    rest = {"L1-L2": 211.0, "L2-L3": 211.0, "L3-L1": 211.0}
    full = {"L1-L2": 206.5, "L2-L3": 199.0, "L3-L1": 206.5}
    assert failed_with(loaded, THREE, volts={"no_load": rest, "full_load": full}) == ["volts-full-load"]


@pytest.mark.parametrize(
    ("site", "changes", "test"),
    [
        (SOUND, {"insulation": {"volts": 250.0, "least": 2e8}}, "insulation-volts"),
        (SOUND, {"interrupting": 5000.0, "fault_current": 5100.0}, "interrupting"),
        (
            METRIC,
            {"residual_current": {"rated": 0.1, "trips": 0.024, "trips_at_5": 0.011, "button": True}},
            "residual-current-rated",
        ),
    ],
)
def test_each_further_field_of_a_circuit_has_its_limit(
    loaded: Loaded, site: str, changes: dict[str, Any], test: str
) -> None:
    assert failed_with(loaded, site, **changes) == [test]
    assert failed_with(loaded, site) == []


@pytest.mark.parametrize("lacking", ["interrupting", "fault_current"])
def test_what_a_device_interrupts_fails_nothing_where_half_of_it_was_read(loaded: Loaded, lacking: str) -> None:
    """Neither the device's rating nor the fault current says anything without the other, and neither is asked for."""
    reading = changed(record_of(loaded, SOUND).reading, {"circuits": circuit(loaded, SOUND, **{lacking: None})})
    assert finding(computed(loaded, SOUND, ("2026-11-20", reading))).case == "holds"


@pytest.mark.parametrize(
    ("changes", "test"),
    [
        ({"leak": {"pressure": 1.1e6, "time": 1200.0, "drop": 0.0}}, "leak-pressure"),
        ({"handed_over": {"users_shown": True, "card_fixed": False, "labels_fixed": True}}, "handed-over"),
    ],
)
def test_test_pressure_and_handing_over_have_theirs(loaded: Loaded, changes: dict[str, Any], test: str) -> None:
    """The heater stands 150 psi, 1.034 MPa."""
    reading = changed(record_of(loaded, SOUND).reading, changes)
    assert listed(finding(computed(loaded, SOUND, ("2026-11-20", reading))), "failed") == [test]


def test_a_commissioning_without_them_is_not_complete(loaded: Loaded) -> None:
    reading = record_of(loaded, SOUND).reading
    lacking = changed(reading, {"circuits": circuit(loaded, SOUND, volts=None), "handed_over": None})
    found = finding(computed(loaded, SOUND, ("2026-11-20", lacking)))
    assert (found.case, listed(found, "missing")) == ("incomplete", ["volts-full-load", "handed-over"])


def test_volts_beyond_the_voltmeter_are_doubtful_and_those_above_the_supply_are_told(loaded: Loaded) -> None:
    volts = {"no_load": {"L1-L2": 251.0}, "full_load": {"L1-L2": 248.0}}
    reading = changed(record_of(loaded, SOUND).reading, {"circuits": circuit(loaded, SOUND, volts=volts)})
    assert finding(computed(loaded, SOUND, ("2026-11-20", reading)), "supply-measured").case == "above"
    tools = reading.instruments.model_dump(by_alias=True, exclude_none=True)
    tools["voltmeter"] |= {"greatest": 250.0}
    result = computed(loaded, SOUND, ("2026-11-20", changed(reading, {"instruments": tools})))
    (visit,) = result.visits
    assert [(one.code, one.instrument) for one in visit.doubts] == [("range-full-load", "voltmeter")]


def test_the_order_of_the_lines_is_asked_for_where_there_are_three(loaded: Loaded) -> None:
    assert [row.named("feed") for row in rows(computed(loaded, THREE), "phase-sequence")] == ["A", "B"]
    assert rows(computed(loaded, SOUND), "phase-sequence") == []


def test_a_device_that_interrupts_just_the_fault_current_passes(loaded: Loaded) -> None:
    """A rating not below the current at its line terminals is enough: NFPA 70 110.9, from memory."""
    assert failed_with(loaded, SOUND, interrupting=5000.0, fault_current=5000.0) == []

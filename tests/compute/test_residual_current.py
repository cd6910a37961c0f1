"""Residual-current protection on the IEC basis: never "nothing to do" where nobody knows what clears a fault.

Limits by IEC 60364-7-701 (30 mA), 60364-7-705 (300 mA), 60364-4-41 415.1 (30 mA outdoors) and the disconnection times
of 60364-4-41 table 41.1 (0.4 s in TN, 0.2 s in TT systems at 230 V): all from memory.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from pydantic import ValidationError

from generator.compute.circuit.circuits import site_circuits
from generator.compute.circuit.iec.residual_current import disconnection_s
from generator.model.figures import Finding
from generator.model.tables.basis_header import Guards, ResidualCurrents
from tests.compute.circuit_cases import basis, demo_model, demo_site, metric_heater, metric_site
from tests.finding_texts import said

RULE = "residual-current-protection"
AGRICULTURAL = {"occupancy": "agricultural", "kind": "damp"}


def judged(earthing: str | None, device: str | None, **place: str) -> Finding:
    at = metric_site(place=place)
    supply = at.supply.model_copy(update={"system": earthing, "residual_current_device": device})
    _, findings = site_circuits(at.model_copy(update={"supply": supply}), metric_heater(), basis("iec"))
    return next(one for one in findings if one.rule == RULE)


@pytest.mark.parametrize(
    ("earthing", "device", "place", "severity"),
    [
        (None, None, {}, "attention"),
        (None, None, AGRICULTURAL, "attention"),
        ("TN-S", None, {}, "attention"),
        (None, "30 mA", {}, "attention"),
        ("TT", None, {}, "attention"),
        ("TN-S", "30 mA", {}, "ok"),
        ("TN-S", "500 mA", {}, "ok"),
        ("TT", "300 mA", {}, "ok"),
        ("IT", "30 mA", {}, "attention"),
        ("TN-C-S", "300 mA", AGRICULTURAL, "ok"),
        ("TN-C-S", "500 mA", AGRICULTURAL, "stop"),
        (None, "500 mA", AGRICULTURAL, "stop"),
        ("TN-S", "30 mA", {"kind": "bathroom"}, "ok"),
        ("TN-S", "100 mA", {"kind": "bathroom"}, "stop"),
        ("TN-S", "100 mA", {"kind": "outdoor"}, "stop"),
    ],
)
def test_severity(earthing: str | None, device: str | None, place: dict[str, str], severity: str) -> None:
    assert judged(earthing, device, **place).severity == severity


@pytest.mark.parametrize(
    ("earthing", "to_earth_v", "device_a", "seconds"),
    [
        ("TN-S", 120.0, 32.0, 0.8),
        ("TT", 120.0, 32.0, 0.3),
        ("TN-S", 230.0, 32.0, 0.4),
        ("TN-S", 230.1, 32.0, 0.2),
        ("TN-C-S", 240.0, 16.0, 0.2),
        ("TT", 240.0, 16.0, 0.07),
        ("TN-S", 400.0, 32.0, 0.2),
        ("TN-S", 400.1, 32.0, None),
        ("TN", 230.0, 16.0, 0.4),
        ("TN-S", 240.0, 32.1, 5.0),
        ("TT", 240.0, 40.0, 1.0),
        ("IT", 230.0, 16.0, None),
    ],
)
def test_the_time_depends_on_system_voltage_and_device(
    earthing: str, to_earth_v: float, device_a: float, seconds: float | None
) -> None:
    """60364-4-41 table 41.1, 411.3.2.2 to 411.3.2.4, from memory."""
    assert disconnection_s(basis("iec").tables, earthing, to_earth_v, device_a=device_a) == seconds


def test_a_supply_of_240_v_has_the_time_of_its_own() -> None:
    supply = {"voltage": "240 V"}
    results, findings = site_circuits(metric_site(supply=supply), metric_heater("7.2 kW", "240 V"), basis("iec"))
    found = next(one for one in findings if one.rule == RULE)
    assert {value.symbol: value.value for value in found.values}["time"] == 0.2
    assert "is of type A or better" in said(found, "do")
    (asked,) = (one for one in results[0].extra if one.id.endswith("residual-current-type"))
    assert asked.value == "A" and "531.3.3" in asked.steps[0].source, "IEC 60364-5-53 531.3.3, from memory"


def test_of_three_lines_the_voltage_to_earth_counts() -> None:
    """400 V between lines is 230.9 V to earth by its nominal value of 230 V."""
    supply = {"voltage": "400 V", "phases": "3"}
    _, findings = site_circuits(metric_site(supply=supply), metric_heater("9 kW", "400 V", 3), basis("iec"))
    found = next(one for one in findings if one.rule == RULE)
    assert {value.symbol: value.value for value in found.values}["time"] == 0.4


@pytest.mark.parametrize(("earthing", "seconds"), [("TN-S", 0.4), ("TN-C-S", 0.4), ("TT", 0.2)])
def test_there_is_always_something_to_measure(earthing: str, seconds: float) -> None:
    found = judged(earthing, "30 mA")
    assert "loop impedance" in said(found, "do")
    assert "disconnection time" in said(found, "do")
    assert {value.symbol: value.value for value in found.values}["time"] == seconds


def test_the_part_for_farms_is_named() -> None:
    told: Any = judged(None, None, **AGRICULTURAL)
    assert "max allowed: 300 mA (IEC 60364-7-705 2006, 705.411.1)." in said(told)
    assert "705" in told.source
    assert said(told, "do").startswith(
        "Have an electrician find out, and state, `system and residual_current_device` of the supply. Have a "
        "residual-current device of 300 mA or less fitted where the place,"
    )
    assert "Have a residual-current device fitted where" in said(judged("TN-S", None), "do")
    assert "designer" not in said(judged("TN-S", None), "do")
    assert said(judged("IT", "30 mA"), "do").startswith("Have a designer of IT systems judge")


def test_the_demo_states_both() -> None:
    at = demo_site("seedling-house")
    assert (at.supply.earthing, at.place.occupancy) == ("TN-S", "agricultural")
    _, findings = site_circuits(at, demo_model(at.heater), basis("iec"))
    assert {one.rule: one.severity for one in findings}[RULE] == "ok"


def test_another_system_or_device_is_refused() -> None:
    for supply in ({"system": "TN-X"}, {"residual_current_device": "31 mA"}):
        with pytest.raises(ValidationError):
            metric_site(supply=supply)


@pytest.mark.parametrize(
    ("what", "place"),
    [("bathroom", {"kind": "bathroom"}), ("outdoor", {"kind": "outdoor"}), ("agricultural", AGRICULTURAL)],
)
def test_the_basis_says_how_large_the_device_may_be(what: str, place: dict[str, str]) -> None:
    stricter = {"bathroom": "10 mA", "outdoor": "10 mA", "agricultural": "100 mA"}
    usual = {"bathroom": "30 mA", "outdoor": "30 mA", "agricultural": "300 mA"}
    assert basis("iec").header.guards.residual_current == ResidualCurrents.model_validate(usual), "from memory"
    limits = ResidualCurrents.model_validate(usual | {what: stricter[what]})
    header = basis("iec").header.model_copy(update={"guards": Guards(residual_current=limits)})
    at = metric_site(place=place)
    at = at.model_copy(
        update={"supply": at.supply.model_copy(update={"system": "TN-S", "residual_current_device": usual[what]})}
    )
    _, findings = site_circuits(at, metric_heater(), replace(basis("iec"), header=header))
    found = next(one for one in findings if one.rule == RULE)
    assert (found.case, found.severity) == ("too-large", "stop")
    assert f"max allowed: {stricter[what]} (" in said(found)
    assert judged("TN-S", usual[what], **place).severity == "ok"

"""Where devices that guard people and wiring are asked for: NFPA 70 (2023), of which secondary copies were read."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from generator.compute.circuit.circuits import site_circuits
from generator.model.tables.basis_header import Guards
from tests.compute.circuit_cases import basis, heater, site
from tests.compute.test_circuit_findings import us
from tests.finding_texts import said

ARC, GROUND = {"device": "20 A", "voltage": "130 V"}, {"device": "50 A", "voltage_to_ground": "150 V"}
SMALL = {"exempt": "1 gal"}
HOUSE = {"occupancy": "dwelling", "building": "house"}


@pytest.mark.parametrize(
    ("place", "supply", "case"),
    [
        ({"occupancy": "dwelling", "kind": "outdoor"}, {}, "asked"),
        ({"occupancy": "dwelling", "kind": "outdoor", "building": "garage"}, {}, "asked"),
        ({"occupancy": "dwelling", "building": "garage"}, {}, "asked-perhaps"),
        ({"occupancy": "dwelling", "building": "accessory building"}, {}, "asked-perhaps"),
        ({"occupancy": "dwelling", "building": "boathouse", "kind": "damp"}, {}, "asked-perhaps"),
        ({"occupancy": "dwelling", "building": "accessory building", "kind": "bathroom"}, {}, "asked-perhaps"),
        ({"occupancy": "dwelling"}, {}, "building-not-stated"),
        ({"occupancy": "dwelling", "kind": "damp"}, {}, "building-not-stated"),
        # Rooms that an outbuilding can have too: a bunkhouse has its bath and its kitchen.
        ({"occupancy": "dwelling", "kind": "bathroom"}, {}, "building-not-stated"),
        ({"occupancy": "dwelling", "kind": "kitchen"}, {}, "building-not-stated"),
        (HOUSE, {}, "not-named"),
        (HOUSE | {"kind": "kitchen"}, {}, "not-named"),
        (HOUSE | {"kind": "bathroom"}, {}, "local"),
        ({"occupancy": "other", "building": "garage"}, {}, "not-named"),
        ({"occupancy": "other", "kind": "outdoor"}, {}, "local"),
        # 240 V to ground on a corner-grounded delta, above 150 V.
        ({"occupancy": "dwelling", "kind": "outdoor"}, {"system": "corner-grounded delta"}, "local"),
    ],
)
def test_the_places_that_the_clause_names(place: dict[str, str], supply: dict[str, Any], case: str) -> None:
    found = us({}, {"place": place, "supply": supply})["ground-fault-protection"]
    assert (found.case, found.severity) == (case, "ok" if case == "not-named" else "attention")


def test_only_single_phase_circuits_to_50_a() -> None:
    outdoors = {"place": {"occupancy": "dwelling", "kind": "outdoor"}}
    three = us({"phases": 3, "voltage": "208 V"}, outdoors | {"supply": {"voltage": "208 V", "phases": "3"}})
    assert three["ground-fault-protection"].case == "local"
    assert us({"power": "11.52 kW"}, outdoors)["ground-fault-protection"].case == "local"  # 48 A on 60 A
    at_50_a = us({}, outdoors)["ground-fault-protection"]
    assert "also where a heater is replaced" in said(at_50_a)


def judged_on(guards: dict[str, Any], model: dict[str, Any], changes: dict[str, Any]) -> dict[str, str]:
    """The case by rule on a basis of the family that states other limits."""
    other = basis("us")
    header = other.header.model_copy(update={"guards": Guards.model_validate({"limiter": SMALL} | guards)})
    _, findings = site_circuits(site(**changes), heater(**model), replace(other, header=header))
    return {found.rule: found.case for found in findings}


@pytest.mark.parametrize(
    ("device", "volts", "case"),
    [("50 A", "139 V", "asked"), ("49 A", "139 V", "local"), ("50 A", "138 V", "local"), ("60 A", "150 V", "asked")],
)
def test_the_basis_says_up_to_where_ground_faults_are_guarded_against(device: str, volts: str, case: str) -> None:
    """40 A on two lines of a 240 V wye: a 50 A breaker, 240 / √3 = 138.6 V to ground, by hand."""
    limits = {"ground_fault": {"device": device, "voltage_to_ground": volts}, "arc_fault": ARC}
    outdoors = {"place": {"occupancy": "dwelling", "kind": "outdoor"}}
    assert judged_on(limits, {}, outdoors)["ground-fault-protection"] == case


@pytest.mark.parametrize(
    ("device", "volts", "case"),
    [("15 A", "120 V", "asked"), ("20 A", "119 V", "not-named"), ("20 A", "120 V", "asked")],
)
def test_the_basis_says_up_to_where_arcs_are_guarded_against(device: str, volts: str, case: str) -> None:
    """12 A at 120 V are a 15 A breaker, by hand."""
    limits = {"ground_fault": GROUND, "arc_fault": {"device": device, "voltage": volts}}
    kitchen = {"place": HOUSE | {"kind": "kitchen"}, "supply": {"voltage": "120 V", "neutral_present": "yes"}}
    assert judged_on(limits, {"power": "1.44 kW", "voltage": "120 V"}, kitchen)["arc-fault-protection"] == case


def test_a_breaker_above_the_limit_of_arc_faults_is_not_asked_for() -> None:
    limits = {"ground_fault": GROUND, "arc_fault": {"device": "19 A", "voltage": "130 V"}}
    kitchen = {"place": HOUSE | {"kind": "kitchen"}, "supply": {"voltage": "120 V", "neutral_present": "yes"}}
    on_20_a = {"power": "1.92 kW", "voltage": "120 V"}  # 16 A, which times 1.25 is 20 A
    assert judged_on(limits, on_20_a, kitchen)["arc-fault-protection"] == "not-named"


def test_the_united_states_basis_states_the_limits_of_its_clauses() -> None:
    """210.8(F): 50 A and 150 V to ground; 210.12: 20 A at 120 V, here up to 130 V in service. Secondary copies.

    422.47, exception 2: 4 L (1 gal), in secondary copies of the editions of 2017, 2020 and 2023; a gallon is 231 in3.
    """
    guards = basis("us").header.guards
    assert guards.ground_fault and guards.arc_fault and guards.limiter
    assert guards.limiter.exempt_m3 == pytest.approx(231 * 0.0254**3, rel=1e-12)
    assert (guards.ground_fault.device_a, guards.ground_fault.to_ground_v) == (50.0, 150.0)
    assert (guards.arc_fault.device_a, guards.arc_fault.voltage_v) == (20.0, 130.0)

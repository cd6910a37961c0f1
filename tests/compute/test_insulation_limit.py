"""The continuous load against the insulation's own column, before any correction: NFPA 70 210.19(A)(1).

Ampacities of table 310.16 at 60 degC, copper: 8 AWG 40 A, 6 AWG 55 A, 4 AWG 70 A (from memory).
"""

from __future__ import annotations

import pytest

from generator.compute.circuit.circuits import site_circuits
from generator.model.results import CircuitResult
from tests.compute.circuit_cases import basis, heater, site
from tests.finding_texts import speaker


def circuit(power: str, **route: str) -> CircuitResult:
    laid = {"method": "emt", "insulation": "TW", "ambient": "86 degF", "terminations": "75 degC"} | route
    (found,), _ = site_circuits(site(route=laid), heater(power), basis("us"))
    return found


@pytest.mark.parametrize(
    ("power", "size"),
    [
        ("11 kW", "4 AWG"),  # 45.8 A, 57.3 A at 125 %: above the 55 A of 6 AWG
        ("10.56 kW", "6 AWG"),  # 44 A, 55 A: exactly what it carries
        ("10.57 kW", "4 AWG"),
        ("7.68 kW", "8 AWG"),  # 32 A, 40 A
        ("7.69 kW", "6 AWG"),
    ],
)
def test_insulation_below_the_terminals_governs(power: str, size: str) -> None:
    assert circuit(power).conductor.value == size


def test_the_rule_is_named_with_its_clause() -> None:
    found = speaker().worded(circuit("11 kW"))
    assert found.governing.startswith("insulation limit")
    assert "210.19(A)(1)" in found.governing
    assert any("insulation limit" in step.formula for step in found.conductor.steps)


@pytest.mark.parametrize("ambient", ["60 degF", "50 degF"])
def test_a_cool_route_does_not_lift_the_uncorrected_limit(ambient: str) -> None:
    assert circuit("11 kW", ambient=ambient).conductor.value == "4 AWG"


def test_an_existing_conductor_is_judged_by_it_too() -> None:
    old = {"device": "60 A", "poles": "2", "conductor": "6 AWG", "ground": "10 AWG"}
    at = site(route={"method": "emt", "insulation": "TW", "ambient": "86 degF"}, existing_circuit=old)
    _, findings = site_circuits(at, heater("11 kW"), basis("us"))
    assert {finding.rule: finding.severity for finding in findings}["existing-conductor"] == "stop"


def test_insulation_above_the_terminals_changes_nothing() -> None:
    assert circuit("11 kW", insulation="THWN-2").conductor.value == "6 AWG"

"""What a clamp on one feed's line shows: per feed, per stage of the heater, after the voltage drop."""

from __future__ import annotations

import math

import pytest

from generator.compute.circuits import model_circuits, site_circuits
from generator.model.results import CircuitResult
from tests.compute.circuit_cases import basis, demo_model, demo_site, heater, site

# Ohm's law by hand, wire in series with element (NFPA 70 2023, Chapter 9 table 8: 8 AWG copper 0.778 ohm/kft, from
# memory): 9.6 kW at 240 V is 6 ohm, 50 ft of 8 AWG there and back 0.0778 ohm.
HAND_A = 240.0 / (6.0 + 2 * 0.050 * 0.778)


def on(**changes: object) -> CircuitResult:
    (circuit,), _ = site_circuits(site(route={"length": "50 ft"}, **changes), heater(), basis("us"))
    return circuit


def test_a_clamp_shows_the_current_after_the_drop() -> None:
    assert on().conductor.value == "8 AWG"
    assert on().expected_current.value == pytest.approx(HAND_A, rel=1e-3)
    assert float(on().expected_current.value or 0) < float(on().load_current.value or 0)


def test_the_conductor_in_the_run_counts_where_a_circuit_exists() -> None:
    existing = {"device": "50 A", "poles": "2", "conductor": "4 AWG", "ground": "8 AWG"}
    assert float(on(existing_circuit=existing).expected_current.value or 0) > HAND_A * 1.001


@pytest.mark.parametrize("name", ["creamery", "seedling-house", "packing-house"])
def test_demo_sites_tell_every_stage_and_the_selected_one(name: str) -> None:
    at = demo_site(name)
    model = demo_model(at.heater)
    circuits, _ = site_circuits(at, model, basis(at.code_basis or "us"))
    for circuit in circuits:
        currents = [float(figure.value or 0.0) for figure in circuit.expected_by_stage]
        assert len(currents) == len(model.stages)
        assert currents == sorted(currents)
        assert circuit.expected_current.value == currents[(at.selected_stage or len(currents)) - 1]
        assert circuit.expected_current.steps[-1].result.value == circuit.expected_current.value


def test_each_feed_of_two_carries_its_own_share_and_none_of_the_other() -> None:
    """13.5 kW on two feeds of three phases: 6.75 kW each, 18.7 A (P / (sqrt(3) V)); the heater together twice that."""
    circuits, _ = site_circuits(demo_site("creamery"), demo_model("tarn-18"), basis("us"))
    whole = 6750.0 / (math.sqrt(3.0) * 208.0)
    assert all(0.97 * whole < float(one.expected_current.value or 0) < whole for one in circuits)
    first, second = circuits
    assert float(first.expected_by_stage[0].value or 0) > 0.0
    assert second.expected_by_stage[0].value == 0.0
    assert second.expected_by_stage[0].steps
    assert first.expected_by_stage[1].value == first.expected_by_stage[0].value


def test_a_model_tells_each_feed_at_each_rating_without_a_run() -> None:
    circuits = model_circuits(demo_model("tarn-18"), basis("us"))
    assert len(circuits) == 6
    for circuit in circuits:
        assert circuit.expected_current.value == pytest.approx(circuit.load_current.value)


def test_where_the_circuit_must_not_be_built_no_current_is_expected() -> None:
    (circuit,), _ = site_circuits(site(), heater("2.88 kW", "120 V"), basis("us"))
    for figure in (circuit.expected_current, *circuit.expected_by_stage):
        assert (figure.value, figure.state) == (None, "stop")

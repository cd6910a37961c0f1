"""What a clamp on one feed's line shows: per feed, per stage of the heater, after the voltage drop."""

from __future__ import annotations

import math
from itertools import chain

import numpy as np
import pytest

from generator.compute.circuit.circuits import model_circuits, site_circuits
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
        currents = [max(float(figure.value or 0.0) for figure in row) for row in circuit.line_currents]
        assert len(currents) == len(model.stages)
        assert currents == sorted(currents)
        selected = currents[(at.selected_stage or len(currents)) - 1]
        assert circuit.expected_current.value == pytest.approx(selected, rel=1e-12)
        assert circuit.expected_current.steps[-1].result.value == circuit.expected_current.value


def test_each_feed_of_two_carries_its_own_share_and_none_of_the_other() -> None:
    """13.5 kW on two feeds of three phases: 6.75 kW each, 18.7 A (P / (sqrt(3) V)); the heater together twice that."""
    circuits, _ = site_circuits(demo_site("creamery"), demo_model("tarn-18"), basis("us"))
    whole = 6750.0 / (math.sqrt(3.0) * 208.0)
    assert all(0.97 * whole < float(one.expected_current.value or 0) < whole for one in circuits)
    first, second = circuits
    assert float(first.line_currents[0][0].value or 0) > 0.0
    assert all(figure.value == 0.0 and figure.steps for figure in second.line_currents[0])
    assert [one.value for one in first.line_currents[1]] == [one.value for one in first.line_currents[0]]


def test_of_lines_that_carry_the_same_the_first_is_named() -> None:
    """One stage across each pair: three like currents, which differ in the last digits of a float alone."""
    for circuit in site_circuits(demo_site("creamery"), demo_model("tarn-18"), basis("us"))[0]:
        assert circuit.expected_current.steps[-1].result.symbol == "I_L1"


def test_a_model_tells_each_feed_at_each_rating_without_a_run() -> None:
    circuits = model_circuits(demo_model("tarn-18"), basis("us"))
    assert len(circuits) == 6
    for circuit in circuits:
        assert circuit.expected_current.value == pytest.approx(circuit.load_current.value)


def test_where_the_circuit_must_not_be_built_no_current_is_expected() -> None:
    (circuit,), _ = site_circuits(site(), heater("2.88 kW", "120 V"), basis("us"))
    for figure in (circuit.expected_current, *chain(*circuit.line_currents)):
        assert (figure.value, figure.state) == (None, "stop")


# Creamery: stages of 2.25 kW at 208 V across pairs of lines, 110 ft of 10 AWG copper (1.24 ohm/kft, NFPA 70 2023,
# Chapter 9 table 8, from memory).
ELEMENT_OHM, WIRE_OHM = 208.0**2 / 2250.0, 0.110 * 1.24
PAIR = {1: 0, 2: 1, 3: 2, 4: 0, 5: 1, 6: 2}  # 0: L1-L2, 1: L2-L3, 2: L3-L1
FEEDS = {"A": (1, 3, 5), "B": (2, 4, 6)}


def phasors(closed: tuple[int, ...]) -> list[float]:
    """Amperes on L1, L2, L3 by Ohm's and Kirchhoff's laws in numpy: unknown are the currents of the elements.

    An arrangement of the equations other than the program's, which solves for the voltages of the lines.
    """
    emf = 208.0 * np.exp(-2j * np.pi * np.arange(3) / 3)  # L1-L2, L2-L3, L3-L1
    lines = np.array([[1, 0, -1], [-1, 1, 0], [0, -1, 1]])  # line current = element current leaving less arriving
    ohms = WIRE_OHM * lines.T @ lines
    element = np.zeros(3, dtype=complex)
    pairs = sorted({PAIR[stage] for stage in closed})
    if pairs:
        counts = [sum(PAIR[stage] == pair for stage in closed) for pair in pairs]
        own = np.diag([ELEMENT_OHM / count for count in counts])
        element[pairs] = np.linalg.solve(ohms[np.ix_(pairs, pairs)] + own, emf[pairs])
    return [float(one) for one in np.abs(lines @ element)]


def creamery() -> tuple[CircuitResult, ...]:
    return site_circuits(demo_site("creamery"), demo_model("tarn-18"), basis("us"))[0]


@pytest.mark.parametrize("number", range(1, 7))
def test_each_line_of_a_feed_across_pairs_has_its_own_current(number: int) -> None:
    for circuit in creamery():
        assert circuit.conductor.value == "10 AWG"
        own = tuple(stage for stage in FEEDS[circuit.name] if stage <= number)
        found = [figure.value for figure in circuit.line_currents[number - 1]]
        assert found == pytest.approx(phasors(own), rel=1e-3, abs=1e-9)
        assert [figure.id for figure in circuit.line_currents[number - 1]] == [
            f"site.creamery.circuit.{circuit.name.lower()}.expected.{number}.{line}" for line in ("l1", "l2", "l3")
        ]


def test_the_lines_worked_by_hand() -> None:
    """One element on L1-L2: 208 / (19.23 + 2 x 0.1364) = 10.7 A; two that share a line: sqrt(3) times there."""
    a, b = creamery()
    rows = {
        (one.name, number): [round(float(figure.value or 0), 1) for figure in one.line_currents[number - 1]]
        for one in (a, b)
        for number in range(1, 7)
    }
    assert rows["A", 1] == [10.7, 10.7, 0.0]
    assert rows["A", 3] == [18.3, 10.6, 10.6]
    assert rows["A", 5] == [18.3, 18.3, 18.3]
    assert rows["B", 2] == [0.0, 10.7, 10.7]
    assert rows["B", 4] == [10.6, 18.3, 10.6]
    assert rows["B", 6] == [18.3, 18.3, 18.3]


@pytest.mark.parametrize("dead", range(1, 7))
def test_a_dead_stage_reads_otherwise_than_its_row_on_some_line(dead: int) -> None:
    """By more than the nameplate's tolerance, so that no row of a sound heater is mistaken for it."""
    for circuit in creamery():
        own = FEEDS[circuit.name]
        for number in range(dead, 7) if dead in own else ():
            left = phasors(tuple(stage for stage in own if stage <= number and stage != dead))
            row = [float(figure.value or 0) for figure in circuit.line_currents[number - 1]]
            assert any(read < 0.85 * listed for read, listed in zip(left, row, strict=True)), (circuit.name, number)


def test_a_stage_that_turns_on_may_leave_one_line_as_it_was() -> None:
    first, third, fifth = ([float(one.value or 0) for one in creamery()[0].line_currents[n]] for n in (0, 2, 4))
    assert third[1] == pytest.approx(first[1], rel=0.01)
    assert fifth[0] == pytest.approx(third[0], rel=0.01)


def test_lines_that_carry_the_same_have_one_figure() -> None:
    assert on().lines == ()
    assert all(len(row) == 1 for row in on().line_currents)

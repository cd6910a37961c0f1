"""The grounding conductor grows with line conductors that are larger than the load needs: NFPA 70 2023, 250.122(B).

50 A device: 10 AWG, 10 380 cmil (table 250.122; Chapter 9 table 8; from memory). 8 AWG 16 510 cmil would carry 40 A at
125 %; 6 AWG has 26 240 cmil: 10 380 x 26 240 / 16 510 = 16 497 cmil, which is 8 AWG. With 4 AWG (41 740 cmil) it is
26 242, a hair above 6 AWG.
"""

from __future__ import annotations

import pytest

from generator.compute.circuit.circuits import site_circuits
from generator.model.heater import HeaterModel
from tests.compute.circuit_cases import basis, heater, site


def with_terminals(smallest: str) -> HeaterModel:
    terminals = {
        "temperature": "75 degC",
        "conductors": ["copper"],
        "smallest": smallest,
        "largest": "4/0 AWG",
        "torque": "35 lbf in",
    }
    return heater(terminals=terminals)


@pytest.mark.parametrize(
    ("smallest", "line", "ground"),
    [("14 AWG", "8 AWG", "10 AWG"), ("6 AWG", "6 AWG", "8 AWG"), ("4 AWG", "4 AWG", "4 AWG")],
)
def test_a_large_terminal_enlarges_the_ground_too(smallest: str, line: str, ground: str) -> None:
    (circuit,), _ = site_circuits(site(), with_terminals(smallest), basis("us"))
    assert (circuit.conductor.value, circuit.ground.value) == (line, ground)
    assert any("250.122(B)" in step.source for step in circuit.ground.steps) == (ground != "10 AWG")


def test_an_existing_ground_is_held_to_what_the_load_needs() -> None:
    old = {"device": "50 A", "poles": "2", "conductor": "6 AWG", "ground": "10 AWG"}
    _, findings = site_circuits(site(existing_circuit=old), with_terminals("6 AWG"), basis("us"))
    found = next(one for one in findings if one.rule == "existing-ground")
    assert found.severity == "attention"
    assert {value.symbol: value.value for value in found.values}["grown"] == "8 AWG"


def test_an_existing_ground_is_counted_from_the_size_that_the_existing_device_needs() -> None:
    """Stock cable of 6 AWG with 10 AWG on 60 A, for 40 A that are not continuous.

    250.122(B): 6 AWG is the size that 60 A need (55 A at 60 degC, 240.4(B)), so nothing was enlarged; 250.122: 10 AWG.
    """
    old = {"device": "60 A", "poles": "2", "conductor": "6 AWG", "ground": "10 AWG"}
    use = {"continuous": "no", "reason": "minutes at a time"}
    at = site(existing_circuit=old, use=use, route={"method": "nm-cable", "insulation": "NM-B"})
    _, findings = site_circuits(at, with_terminals("8 AWG"), basis("us"))
    found = next(one for one in findings if one.rule == "existing-ground")
    assert (found.case, found.severity) == ("us-fits", "ok")

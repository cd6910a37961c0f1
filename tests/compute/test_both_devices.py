"""Which device suits a load that is not continuous: NFPA 70 (2023) 422.10(A) takes 100 % of it, 125 % is recommended.

24 A at 120 V, by hand: the next standard ratings are 25 A and, of 30 A, 30 A; 10 AWG carries 30 A at 60 degC, and
240.4(D) allows it 30 A; 12 AWG is allowed 20 A.
"""

from __future__ import annotations

from typing import Any

import pytest

from generator.compute.circuit.circuits import site_circuits
from generator.model.figures import Finding
from tests.compute.circuit_cases import basis, demo_model, site
from tests.compute.test_circuit_findings import us
from tests.finding_texts import said

SHORT = {"use": {"continuous": "no", "reason": "minutes at a time"}}
BASIN = SHORT | {"supply": {"voltage": "120 V", "neutral_present": "yes"}, "route": {"terminations": "60 degC"}}


def device(model: dict[str, Any], changes: dict[str, Any]) -> Finding:
    return us({"voltage": "120 V", "power": "2.88 kW"} | model, changes)["circuit-device"]


def test_the_recommended_rating_is_offered_where_nothing_forbids_it() -> None:
    found = device({"maximum_device": "30 A"}, BASIN)
    assert (found.case, found.severity) == ("us-both-fit", "ok")
    assert said(found, "do").startswith("25 A and 30 A both suit heater and conductors.")


@pytest.mark.parametrize(
    ("model", "changes"),
    [
        ({"maximum_device": "25 A"}, BASIN),  # the heater marks no more
        ({}, BASIN | {"use": {"continuous": "yes"}}),  # 30 A already
        # 33 A: 35 A on 8 AWG at 60 degC (40 A), but 45 A is more than the next standard rating, 40 A.
        ({"power": "3.96 kW"}, BASIN),
    ],
)
def test_it_is_not_where_something_does(model: dict[str, Any], changes: dict[str, Any]) -> None:
    assert device(model, changes).case == "us-fits"


def test_a_marking_that_the_load_fills_names_its_way_out() -> None:
    """40 A marked 40 A: 422.10(A) takes it at 100 % where it is not continuous; 422.13 names storage heaters alone."""
    full = us({"maximum_device": "40 A"}, {})["circuit-device"]
    assert (full.case, full.severity) == ("us-continuous", "stop")
    assert "state `continuous: no` of its use, and why: 40 A is enough then" in said(full, "do")
    assert us({"maximum_device": "40 A"}, SHORT)["circuit-device"].severity == "ok"


def test_a_single_phase_rating_that_fits_across_two_lines_is_named() -> None:
    """240 V, three phases: the three-phase rating is for 208 V, 115 %; its single-phase one is for 240 V."""
    at = site(supply={"phases": "3", "voltage": "240 V"})
    _, findings = site_circuits(at, demo_model("tarn-18"), basis("us"))
    found = next(one for one in findings if one.rule == "supply-voltage")
    assert found.severity == "stop"
    assert "a single-phase rating of 240 V, which fits across two lines" in said(found, "do")
    other = us({"voltage": "208 V", "phases": 3}, {"supply": {"phases": "3"}})["supply-voltage"]
    assert other.severity == "stop" and said(other, "do").endswith("Use a heater rated for this supply.")

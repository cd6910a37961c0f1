"""Which device suits a load that is not continuous: NFPA 70 (2023) 422.10(A) takes 100 % of it, 125 % is recommended.

24 A at 120 V, by hand: the next standard ratings are 25 A and, of 30 A, 30 A; 10 AWG carries 30 A at 60 degC, and
240.4(D) allows it 30 A; 12 AWG is allowed 20 A.
"""

from __future__ import annotations

from typing import Any

import pytest

from generator.model.figures import Finding
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

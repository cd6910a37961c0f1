"""Where ground-fault protection is asked for: NFPA 70 (2023) 210.8(F), of which secondary copies were read."""

from __future__ import annotations

from typing import Any

import pytest

from tests.compute.test_circuit_findings import us
from tests.finding_texts import said

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
        (HOUSE, {}, "not-named"),
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

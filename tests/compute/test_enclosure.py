"""Enclosure and place. Wet: NFPA 70 article 100, locations saturated with water, as washed-down ones (from memory)."""

from __future__ import annotations

import pytest

from generator.compute.circuit.fit.location import enclosure
from tests.compute.circuit_cases import heater, site

SOURCES = {"enclosure": "a code"}
HOSE = {"name": "hose", "kind": "rinse bay", "flow": "1 gpm", "target": "90 degF"}


@pytest.mark.parametrize(
    ("made_for", "place", "hose", "case"),
    [
        ("indoor", {}, False, "fits"),
        ("indoor", {"freezing": "yes"}, False, "freezing"),  # cold metal sweats
        ("damp", {"freezing": "yes"}, False, "fits"),
        ("indoor", {"kind": "damp", "freezing": "yes"}, False, "does-not-fit"),
        ("damp", {"kind": "damp"}, False, "fits"),
        ("damp", {"kind": "damp"}, True, "hosed"),
        ("indoor", {}, True, "hosed"),
        ("damp", {"kind": "wash-down"}, True, "does-not-fit"),
        ("damp", {"kind": "wash-down"}, False, "does-not-fit"),
        ("outdoor", {"kind": "wash-down"}, True, "fits"),
        ("outdoor", {"kind": "damp"}, True, "fits"),
    ],
)
def test_the_enclosure_is_judged_by_the_wet_that_the_place_brings(
    made_for: str, place: dict[str, str], hose: bool, case: str
) -> None:
    at = site(place=place, **({"fixtures": [HOSE]} if hose else {}))
    found = enclosure(at, heater().model_copy(update={"enclosure": made_for}), SOURCES)
    severity = {"fits": "ok", "does-not-fit": "stop"}.get(case, "attention")
    assert (found.case, found.severity) == (case, severity)


@pytest.mark.parametrize(
    ("kind", "fixture", "case"),
    [
        ("bathroom", "shower", "does-not-fit"),
        ("bathroom", "tub", "does-not-fit"),
        ("bathroom", "lavatory", "fits"),
        ("kitchen", "shower", "fits"),
    ],
)
def test_a_room_where_people_bathe_is_damp(kind: str, fixture: str, case: str) -> None:
    at = site(place={"kind": kind}, fixtures=[HOSE | {"name": "tap", "kind": fixture}])
    assert enclosure(at, heater().model_copy(update={"enclosure": "indoor"}), SOURCES).case == case

"""A wiring method is sized only as far as it is made.

NM-B from 14 AWG copper or 12 AWG aluminum to 2 AWG: NFPA 70 334.104, read in secondary copies of the 2017, 2020 and
2023 editions. UF-B from the same to 4/0 AWG: 340.104, from memory.
"""

from __future__ import annotations

from typing import Any

import pytest

from generator.compute.circuit.circuits import site_circuits
from generator.errors import CannotCompute
from generator.model.figures import Figure, Finding
from tests.compute.circuit_cases import basis, heater, site
from tests.finding_texts import said, speaker

NM = {"method": "nm-cable", "insulation": "NM-B"}
SIZES = basis("us").header.sizes


def judged(length: str, **route: str) -> tuple[dict[str, Figure], dict[str, Finding]]:
    circuits, findings = site_circuits(site(route={"length": length, **route}), heater(), basis("us"))
    figures = {one.id.rpartition(".")[2]: one for one in circuits[0].extra}
    return figures, {one.rule: one for one in findings}


@pytest.mark.parametrize(
    ("method", "material", "first", "last"),
    [
        ("nm-cable", "copper", "14 AWG", "2 AWG"),
        ("nm-cable", "aluminum", "12 AWG", "2 AWG"),
        ("uf-cable", "copper", "14 AWG", "4/0 AWG"),
        ("uf-cable", "aluminum", "12 AWG", "4/0 AWG"),
        ("emt", "copper", "14 AWG", "4/0 AWG"),
    ],
)
def test_the_sizes_made(method: str, material: Any, first: str, last: str) -> None:
    made = basis("us").methods.methods[method].made(material, SIZES)
    assert (made[0], made[-1]) == (first, last)
    assert made == SIZES[SIZES.index(first) : SIZES.index(last) + 1]


def test_a_drop_asks_for_no_cable_that_is_not_made() -> None:
    """40 A over 800 ft wants 2/0 AWG for 3 % of 240 V; nonmetallic-sheathed cable ends at 2 AWG."""
    for route, size in (({}, "2/0 AWG"), (NM, None)):
        figures, findings = judged("800 ft", **route)
        assert figures["conductor-for-drop"].value == size
    assert (
        speaker().worded(figures["conductor-for-drop"].reason) == "no size to 2 AWG keeps the drop so low on this run"
    )
    assert "ground-for-drop" not in figures
    assert findings["voltage-drop"].severity == "attention"
    assert "a wiring method made in larger sizes" in said(findings["voltage-drop"], "do")


def test_the_largest_size_made_is_still_offered() -> None:
    """40 A over 400 ft: 2 AWG, 0.19 ohm/kft, drops 2 x 400 x 0.19 / 1000 x 40 = 6.1 V of 7.2 V."""
    figures, _ = judged("400 ft", **NM)
    assert figures["conductor-for-drop"].value == "2 AWG"


def test_a_load_beyond_the_method_is_refused_at_its_name() -> None:
    """20 kW at 240 V, 125 %: 104 A; 2 AWG at 60 degC carries 95 A."""
    with pytest.raises(CannotCompute) as refused:
        site_circuits(site(route=NM), heater("20 kW", factory_parts=2), basis("us"))
    assert refused.value.where == ("route", "method")
    assert "is made to 2 AWG copper" in refused.value.wrong
    assert refused.value.expected.startswith("a method made in larger sizes: uf-cable, mc-cable, emt")
    assert "nm-cable" not in refused.value.expected
    assert site_circuits(site(), heater("20 kW", factory_parts=2), basis("us"))

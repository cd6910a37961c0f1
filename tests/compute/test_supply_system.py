"""The system of a North American supply: which neutral counts as current-carrying, and what a high leg is."""

from __future__ import annotations

import cmath
from pathlib import Path

import pytest

from generator.compute.circuit.circuits import site_circuits
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.us.system_finding import WYE_BELOW_V, supply_system, wye
from generator.errors import InputFaults
from generator.read.handbook import read_handbook
from tests.compute.circuit_cases import basis, heater, site
from tests.compute.test_circuit_findings import us
from tests.finding_texts import said
from tests.frozen import copied


def test_the_high_leg_is_as_far_above_ground_as_the_page_says() -> None:
    """By phasors: 240 V between lines, the middle of one winding grounded. Two lines have 120 V, the third 208 V."""
    a, b, c = (240.0 / 3**0.5 * cmath.rect(1.0, cmath.pi * turn * 2.0 / 3.0) for turn in range(3))
    ground = (a + c) / 2.0
    assert [abs(line - ground) for line in (a, b, c)] == pytest.approx([120.0, 207.8, 120.0], abs=0.1)
    found = us({"power": "2.88 kW", "voltage": "120 V"}, {"supply": HIGH_LEG | {"voltage": "120 V"}})["supply-system"]
    assert "never the high leg" in said(found, "do")
    both = us({}, {"supply": HIGH_LEG})["supply-system"]
    assert "marked 240 V, not 120/240 V" in said(both, "do")


HIGH_LEG = {"system": "high-leg delta", "neutral_present": "yes"}


@pytest.mark.parametrize(
    ("supply", "conductor"),
    [
        # 8 kW at 208 V, 38.5 A on 50 A, beside one conductor of another circuit. NFPA 70 310.15(E)(2), from memory: on
        # a wye the neutral of two lines counts: 4 conductors, 0.8 of 55 A is 44 A, protected to 45 A; else 3, and 55 A.
        ({"system": "wye"}, "6 AWG"),
        ({"system": None}, "6 AWG"),  # 208 V between lines is a wye's, whatever the panel
        ({"system": "split-phase"}, "8 AWG"),
    ],
)
def test_the_neutral_of_two_lines_of_a_wye_counts(supply: dict[str, str | None], conductor: str) -> None:
    panel = {"rating": "200 A", "demand": "50 A", "demand_method": "counted", "spaces": "12", "phases": "1"}
    at = site(
        supply={"voltage": "208 V", "neutral_present": "yes", "panel": panel} | supply, route={"other_conductors": "1"}
    )
    (circuit,), _ = site_circuits(at, heater("8 kW", "208 V", neutral_needed="yes"), basis("us"))
    assert circuit.conductor.value == conductor


def test_the_neutral_of_a_delta_does_not_count() -> None:
    changes = {"route": {"other_conductors": "1"}, "supply": HIGH_LEG}
    (delta,), _ = site_circuits(site(**changes), heater("9.6 kW", neutral_needed="yes"), basis("us"))
    changes = {"route": {"other_conductors": "1"}, "supply": HIGH_LEG | {"system": "wye"}}
    (on_wye,), _ = site_circuits(site(**changes), heater("9.6 kW", neutral_needed="yes"), basis("us"))
    assert (delta.conductor.value, on_wye.conductor.value) == ("8 AWG", "6 AWG")


@pytest.mark.parametrize(
    ("name", "line", "told"),
    [
        (
            "seedling-house",
            "system: wye",
            "supply.system: 'wye' is no system of a supply on the basis iec; write one of 'TN'",
        ),
        ("seedling-house", "earthing: TN-S", "supply.earthing: 'earthing' is written 'system' now; write system: TN-S"),
        (
            "creamery",
            "system: TT",
            "supply.system: 'TT' is no system of a supply on the basis us; write one of",
        ),
    ],
)
def test_a_system_of_another_family_and_the_old_key_are_refused_at_their_place(
    name: str, line: str, told: str, tmp_path: Path
) -> None:
    copied(tmp_path)
    place = tmp_path / "site_data" / "sites" / f"{name}.yaml"
    text = place.read_text(encoding="utf-8")
    stated = next(one for one in text.splitlines() if one.startswith("  system:"))
    place.write_text(text.replace(stated, f"  {line}"), encoding="utf-8")
    number = text.splitlines().index(stated) + 1
    with pytest.raises(InputFaults) as refused:
        read_handbook(tmp_path / "site_data")
    assert f"site_data/sites/{name}.yaml:{number}:" in str(refused.value)
    assert told in str(refused.value)


@pytest.mark.parametrize(
    ("model", "changes", "how"),
    [
        ({}, {}, "two-lines"),
        ({"phases": 3}, {"supply": {"phases": "3"}}, "three-lines"),
        ({"power": "2.88 kW", "voltage": "120 V"}, {"supply": {"voltage": "120 V"}}, "line-and-neutral"),
        ({"neutral_needed": "yes"}, {"supply": {"neutral_present": "yes"}}, "lines-and-neutral"),
    ],
)
def test_from_which_lines_the_heater_is_fed_is_named(model: dict, changes: dict, how: str) -> None:
    found = us(model, changes)["supply-system"]
    assert {value.symbol: value.value for value in found.values}["how"] == how


@pytest.mark.parametrize(
    ("voltage_v", "of_wye"),
    # 208 V plus 5 % and 240 V less 5 % (ANSI C84.1-2020 Range A, secondary copy), and the two sides of their middle.
    [(218.4, True), (222.9, True), (WYE_BELOW_V, False), (228.0, False)],
)
def test_where_nobody_states_it_the_voltage_between_two_lines_tells_a_wye(voltage_v: float, of_wye: bool) -> None:
    """A voltage is that of a wye or one that a delta may have, and the line between is that of both questions."""
    connection = SupplyConnection(heater().ratings[0], voltage_v, to_neutral=False, neutral=True)
    assert abs(WYE_BELOW_V - (208.0 * 1.05 + 240.0 * 0.95) / 2.0) < 0.5
    on_one_phase = site(supply={"system": None, "panel": {"phases": "1"}})
    assert wye(on_one_phase, connection) is of_wye
    on_three = site(supply={"system": None})
    judged = supply_system(on_three, connection, {"supply-system": "a source"})
    assert judged.case == ("fits" if of_wye else "not-stated")

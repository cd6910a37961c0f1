"""The workings of a circuit's figures lead to them: by Ohm and Joule, over the sites that are unlike."""

from __future__ import annotations

from typing import Any

import pytest

from generator.compute.circuit.circuits import model_circuits, site_circuits
from generator.compute.site import compute_site
from generator.model.figures import Figure
from generator.model.results import CircuitResult
from generator.model.said import say
from tests.assemble.joint_sites import inputs
from tests.compute.circuit_cases import basis, heater, metric_heater, metric_site

PART = say("ceiling-of-part")


@pytest.fixture(scope="module")
def circuits() -> list[CircuitResult]:
    given = inputs()
    built = [site for site in given.sites if site.id not in ("unfit", "must-not-be-built")]
    return [circuit for site in built for circuit in compute_site(site, given).circuits]


def named(circuit: CircuitResult, end: str) -> Figure:
    return next(one for one in circuit.extra if one.id.endswith(end))


def at(figure: Figure, place: int) -> dict[str, Any]:
    return {value.symbol: value.value for value in figure.steps[place].inputs}


def test_the_power_of_the_supply_is_worked_out_from_that_of_the_feed(circuits: list[CircuitResult]) -> None:
    """Joule: P (V / V_rated)^2, the first step being the feed's share of the rated power."""
    for circuit in circuits:
        power = named(circuit, ".supply-power")
        used = at(power, 1)
        assert len(power.steps) == 2
        feed_w = next(value for symbol, value in used.items() if symbol.startswith("P"))
        assert power.steps[0].result.value == pytest.approx(feed_w)
        assert power.value == pytest.approx(feed_w * (used["V"] / used["V_rated"]) ** 2)


def test_the_size_for_the_drop_is_shown_to_keep_it(circuits: list[CircuitResult]) -> None:
    """What is held against the limit is the drop with that size, as a part of the supply, and it is within."""
    sizes = [found for one in circuits if (found := named(one, ".conductor-for-drop")).value is not None]
    assert sizes
    for size in sizes:
        drop, limit = size.steps[-1].inputs
        assert (drop.kind, limit.kind) == ("ratio", "ratio")
        assert 0.0 < float(drop.value) <= float(limit.value)
        assert drop == size.steps[-2].result


def test_the_ceiling_is_named_after_the_part_where_it_binds() -> None:
    """422.11(F)(1), from memory: 60 A for a part of a heater above 48 A, which binds below a feed's marking of 70 A
    and at one of 60 A alike, and not at 50 A."""
    for marked, of_part in (("70 A", True), ("60 A", True), ("50 A", False)):
        found = model_circuits(heater("18 kW", feeds=2, maximum_device=marked), basis("us"))
        assert all((one.ceiling.label == PART) is of_part for one in found), marked


def test_no_capacity_on_the_way_to_the_least_is_shown_greater_than_it_is() -> None:
    """4 mm2 of XLPE on a wall, two loaded: 45 A, and 36 A with PVC, which terminals of 70 degC are held to (IEC
    60364-5-52, tables B.52.5 and B.52.4, method C, from memory)."""
    circuits, _ = site_circuits(metric_site(route={"insulation": "XLPE"}), metric_heater(), basis("iec"))
    limits = {
        step.result.symbol: (step.result.value, step.result.side)
        for step in circuits[0].conductor.steps
        if step.result.symbol in ("I_c", "I_t", "I_z")
    }
    assert limits == {"I_c": (45.0, "down"), "I_t": (36.0, "down"), "I_z": (36.0, "down")}


def test_a_ceiling_by_iec_is_the_marking_where_there_is_one_and_else_what_the_conductor_carries() -> None:
    """433.1 of IEC 60364-4-43, from memory: In is at most Iz; a heater marked 40 A is on no more."""
    shown = {}
    for marked in ("40 A", None):
        circuits, _ = site_circuits(metric_site(), metric_heater(maximum_device=marked), basis("iec"))
        (step,) = circuits[0].ceiling.steps
        shown[marked] = [(value.symbol, value.value) for value in step.inputs]
    assert shown["40 A"] == [("I_marked", 40.0)]
    assert [symbol for symbol, _ in shown[None]] == ["I_z"]

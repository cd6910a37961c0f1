"""The next standard rating above a load and the last below a limit: NFPA 70 2023, 240.6(A), from memory.

15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150 A ...
"""

from __future__ import annotations

import pytest

from generator.compute.circuit.circuit_figures import circuit_result
from generator.compute.circuit.circuits import designed, model_circuits, site_circuits
from generator.compute.circuit.load import Load, loads
from generator.compute.circuit.sizes import largest_standard, next_standard
from generator.compute.circuit.supply_connection import NORTH_AMERICAN, connect
from generator.errors import CannotCompute
from generator.model.heater import HeaterModel
from tests.compute.circuit_cases import basis, heater, site
from tests.compute.test_circuit_findings import us
from tests.finding_texts import speaker

RATINGS = basis("us").tables["standard_ratings"]


@pytest.mark.parametrize(
    ("load_a", "rating_a"),
    [(0.1, 15), (39.9, 40), (40.0, 40), (40.000_000_4, 40), (40.000_001, 45), (50.1, 60), (110.5, 125)],
)
def test_the_next_rating_is_not_below_the_load(load_a: float, rating_a: int) -> None:
    """A part in ten million is the noise of numbers in a computer, and no current that anyone could measure."""
    assert next_standard(RATINGS, load_a, ("heater",)) == rating_a


@pytest.mark.parametrize(("limit_a", "rating_a"), [(15.0, 15), (47.9, 45), (60.0, 60), (59.9, 50)])
def test_the_last_rating_is_not_above_the_limit(limit_a: float, rating_a: int) -> None:
    assert largest_standard(RATINGS, limit_a, ("heater",)) == rating_a


def test_below_the_least_and_above_the_greatest_there_is_none() -> None:
    with pytest.raises(CannotCompute):
        largest_standard(RATINGS, 14.9, ("heater",))
    with pytest.raises(CannotCompute):
        next_standard(RATINGS, 1e5, ("heater",))


def only_load(model: HeaterModel, supply_v: float) -> Load:
    connection = connect(model, model.ratings[0], supply_v, to_neutral=NORTH_AMERICAN)
    (load,) = loads(model, connection, "x", site=True)
    return load


@pytest.mark.parametrize(("supply_v", "amperes"), [(240.0, 40.0), (252.0, 40.0), (254.4, 42.4), (264.0, 44.0)])
def test_a_supply_more_than_5_percent_above_the_rating_governs(supply_v: float, amperes: float) -> None:
    """9.6 kW at 240 V is 40 A; the current of a resistance goes with the voltage (Ohm). The 5 % are our own."""
    assert only_load(heater(), supply_v).current_a == pytest.approx(amperes)


def test_a_load_to_13_point_3_amperes_may_have_20_and_any_other_150_percent() -> None:
    """NFPA 70 2023, 422.11(E)(2) and (3), from memory: the working names the rule that it took."""
    for kilowatts, volts, ceiling, rule in (("1.4", "120", 20.0, "20 A"), ("9.6", "240", 60.0, "1.5")):
        (circuit,) = model_circuits(heater(f"{kilowatts} kW", f"{volts} V"), basis("us"))
        assert circuit.ceiling.value == ceiling
        assert rule in speaker().worded(circuit.ceiling).steps[0].formula


@pytest.mark.parametrize(("method", "limits"), [("pvc-conduit", 2), ("nm-cable", 3)])
def test_the_ampacity_is_the_least_of_every_limit(method: str, limits: int) -> None:
    """After correction, by the terminals' column, and by the cable's own (334.80): none is left out of the minimum."""
    insulation = {"pvc-conduit": "THWN-2", "nm-cable": "NM-B"}[method]
    place = site(route={"method": method, "insulation": insulation})
    (circuit,) = map(circuit_result, designed(place, heater(), basis("us")))
    steps = [step for step in circuit.conductor.steps if step.formula.startswith("A = min(")]
    assert steps
    for step in steps:
        assert [value.symbol for value in step.inputs][:limits] == ["A_1", "A_2", "A_3"][:limits]
        assert step.result.value == min(float(value.value) for value in step.inputs)


def test_the_largest_of_unlike_feeds_decides_whether_ground_fault_protection_is_asked_for() -> None:
    """210.8(F) ends at 50 A (secondary copies read): three stages of 3.84 kW are 48 A on 60 A, a fourth 16 A on 20."""
    outdoors = {"place": {"occupancy": "dwelling", "kind": "outdoor", "disconnects_grouped": "yes"}}
    two = heater("15.36 kW", feeds=2)
    feeds = zip(two.electrical.feeds, ((1, 2, 3), (4,)), strict=True)
    unlike = tuple(feed.model_copy(update={"stages": stages}) for feed, stages in feeds)
    model = two.model_copy(update={"electrical": two.electrical.model_copy(update={"feeds": unlike})})
    circuits, findings = site_circuits(site(**outdoors), model, basis("us"))
    assert [circuit.device.value for circuit in circuits] == [60.0, 20.0]
    assert next(found for found in findings if found.rule == "ground-fault-protection").case == "local"
    assert us({"power": "3.84 kW"}, outdoors)["ground-fault-protection"].case == "asked"

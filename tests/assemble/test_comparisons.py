"""Fault finding compares with the heater's own figures, under every key that its data may name."""

from dataclasses import replace

from generator.assemble.comparisons import comparisons
from generator.model.faults import COMPARISONS
from generator.model.heater import HeaterModel
from generator.model.results import ModelResult
from tests.render.small import circuit, raw, stage, table


def a_model() -> HeaterModel:
    return HeaterModel.model_validate(raw("models/rill-3.yaml"))


def a_result() -> ModelResult:
    rises = table("model.x.rise", "Rise", "temperature_difference", [10.0, 20.0])
    return ModelResult("x", (stage("model.x.stage.1"),), (rises,), (), (circuit("model.x.circuit.a"),))


def test_every_key_has_the_heaters_figures() -> None:
    found = comparisons(a_model(), a_result())
    assert set(found) == set(COMPARISONS)
    assert all(found.values())


def test_the_figures_are_those_of_nameplate_and_results() -> None:
    model, result = a_model(), a_result()
    found = comparisons(model, result)
    assert [value.value for value in found["closes-at"]] == [result.stages[0].closes_at.value]
    (reading,) = found["stage-current"]
    assert (reading.symbol, reading.value) == ("stage 1", result.circuits[0].line_currents[0][0].value)
    least, greatest = found["working-pressure"]
    assert (least.value, greatest.value) == (
        model.water.working_pressure.least_pa,
        model.water.working_pressure.greatest_pa,
    )
    assert (least.side, greatest.side) == ("up", "down"), "a range of pressures rounds inward"
    assert found["torque"][0].value == model.electrical.terminals.torque


def test_a_heater_on_two_feeds_is_compared_feed_by_feed() -> None:
    """A clamp sees one feed, never the heater's total."""
    model, result = HeaterModel.model_validate(raw("models/tarn-18.yaml")), a_result()
    a = circuit("model.x.circuit.a")
    b = replace(a, name="B", line_currents=((replace(a.line_currents[0][0], value=0.0),),))
    at_another_rating = replace(a, line_currents=((replace(a.line_currents[0][0], value=99.0),),))
    found = comparisons(model, replace(result, circuits=(a, b, at_another_rating)))["stage-current"]
    assert [(value.symbol, value.value) for value in found] == [("feed A, stage 1", 38.0), ("feed B, stage 1", 0.0)]


def test_a_heater_without_a_marked_device_has_none_to_compare_with() -> None:
    data = a_model().model_dump()
    data["electrical"]["feeds"] = [{"name": "A", "stages": [1, 2]}]
    assert comparisons(HeaterModel.model_validate(data), a_result())["maximum-device"] == ()

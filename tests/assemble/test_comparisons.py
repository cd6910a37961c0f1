"""Fault finding compares with the heater's own figures, under every key that its data may name."""

from generator.assemble.comparisons import comparisons
from generator.model.faults import COMPARISONS
from generator.model.heater import HeaterModel
from generator.model.results import ModelResult
from tests.render.small import raw, stage, table


def a_model() -> HeaterModel:
    return HeaterModel.model_validate(raw("models/rill-3.yaml"))


def a_result() -> ModelResult:
    rises = table("model.x.rise", "Rise", "temperature_difference", [10.0, 20.0])
    return ModelResult("x", (stage("model.x.stage.1"),), (rises,), (), ())


def test_every_key_has_the_heaters_figures() -> None:
    found = comparisons(a_model(), a_result())
    assert set(found) == set(COMPARISONS)
    assert all(found.values())


def test_the_figures_are_those_of_nameplate_and_results() -> None:
    model, result = a_model(), a_result()
    found = comparisons(model, result)
    assert [value.value for value in found["closes-at"]] == [result.stages[0].closes_at.value]
    assert [value.symbol for value in found["stage-current"]] == ["stage 1"]
    least, greatest = found["working-pressure"]
    assert (least.value, greatest.value) == (
        model.water.working_pressure.least_pa,
        model.water.working_pressure.greatest_pa,
    )
    assert (least.side, greatest.side) == ("up", "down"), "a range of pressures rounds inward"
    assert found["torque"][0].value == model.electrical.terminals.torque


def test_a_heater_without_a_marked_device_has_none_to_compare_with() -> None:
    data = a_model().model_dump()
    data["electrical"]["feeds"] = [{"name": "A", "stages": [1, 2]}]
    assert comparisons(HeaterModel.model_validate(data), a_result())["maximum-device"] == ()

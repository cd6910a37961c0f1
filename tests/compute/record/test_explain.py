"""The model of what a visit reads against small steps and Ohm and Joule; which causes there are, and two of them."""

from __future__ import annotations

import numpy as np
import pytest

from generator.compute.record.explain import Layout, Seen, _apart, _causes, _model
from generator.compute.record.measure import measured_points
from generator.compute.record.observe import observations, shared
from generator.compute.record.signal import terms
from generator.model.readings import Reading
from generator.model.records import Cause
from tests.compute.record.visits import circuits, heater, reading

BECK, RILL, TARN = "beck-9", "rill-3", "tarn-18"
POINT = {"flow": 1e-4, "inlet": 285.0, "outlet": 300.0}
BOTH = {"volts": {"L1-L2": 240.0}, "amps": {"A": {"L1": 30.0, "L2": 30.0}}}


def seen_of(name: str, given: Reading) -> Seen:
    ones = observations(circuits(name), given)
    columns = ([one.ratio for one in ones], [one.own for one in ones], [one.kind == "heat" for one in ones])
    common = shared(circuits(name), given, (0.95, 1.05))
    return Seen(terms(ones), *map(np.array, columns), np.array([one.per_kelvin for one in ones]), common, heater(name))


def test_the_slopes_of_the_model_are_those_of_small_steps() -> None:
    """Of every parameter, at values away from those stated, for heat and for amps."""
    seen = seen_of(BECK, reading([{"stages": on, **POINT, **BOTH} for on in (2, 4)]))
    assert set(seen.heat) == {True, False}
    at = Layout(4)
    values = np.array([0.9, 1.1, 0.95, 1.2, 0.97, 1.03, 1.1, 0.4, 1.05])
    _, slopes = _model(seen, values, at, opened="")
    for place in range(at.size):
        step = np.eye(at.size)[place] * 1e-6
        rise = _model(seen, values + step, at, opened="")[0] - _model(seen, values - step, at, opened="")[0]
        assert slopes[:, place] == pytest.approx(rise / 2e-6, abs=1e-6), place


def test_heat_goes_with_the_square_of_the_volts_and_amps_with_the_volts() -> None:
    """Joule and Ohm, by hand: 10 % more volts on a sound heater are 1.21 of the heat and 1.1 of the amps."""
    seen = seen_of(BECK, reading([{"stages": 4, **POINT, **BOTH}]))
    values = np.array([1.0, 1.0, 1.0, 1.0, 1.0, 1.1, 1.0, 0.0, 1.0])
    found, _ = _model(seen, values, Layout(4), opened="")
    assert {bool(heat): value for heat, value in zip(seen.heat, found, strict=True)} == pytest.approx(
        {True: 1.21, False: 1.1}
    )


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        (Cause("stage", "1"), Cause("stage-off", "1"), False),  # both about the first stage
        (Cause("stage", "1"), Cause("stage", "2"), True),
        (Cause("stage-off", "1"), Cause("stage-off", "2"), False),  # two that are dead
        (Cause("stage-off", "1"), Cause("line-open", "L1"), False),
        (Cause("stage", "1"), Cause("line-open", "L1"), True),
        (Cause("power"), Cause("flow-meter"), True),  # about nothing by name, and not the same for that
    ],
)
def test_which_two_causes_are_about_two_things(one: Cause, other: Cause, apart: bool) -> None:
    assert _apart((one, other)) is apart


def test_the_causes_are_those_that_the_readings_can_tell_of() -> None:
    """By hand: of four stages three were on; nobody read amps; one feed cannot be told from the whole heater."""
    three = {(cause.code, cause.of) for cause in _causes(seen_of(BECK, reading([{"stages": 3, **POINT}])))}
    general = {("power", ""), ("supply", ""), ("flow-meter", ""), ("thermometer", "")}
    assert three == general | {(code, str(number)) for code in ("stage", "stage-off") for number in (1, 2, 3)}
    both = [cause.of for cause in _causes(seen_of(RILL, reading([{"stages": 2, **POINT}]))) if cause.code == "stage"]
    assert both == ["1", "2"]  # of two stages each can be told from the other
    read = {cause.code for cause in _causes(seen_of(BECK, reading([{"stages": 3, **POINT, **BOTH}])))}
    assert "voltmeter" in read and "clamp" in read and "supply" not in read
    two = [(cause.code, cause.of) for cause in _causes(seen_of(TARN, reading([{"stages": 6, **POINT}])))]
    assert [of for code, of in two if code == "feed-off"] == ["A", "B"]
    assert [of for code, of in two if code == "line-open"] == [
        *("L1", "L2", "L3"),
        *("A L1", "A L2", "A L3", "B L1", "B L2", "B L3"),
    ]


def test_the_power_by_volts_and_amps_is_their_product() -> None:
    """One pair of lines, two readings of volts of which the mean counts: 239 V × 30 A, Joule."""
    point = {"stages": 4, **POINT, **BOTH, "volts": {"L1-L2": 239.0}}
    (found,) = measured_points(circuits(BECK), reading([point]), 360.0)
    assert found.electric_w is not None and found.electric_w.best == pytest.approx(239.0 * 30.0, rel=1e-6)
    (without,) = measured_points(circuits(BECK), reading([{"stages": 4, **POINT, "volts": {"L1-L2": 239.0}}]), 360.0)
    assert without.electric_w is None


@pytest.mark.parametrize(
    ("stages", "amps", "power_w"),
    [
        (1, {"A": {"L1": 20.0, "L2": 20.0, "L3": 0.0}}, 208.0 * 20.0),  # one element across one pair; feed B is off
        (6, {feed: {"L1": 20.0, "L2": 20.0, "L3": 20.0} for feed in "AB"}, 2.0 * 3.0**0.5 * 208.0 * 20.0),
        (6, {"A": {"L1": 20.0, "L2": 20.0, "L3": 20.0}}, None),  # nobody read feed B
    ],
)
def test_of_three_lines_the_mean_volts_count(
    stages: int, amps: dict[str, dict[str, float]], power_w: float | None
) -> None:
    """By hand: V I of one pair, sqrt(3) V I of three alike, of every feed that has a stage on."""
    volts = {"L1-L2": 205.0, "L2-L3": 208.0, "L3-L1": 211.0}
    given = reading([{"stages": stages, **POINT, "volts": volts, "amps": amps}])
    (found,) = measured_points(circuits(TARN), given, 360.0)
    assert (found.electric_w and found.electric_w.best) == (power_w and pytest.approx(power_w, rel=1e-6))

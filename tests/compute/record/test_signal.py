"""What a heater shows with a line open, of one feed or ahead of them all, against phasors; and the slopes of it."""

from __future__ import annotations

import random
from dataclasses import replace

import numpy as np
import pytest

from generator.compute.record.observe import observations
from generator.compute.record.signal import terms
from tests.compute.record.visits import Truth, circuits, powers_and_lines, reading

TARN, VOLTS = "tarn-18", 208.0
OPENED = ("", "L1", "L2", "L3", "A L1", "A L2", "A L3", "B L1", "B L2", "B L3")


@pytest.mark.parametrize("opened", OPENED)
def test_power_and_amps_with_a_line_open_are_those_of_phasors(opened: str) -> None:
    """Stages of unlike power: what flows in the other lines, and between two feeds by a line open ahead of both."""
    draw = random.Random(3)
    truth = Truth(tuple(draw.uniform(0.7, 1.2) for _ in range(6)), VOLTS)
    whole = replace(truth, scales=(1.0,) * 6)
    there = replace(truth, fault=("line-open", opened) if opened else ("", ""))
    points = []
    for on in (3, 5, 6):
        _, lines = powers_and_lines(TARN, on, truth, VOLTS)
        amps = {feed: {f"L{n}": amp for n, amp in enumerate(currents, 1)} for feed, currents in lines.items()}
        points.append(
            {"stages": on, "flow": 1e-4, "inlet": 285.0, "outlet": 300.0, "volts": {"L1-L2": VOLTS}, "amps": amps}
        )
    seen = observations(circuits(TARN), reading(points))
    found, _ = terms(seen).signal(np.array(truth.scales), opened)
    for one, value in zip(seen, found, strict=True):
        on = (3, 5, 6)[one.place - 1]
        (power, lines), (sound_w, sound) = (powers_and_lines(TARN, on, what, VOLTS) for what in (there, whole))
        if one.line is None:
            assert value == pytest.approx(power / sound_w, abs=1e-5)
        else:
            scale = sound[one.feeds[0]][one.line] or max(sound[one.feeds[0]])
            assert value == pytest.approx(lines[one.feeds[0]][one.line] / scale, abs=1e-5)


@pytest.mark.parametrize("opened", OPENED)
def test_the_slopes_are_those_of_small_steps(opened: str) -> None:
    amps = {feed: {"L1": 10.0, "L2": 10.0, "L3": 10.0} for feed in "AB"}
    point = {"stages": 5, "flow": 1e-4, "inlet": 285.0, "outlet": 300.0, "volts": {"L1-L2": VOLTS}, "amps": amps}
    signal, at = terms(observations(circuits(TARN), reading([point]))).signal, np.array([0.9, 1.1, 0.8, 1.2, 1.0, 0.7])
    _, slopes = signal(at, opened)
    for stage in range(6):
        step = np.eye(6)[stage] * 1e-6
        assert slopes[:, stage] == pytest.approx(
            (signal(at + step, opened)[0] - signal(at - step, opened)[0]) / 2e-6, abs=1e-6
        )

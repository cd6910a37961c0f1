"""Simulated visits with known faults: the true explanation is kept, and a sound heater is not called faulty.

40 seeded visits on an ordinary run, 2,000 when exploring. The truth is computed apart from the program (`visits.py`).
"""

from __future__ import annotations

import random
from collections import Counter

import numpy as np
import pytest

from generator.compute.record import explain
from generator.compute.record.explain import explanations
from generator.compute.record.fit import Fit, FloatArray
from generator.compute.record.observe import observations, shared
from generator.model.records import Explanation
from tests.compute.record.visits import PLACES, Truth, circuits, faulty, heater, read
from tests.compute.wet_cases import model, site
from tests.sample import sample

ONE_FEED = ("power", "stage", "stage-off", "supply", "flow-meter", "thermometer", "voltmeter", "clamp")
CODES = {"beck-9": ONE_FEED, "tarn-18": (*ONE_FEED, "feed-off", "line-open")}


def visit(draw: random.Random) -> tuple[Truth, tuple[Explanation, ...]]:
    """A visit to a heater, three in ten of them sound, and the explanations that are kept of what it read."""
    name = draw.choice(list(CODES))
    code = draw.choice(CODES[name]) if draw.random() < 0.7 else ""
    electric = code in ("clamp", "voltmeter") or (code != "supply" and draw.random() < 0.6)
    truth, stages = faulty(name, draw, code), len(model(name).stages)
    every = draw.random() < 0.7 and code not in ("feed-off", "line-open")
    steps = list(range(1, stages + 1)) if every else [stages, stages - 1, stages - 2]
    taken = read(name, truth, draw, electric=electric, steps=steps)
    volts = site(PLACES[name]).supply.voltage_v
    common = shared(circuits(name), taken, (0.95 * volts, 1.05 * volts))
    return truth, explanations(observations(circuits(name), taken), common, heater(name))


def says(explained: Explanation, truth: Truth) -> bool:
    """Whether an explanation is the true one, by itself."""
    return tuple((cause.code, cause.of) for cause in explained.causes) == ((truth.fault,) if truth.fault[0] else ())


def test_the_true_explanation_is_kept_and_a_sound_heater_is_not_called_faulty() -> None:
    count: Counter[str] = Counter()
    for seed in range(sample(40, 2000)):
        truth, kept = visit(random.Random(seed))
        kind = "faulty" if truth.fault[0] else "sound"
        count[kind] += 1
        count[f"{kind}, true one kept"] += any(says(one, truth) for one in kept)
        count[f"{kind}, found"] += all(one.causes for one in kept)
    assert count["faulty"] > 20 and count["sound"] > 8
    # One in twenty, or one of fewer: by itself a single visit tells nothing.
    assert count["faulty"] - count["faulty, true one kept"] <= max(1.0, 0.05 * count["faulty"])
    assert count["sound, found"] <= max(1.0, 0.05 * count["sound"])
    # What is kept must tell something: most of the faults are seen for faults.
    assert count["faulty, found"] >= 0.7 * count["faulty"]


def test_what_cannot_be_fitted_is_no_explanation(monkeypatch: pytest.MonkeyPatch) -> None:
    """An explanation far from the readings may run away as it is fitted: it is left out, and the visit still judged."""
    fitted = explain.weighted_fit

    def runs_away(design: FloatArray, read: FloatArray, deviations: FloatArray) -> Fit:
        if deviations.max() >= explain.LOOSE:  # something is freed
            raise np.linalg.LinAlgError
        return fitted(design, read, deviations)

    monkeypatch.setattr(explain, "weighted_fit", runs_away)
    _, kept = visit(random.Random(2))
    assert all(one.causes == () or {cause.code for cause in one.causes} <= set(explain.DEAD) for one in kept)

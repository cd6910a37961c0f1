"""The device by IEC 60364-4-43: the standard rating In not below the design current Ib, nor above the marking.

The standard has no factor for continuous loads, so the recommended rating is the floor. Unmarked, the ceiling is the
greatest rating that the chosen conductor allows.
"""

from __future__ import annotations

import math

from generator.compute.circuit.circuit import Circuit, Ratings
from generator.compute.circuit.load import Load
from generator.compute.circuit.sizes import largest_standard, next_standard
from generator.compute.circuit.values import amps
from generator.compute.sources import sources
from generator.model.figures import Figure, Step
from generator.model.said import say
from generator.model.tables.codes import CodeBasis

NO_FACTOR = say("no-factor")


def rate(load: Load, basis: CodeBasis) -> Ratings:
    """Return the ratings of one circuit [A]; CannotCompute for a load above the standard ratings."""
    table, marked_a = basis.tables["standard_ratings"], load.feed.maximum_device_a
    floor_a = next_standard(table, load.current_a, load.where)
    ceiling_a = math.inf if marked_a is None else marked_a
    device_a = min(floor_a, largest_standard(table, ceiling_a, load.where))
    return Ratings(floor_a=floor_a, recommended_a=floor_a, ceiling_a=ceiling_a, device_a=device_a)


def ceiling_a(circuit: Circuit) -> float:
    """Return the greatest device [A]: as marked, else the greatest standard rating within the conductor's capacity."""
    if circuit.ratings.ceiling_a < math.inf:
        return circuit.ratings.ceiling_a
    usable_a = circuit.tried[-1].capacity.usable_a
    return largest_standard(circuit.rules.basis.tables["standard_ratings"], usable_a, circuit.load.where)


def rating_figures(circuit: Circuit) -> tuple[Figure, Figure, Figure, Figure]:
    """Return floor, recommended, ceiling and device as figures."""
    load, ratings, basis = circuit.load, circuit.ratings, circuit.rules.basis
    load_a, result = amps("I_b", load.current_a, "at_least"), amps("I_n", ratings.floor_a)
    source = basis.rules.source_of("circuit-device")
    floor = Step(say("rating-of-design"), (load_a,), result, source, NO_FACTOR)
    device = Step(
        say("rating-of-design-at-most"),
        (load_a, amps("I_max", ceiling_a(circuit), "at_most")),
        amps("I_n", ratings.device_a),
        sources(source, basis.tables["standard_ratings"].source),
    )
    return (
        Figure(f"{load.id}.floor", say("code-floor"), ratings.floor_a, "current", "neither", (floor,)),
        Figure(f"{load.id}.recommended", say("recommended-as-floor"), ratings.floor_a, "current", "neither", (floor,)),
        _ceiling(circuit),
        Figure(f"{load.id}.device", say("overcurrent-device"), ratings.device_a, "current", "neither", (device,)),
    )


def _ceiling(circuit: Circuit) -> Figure:
    value, rules = ceiling_a(circuit), circuit.rules.basis.rules
    result = amps("I_max", value)
    if circuit.ratings.ceiling_a < math.inf:
        label = say("ceiling-as-marked")
        step = Step("I_max = I_marked", (amps("I_marked", value),), result, rules.source_of("ceiling-marked"))
    else:
        label, formula = say("ceiling-by-conductor"), say("rating-in-capacity")
        inputs = (amps("I_z", circuit.tried[-1].capacity.usable_a, "at_most"),)
        step = Step(formula, inputs, result, rules.source_of("circuit-device"), say("no-marking"))
    return Figure(f"{circuit.load.id}.ceiling", label, value, "current", "at_most", (step,))

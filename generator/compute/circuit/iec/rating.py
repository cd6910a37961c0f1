"""The device by IEC 60364-4-43: the standard rating In not below the design current Ib, nor above the marking.

The standard has no factor for continuous loads, so the recommended rating is the floor. Unmarked, the ceiling is the
greatest rating that the chosen conductor allows.
"""

from __future__ import annotations

import math

from generator.compute.circuit.circuit import Circuit, Ratings
from generator.compute.circuit.load import Load
from generator.compute.circuit.sizes import largest_standard, next_standard
from generator.compute.circuit.working import amps
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, Step

NO_FACTOR = "the standard asks for no factor for continuous loads: recommended and floor are the same"


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
    load_a, result = amps("I_b", load.current_a, "up"), amps("I_n", ratings.floor_a)
    source = basis.rules.source_of("circuit-device")
    floor = Step("I_n = least standard rating ≥ I_b", (load_a,), result, source, NO_FACTOR)
    device = Step(
        "I_n = least standard rating ≥ I_b, at most I_max",
        (load_a, amps("I_max", ceiling_a(circuit), "down")),
        amps("I_n", ratings.device_a),
        f"{source}; {basis.tables['standard_ratings'].source}",
    )
    return (
        Figure(f"{load.id}.floor", "Code floor", ratings.floor_a, "current", "nearest", (floor,)),
        Figure(f"{load.id}.recommended", "Recommended, as the floor", ratings.floor_a, "current", "nearest", (floor,)),
        _ceiling(circuit),
        Figure(f"{load.id}.device", "Overcurrent device", ratings.device_a, "current", "nearest", (device,)),
    )


def _ceiling(circuit: Circuit) -> Figure:
    value, rules = ceiling_a(circuit), circuit.rules.basis.rules
    result = amps("I_max", value)
    if circuit.ratings.ceiling_a < math.inf:
        label = "Ceiling, as marked"
        step = Step("I_max = I_marked", (amps("I_marked", value),), result, rules.source_of("ceiling-marked"))
    else:
        label, formula = "Ceiling, by the conductor", "I_max = greatest standard rating ≤ I_z of the conductor"
        inputs = (amps("I_z", circuit.tried[-1].capacity.usable_a, "down"),)
        step = Step(formula, inputs, result, rules.source_of("circuit-device"), "the model marks no maximum")
    return Figure(f"{circuit.load.id}.ceiling", label, value, "current", "down", (step,))

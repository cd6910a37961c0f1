"""The device by IEC 60364-4-43: the standard rating In not below the design current Ib, nor above the marking.

The standard has no factor for continuous loads, so the recommended rating is the floor. Unmarked, the ceiling is the
greatest rating that the chosen conductor allows.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.circuit.load import Load
from generator.compute.circuit.working import amps, largest_standard, next_standard
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, Step

NO_FACTOR = "the standard asks for no factor for continuous loads: recommended and floor are the same"


@dataclass(frozen=True, slots=True)
class Ratings:
    """Floor and device [A]; `marked_a`: the greatest device the model is marked for, if it is."""

    floor_a: float
    marked_a: float | None
    device_a: float


def rate(load: Load, basis: CodeBasis) -> Ratings:
    """Return the ratings of one circuit."""
    table = basis.tables["standard_ratings"]
    floor_a = next_standard(table, load.current_a, load.where)
    marked_a = load.feed.maximum_device_a
    device_a = floor_a if marked_a is None else min(floor_a, largest_standard(table, marked_a, load.where))
    return Ratings(floor_a, marked_a, device_a)


def rating_figures(
    load: Load, ratings: Ratings, usable_a: float, basis: CodeBasis
) -> tuple[Figure, Figure, Figure, Figure]:
    """Return floor, recommended, ceiling and device as figures; `usable_a`: the chosen conductor's capacity [A]."""
    table = basis.tables["standard_ratings"]
    load_a = amps("I_b", load.current_a, "up")
    overcurrent = basis.rules.source_of("circuit-device")
    floor = Step("I_n = least standard rating ≥ I_b", (load_a,), amps("I_n", ratings.floor_a), overcurrent, NO_FACTOR)
    label = "Ceiling, by the conductor" if ratings.marked_a is None else "Ceiling, as marked"
    ceiling_a, ceiling = _ceiling(load, ratings, usable_a, basis)
    inputs = (load_a, amps("I_max", ceiling_a, "down"))
    device = Step(
        "I_n = least standard rating ≥ I_b, at most I_max",
        inputs,
        amps("I_n", ratings.device_a),
        f"{overcurrent}; {table.source}",
    )
    return (
        Figure(f"{load.id}.floor", "Code floor", ratings.floor_a, "current", "nearest", (floor,)),
        Figure(f"{load.id}.recommended", "Recommended, as the floor", ratings.floor_a, "current", "nearest", (floor,)),
        Figure(f"{load.id}.ceiling", label, ceiling_a, "current", "down", (ceiling,)),
        Figure(f"{load.id}.device", "Overcurrent device", ratings.device_a, "current", "nearest", (device,)),
    )


def _ceiling(load: Load, ratings: Ratings, usable_a: float, basis: CodeBasis) -> tuple[float, Step]:
    if ratings.marked_a is not None:
        marked = amps("I_max", ratings.marked_a)
        source = basis.rules.source_of("ceiling-marked")
        return ratings.marked_a, Step("I_max = I_marked", (amps("I_marked", ratings.marked_a),), marked, source)
    value = largest_standard(basis.tables["standard_ratings"], usable_a, load.where)
    inputs = (amps("I_z", usable_a, "down"),)
    formula = "I_max = greatest standard rating ≤ I_z of the conductor"
    source = basis.rules.source_of("circuit-device")
    return value, Step(formula, inputs, amps("I_max", value), source, "the model marks no maximum")

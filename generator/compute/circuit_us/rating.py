"""The rating of the branch circuit: the code's floor, our recommended rating, the ceiling, and the device chosen.

422.10(A): the branch circuit is rated not below the appliance's marked rating, and not below 125 % of it where the
load is continuous (100 to). 422.11(E): the device does not exceed the marked maximum; unmarked, 20 A for an appliance
of 13.3 A or less, else 150 % of its rating, the next standard size up being allowed. 422.11(F): parts of a heater of
more than 48 A, see `subdivision`.

422.13 asks 125 % of storage heaters only, since they may heat unattended for hours. An instantaneous heater
draws only while water runs, so the clause does not name it. We size for 125 % all the same, unless the site
states that the load is not continuous, with a reason that is printed.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.circuit.load import Load
from generator.compute.circuit.working import amps, largest_standard, next_standard, ratio, text
from generator.compute.circuit_us.clauses import clause
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, Step

CONTINUOUS = 1.25
UNMARKED = 1.50
SMALL_APPLIANCE_A, SMALL_APPLIANCE_DEVICE_A = 13.3, 20.0
STORAGE_RULE = (
    "422.13 names storage-type heaters only; an instantaneous heater draws only while water runs. "
    "We size for 125 % all the same unless the site states that the load is not continuous."
)


@dataclass(frozen=True, slots=True)
class Ratings:
    """Floor, recommended, ceiling and chosen device [A], with the factor on the load that the choice rests on."""

    floor: Figure
    recommended: Figure
    ceiling: Figure
    device: Figure
    factor: float
    floor_a: float
    recommended_a: float
    ceiling_a: float
    device_a: float


def rate(load: Load, basis: CodeBasis, reason_not_continuous: str | None, part_limit_a: float | None) -> Ratings:
    """Return the ratings of one circuit. `part_limit_a`: the limit of 422.11(F), if it binds this circuit."""
    table = basis.tables["standard_ratings"]
    floor = _standard(load, basis, "floor", "Code floor", 1.0)
    recommended = _standard(load, basis, "recommended", "Recommended", CONTINUOUS)
    ceiling, ceiling_a = _ceiling(load, basis, part_limit_a)
    factor = 1.0 if reason_not_continuous else CONTINUOUS
    wanted_a = next_standard(table, factor * load.current_a, load.where)
    device_a = min(wanted_a, largest_standard(table, ceiling_a, load.where))
    step = Step(
        "device = the standard rating for k x I, not above the ceiling",
        (ratio("k", factor), amps("I", load.current_a), amps("ceiling", ceiling_a)),
        amps("device", device_a),
        clause(basis, "422.10(A), 422.11(E), 240.6(A)"),
        note=f"not continuous: {reason_not_continuous}" if reason_not_continuous else STORAGE_RULE,
    )
    device = Figure(f"{load.id}.device", "Overcurrent device", device_a, "current", "nearest", (step,))
    floor_a, recommended_a = (next_standard(table, k * load.current_a, load.where) for k in (1.0, CONTINUOUS))
    return Ratings(floor, recommended, ceiling, device, factor, floor_a, recommended_a, ceiling_a, device_a)


def _standard(load: Load, basis: CodeBasis, key: str, label: str, factor: float) -> Figure:
    table = basis.tables["standard_ratings"]
    needed = factor * load.current_a
    value = next_standard(table, needed, load.where)
    if factor == 1.0:
        source, note = "422.10(A)", "not below the marked rating; 125 % where the load is continuous"
    else:
        source, note = "210.19(A)(1), 210.20(A), 422.10(A)", STORAGE_RULE
    steps = (
        Step(
            "r = k x I", (ratio("k", factor), amps("I", load.current_a)), amps("r", needed), clause(basis, source), note
        ),
        Step("next standard rating not below r", (amps("r", needed),), amps(key, value), table.source),
    )
    return Figure(f"{load.id}.{key}", label, value, "current", "nearest", steps)


def _ceiling(load: Load, basis: CodeBasis, part_limit_a: float | None) -> tuple[Figure, float]:
    steps = [_marked_or_unmarked(load, basis)]
    value = float(steps[0].result.value)
    if part_limit_a is not None:
        inputs = (amps("ceiling so far", value), amps("part limit", part_limit_a))
        value = min(value, part_limit_a)
        formula = "ceiling = the smaller of the two"
        steps.append(Step(formula, inputs, amps("ceiling", value), clause(basis, "422.11(F)")))
    return Figure(f"{load.id}.ceiling", "Ceiling", value, "current", "down", tuple(steps)), value


def _marked_or_unmarked(load: Load, basis: CodeBasis) -> Step:
    marked = load.feed.maximum_device_a
    table = basis.tables["standard_ratings"]
    current = load.rated_current_a
    if marked is not None:
        source = clause(basis, "110.3(B), 422.11(E)(1)")
        return Step("ceiling = marked maximum", (amps("marked", marked),), amps("ceiling", marked), source)
    if current <= SMALL_APPLIANCE_A:
        value, formula, clause_text = SMALL_APPLIANCE_DEVICE_A, "20 A, since I is 13.3 A or less", "422.11(E)(2)"
    else:
        value = next_standard(table, UNMARKED * current, load.where)
        formula, clause_text = "next standard rating for 1.5 x I", "422.11(E)(3)"
    note = "the model marks no maximum"
    return Step(
        formula, (amps("I", current), text("marked", "none")), amps("ceiling", value), clause(basis, clause_text), note
    )

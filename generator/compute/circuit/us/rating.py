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
from generator.compute.circuit.working import amps, largest_standard, next_standard, ratio
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, Step

CONTINUOUS = 1.25
UNMARKED = 1.50
SMALL_APPLIANCE_A, SMALL_APPLIANCE_DEVICE_A = 13.3, 20.0


@dataclass(frozen=True, slots=True)
class Ratings:
    """Floor, recommended, ceiling and chosen device [A].

    `factor`: what the choice multiplies the load by; `not_continuous`: why that is 1. `ceiling_steps`: its working.
    """

    factor: float
    not_continuous: str | None
    floor_a: float
    recommended_a: float
    ceiling_steps: tuple[Step, ...]
    ceiling_a: float
    ceiling_label: str
    device_a: float


def rate(load: Load, basis: CodeBasis, not_continuous: str | None, part_limit_a: float | None) -> Ratings:
    """Return the ratings of one circuit. `part_limit_a`: the limit of 422.11(F), if it binds this circuit."""
    table = basis.tables["standard_ratings"]
    floor_a, recommended_a = (next_standard(table, k * load.current_a, load.where) for k in (1.0, CONTINUOUS))
    ceiling_a, steps = _ceiling(load, basis, part_limit_a)
    wanted_a = floor_a if not_continuous else recommended_a
    return Ratings(
        factor=1.0 if not_continuous else CONTINUOUS,
        not_continuous=not_continuous,
        floor_a=floor_a,
        recommended_a=recommended_a,
        ceiling_steps=steps,
        ceiling_a=ceiling_a,
        ceiling_label=_ceiling_label(load, ceiling_a, part_limit_a),
        device_a=min(wanted_a, largest_standard(table, ceiling_a, load.where)),
    )


def rating_figures(load: Load, ratings: Ratings, basis: CodeBasis) -> tuple[Figure, Figure, Figure, Figure]:
    """Return floor, recommended, ceiling and device as figures with their working."""
    floor_source = basis.rules.source_of("code-floor")
    floor_note = "not below the marked rating; 125 % of it where the load is continuous"
    recommended_source = basis.rules.source_of("continuous-load")
    ceiling = Figure(
        f"{load.id}.ceiling", ratings.ceiling_label, ratings.ceiling_a, "current", "down", ratings.ceiling_steps
    )
    return (
        _standard(load, basis, ("floor", "Code floor, 100 %"), 1.0, ratings.floor_a, floor_source, floor_note),
        _standard(
            load,
            basis,
            ("recommended", "Recommended, 125 %"),
            CONTINUOUS,
            ratings.recommended_a,
            recommended_source,
            _storage_rule(basis),
        ),
        ceiling,
        _device(load, ratings, basis),
    )


def _storage_rule(basis: CodeBasis) -> str:
    return (
        f"{basis.rules.clause_of('storage-heaters')} names storage-type heaters only; an instantaneous heater draws "
        "only while water runs. We size for 125 % all the same unless the site states that the load is not continuous."
    )


def _standard(
    load: Load, basis: CodeBasis, key_label: tuple[str, str], factor: float, value: float, source: str, note: str
) -> Figure:
    key, label = key_label
    needed = amps("r", factor * load.current_a, "up")
    steps = (
        Step("r = k × I", (ratio("k", factor), amps("I", load.current_a, "up")), needed, source, note),
        Step("least standard rating ≥ r", (needed,), amps(key, value), basis.tables["standard_ratings"].source),
    )
    return Figure(f"{load.id}.{key}", label, value, "current", "nearest", steps)


def _device(load: Load, ratings: Ratings, basis: CodeBasis) -> Figure:
    why = f"not continuous: {ratings.not_continuous}" if ratings.not_continuous else _storage_rule(basis)
    step = Step(
        "I_n = least standard rating ≥ k × I, at most I_max",
        (ratio("k", ratings.factor), amps("I", load.current_a, "up"), amps("I_max", ratings.ceiling_a, "down")),
        amps("I_n", ratings.device_a),
        basis.rules.source_of("circuit-device"),
        why,
    )
    return Figure(f"{load.id}.device", "Overcurrent device", ratings.device_a, "current", "nearest", (step,))


def _ceiling(load: Load, basis: CodeBasis, part_limit_a: float | None) -> tuple[float, tuple[Step, ...]]:
    value, step = _marked_or_unmarked(load, basis)
    if part_limit_a is None:
        return value, (step,)
    least = min(value, part_limit_a)
    inputs = (amps("I_feed", value), amps("I_part", part_limit_a))
    part = Step(
        "I_max = min(I_feed, I_part)", inputs, amps("I_max", least), basis.rules.source_of("element-subdivision")
    )
    return least, (step, part)


def _ceiling_label(load: Load, ceiling_a: float, part_limit_a: float | None) -> str:
    if ceiling_a == part_limit_a:
        return "Ceiling, of a subdivided load"
    if load.feed.maximum_device_a is not None:
        return "Ceiling, as marked"
    return "Ceiling, 150 %" if load.rated_current_a > SMALL_APPLIANCE_A else "Ceiling, of a small load"


def _marked_or_unmarked(load: Load, basis: CodeBasis) -> tuple[float, Step]:
    marked, current = load.feed.maximum_device_a, load.rated_current_a
    inputs = (amps("I_rated", current, "up"),)
    note = "the model marks no maximum"
    if marked is not None:
        value, formula, rule, note = marked, "I_max = I_marked", "ceiling-marked", ""
        inputs = (amps("I_marked", marked),)
    elif current <= SMALL_APPLIANCE_A:
        value, formula = SMALL_APPLIANCE_DEVICE_A, "I_max = 20 A where I_rated ≤ 13.3 A"
        rule = "ceiling-small-load"
    else:
        value = next_standard(basis.tables["standard_ratings"], UNMARKED * current, load.where)
        formula, rule = "I_max = least standard rating ≥ 1.5 × I_rated", "ceiling-unmarked"
    return value, Step(formula, inputs, amps("I_max", value), basis.rules.source_of(rule), note)

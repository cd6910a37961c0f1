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

import math

from generator.compute.circuit.circuit import Ratings
from generator.compute.circuit.load import Load
from generator.compute.circuit.sizes import largest_standard, next_standard
from generator.compute.circuit.us.subdivision import part_limit_a
from generator.compute.circuit.working import amps, ratio
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, Step

CONTINUOUS = 1.25
UNMARKED = 1.50
SMALL_APPLIANCE_A, SMALL_APPLIANCE_DEVICE_A = 13.3, 20.0
UNMARKED_NOTE = "the model marks no maximum"


def rate(load: Load, basis: CodeBasis, not_continuous: str | None) -> Ratings:
    """Return the ratings of one circuit [A].

    Floor: the least standard rating >= I; recommended: >= 1.25 I; device: that, at most the ceiling, which is the less
    of `feed_ceiling_a` and the limit of a part. `not_continuous`: why the load is not, which takes it at 100 %. Range:
    the standard ratings of the basis; CannotCompute beyond. Sources: 422.10(A), 240.6(A), 422.11(E) and (F).
    """
    table = basis.tables["standard_ratings"]
    floor_a, recommended_a = (next_standard(table, k * load.current_a, load.where) for k in (1.0, CONTINUOUS))
    ceiling_a = min(feed_ceiling_a(load, basis), part_limit_a(load))
    wanted_a = floor_a if not_continuous else recommended_a
    return Ratings(
        floor_a=floor_a,
        recommended_a=recommended_a,
        ceiling_a=ceiling_a,
        device_a=min(wanted_a, largest_standard(table, ceiling_a, load.where)),
        factor=1.0 if not_continuous else CONTINUOUS,
        not_continuous=not_continuous,
    )


def feed_ceiling_a(load: Load, basis: CodeBasis) -> float:
    """Return the greatest device [A] for the feed as a whole, by its rated current I [A]: 422.11(E).

    As marked; unmarked, 20 A where I <= 13.3 A, else the least standard rating >= 1.5 I. CannotCompute beyond those.
    """
    if load.feed.maximum_device_a is not None:
        return load.feed.maximum_device_a
    return unmarked_ceiling_a(load, basis)


def unmarked_ceiling_a(load: Load, basis: CodeBasis) -> float:
    """Return the greatest device [A] for a feed that marks none, 422.11(E)(2) and (3)."""
    if load.rated_current_a <= SMALL_APPLIANCE_A:
        return SMALL_APPLIANCE_DEVICE_A
    return next_standard(basis.tables["standard_ratings"], UNMARKED * load.rated_current_a, load.where)


def rating_figures(load: Load, ratings: Ratings, basis: CodeBasis) -> tuple[Figure, Figure, Figure, Figure]:
    """Return floor, recommended, ceiling and device as figures with their working."""
    source_of, note = basis.rules.source_of, "not below the marked rating; 125 % of it where the load is continuous"
    floor = _share(load, 1.0, source_of("code-floor"), note=note)
    recommended = _share(load, CONTINUOUS, source_of("continuous-load"), note=_storage_rule(basis))
    return (
        _standard(f"{load.id}.floor", "Code floor, 100 %", ratings.floor_a, of=floor, basis=basis),
        _standard(f"{load.id}.recommended", "Recommended, 125 %", ratings.recommended_a, of=recommended, basis=basis),
        _ceiling(load, basis),
        _device(load, ratings, basis),
    )


def _storage_rule(basis: CodeBasis) -> str:
    return (
        f"{basis.rules.clause_of('storage-heaters')} names storage-type heaters only; an instantaneous heater draws "
        "only while water runs. We size for 125 % all the same unless the site states that the load is not continuous."
    )


def _share(load: Load, factor: float, source: str, *, note: str) -> Step:
    inputs = (ratio("k", factor), amps("I", load.current_a, "up"))
    return Step("r = k × I", inputs, amps("r", factor * load.current_a, "up"), source, note)


def _standard(id_: str, label: str, rating_a: float, *, of: Step, basis: CodeBasis) -> Figure:
    result = amps(id_.rpartition(".")[2], rating_a)
    step = Step("least standard rating ≥ r", (of.result,), result, basis.tables["standard_ratings"].source)
    return Figure(id_, label, rating_a, "current", "nearest", (of, step))


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


def _ceiling(load: Load, basis: CodeBasis) -> Figure:
    feed_a, part_a = feed_ceiling_a(load, basis), part_limit_a(load)
    least_a, steps = min(feed_a, part_a), [_feed_ceiling(load, feed_a, basis)]
    if part_a < math.inf:
        inputs, source = (amps("I_feed", feed_a), amps("I_part", part_a)), basis.rules.source_of("element-subdivision")
        steps.append(Step("I_max = min(I_feed, I_part)", inputs, amps("I_max", least_a), source))
    label = "Ceiling, of a subdivided load" if part_a <= feed_a else _ceiling_label(load)
    return Figure(f"{load.id}.ceiling", label, least_a, "current", "down", tuple(steps))


def _ceiling_label(load: Load) -> str:
    if load.feed.maximum_device_a is not None:
        return "Ceiling, as marked"
    return "Ceiling, 150 %" if load.rated_current_a > SMALL_APPLIANCE_A else "Ceiling, of a small load"


def _feed_ceiling(load: Load, feed_a: float, basis: CodeBasis) -> Step:
    marked, source_of = load.feed.maximum_device_a, basis.rules.source_of
    result, inputs, note = amps("I_max", feed_a), (amps("I_rated", load.rated_current_a, "up"),), UNMARKED_NOTE
    if marked is not None:
        return Step("I_max = I_marked", (amps("I_marked", marked),), result, source_of("ceiling-marked"))
    if load.rated_current_a <= SMALL_APPLIANCE_A:
        formula = "I_max = 20 A where I_rated ≤ 13.3 A"
        return Step(formula, inputs, result, source_of("ceiling-small-load"), note)
    return Step("I_max = least standard rating ≥ 1.5 × I_rated", inputs, result, source_of("ceiling-unmarked"), note)

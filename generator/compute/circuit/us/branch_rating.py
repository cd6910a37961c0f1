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
from generator.compute.circuit.us.subdivision import LIMITS, part_limit_a
from generator.compute.circuit.values import amps, ratio
from generator.model.figures import Figure, Step
from generator.model.said import say
from generator.model.tables.codes import CodeBasis

UNMARKED = "unmarked"  # the row of the tables for an appliance that marks no device


def rate(load: Load, basis: CodeBasis, not_continuous: str | None) -> Ratings:
    """Return the ratings of one circuit [A].

    Floor: the least standard rating >= I; recommended: >= 1.25 I; device: that, at most the ceiling, which is the less
    of `feed_ceiling_a` and the limit of a part. `not_continuous`: why the load is not, which takes it at 100 %. Range:
    the standard ratings of the basis; CannotCompute beyond. Sources: 422.10(A), 240.6(A), 422.11(E) and (F).
    """
    table = basis.tables["standard_ratings"]
    continuous = continuous_factor(basis)
    floor_a, recommended_a = (next_standard(table, k * load.current_a, load.where) for k in (1.0, continuous))
    ceiling_a = min(feed_ceiling_a(load, basis), part_limit_a(load, basis))
    wanted_a = floor_a if not_continuous else recommended_a
    return Ratings(
        floor_a=floor_a,
        recommended_a=recommended_a,
        ceiling_a=ceiling_a,
        device_a=min(wanted_a, largest_standard(table, ceiling_a, load.where)),
        factor=1.0 if not_continuous else continuous,
        not_continuous=not_continuous,
    )


def continuous_factor(basis: CodeBasis) -> float:
    """Return the rating of a circuit over a load that lasts, 210.20(A)."""
    return basis.tables["load_factors"].cell("continuous", "factor")


def is_small(load: Load, basis: CodeBasis) -> bool:
    """Return whether an appliance that marks no device is one of those that 422.11(E)(2) gives one of its own."""
    return load.rated_current_a <= basis.tables[LIMITS].cell(UNMARKED, "load")


def feed_ceiling_a(load: Load, basis: CodeBasis) -> float:
    """Return the greatest device [A] for the feed as a whole, by its rated current I [A]: 422.11(E).

    As marked; unmarked, 20 A where I <= 13.3 A, else the least standard rating >= 1.5 I. CannotCompute beyond those.
    """
    if load.feed.maximum_device_a is not None:
        return load.feed.maximum_device_a
    return unmarked_ceiling_a(load, basis)


def unmarked_ceiling_a(load: Load, basis: CodeBasis) -> float:
    """Return the greatest device [A] for a feed that marks none, 422.11(E)(2) and (3)."""
    if is_small(load, basis):
        return basis.tables[LIMITS].cell(UNMARKED, "device")
    factor = basis.tables["load_factors"].cell(UNMARKED, "factor")
    return next_standard(basis.tables["standard_ratings"], factor * load.rated_current_a, load.where)


def rating_figures(load: Load, ratings: Ratings, basis: CodeBasis) -> tuple[Figure, Figure, Figure, Figure]:
    """Return floor, recommended, ceiling and device as figures with their working."""
    source_of, note = basis.rules.source_of, say("not-below-marked")
    floor = _share(load, 1.0, source_of("code-floor"), note=note)
    recommended = _share(load, continuous_factor(basis), source_of("continuous-load"), note=_storage_rule(basis))
    return (
        _standard(f"{load.id}.floor", say("code-floor-100"), ratings.floor_a, of=floor, basis=basis),
        _standard(f"{load.id}.recommended", say("recommended-125"), ratings.recommended_a, of=recommended, basis=basis),
        _ceiling(load, basis),
        _device(load, ratings, basis),
    )


def _storage_rule(basis: CodeBasis) -> str:
    return say("storage-heaters", clause=basis.rules.clause_of("storage-heaters"))


def _share(load: Load, factor: float, source: str, *, note: str) -> Step:
    inputs = (ratio("k", factor), amps("I", load.current_a, "at_least"))
    return Step("r = k × I", inputs, amps("r", factor * load.current_a, "at_least"), source, note)


def _standard(id_: str, label: str, rating_a: float, *, of: Step, basis: CodeBasis) -> Figure:
    result = amps(id_.rpartition(".")[2], rating_a)
    step = Step(say("rating-not-below"), (of.result,), result, basis.tables["standard_ratings"].source)
    return Figure(id_, label, rating_a, "current", "neither", (of, step))


def _device(load: Load, ratings: Ratings, basis: CodeBasis) -> Figure:
    why = say("not-continuous", reason=ratings.not_continuous) if ratings.not_continuous else _storage_rule(basis)
    step = Step(
        say("rating-by-factor"),
        (
            ratio("k", ratings.factor),
            amps("I", load.current_a, "at_least"),
            amps("I_max", ratings.ceiling_a, "at_most"),
        ),
        amps("I_n", ratings.device_a),
        basis.rules.source_of("circuit-device"),
        why,
    )
    return Figure(f"{load.id}.device", say("overcurrent-device"), ratings.device_a, "current", "neither", (step,))


def _ceiling(load: Load, basis: CodeBasis) -> Figure:
    feed_a, part_a = feed_ceiling_a(load, basis), part_limit_a(load, basis)
    least_a, steps = min(feed_a, part_a), [_feed_ceiling(load, feed_a, basis)]
    if part_a < math.inf:
        inputs, source = (amps("I_feed", feed_a), amps("I_part", part_a)), basis.rules.source_of("element-subdivision")
        steps.append(Step("I_max = min(I_feed, I_part)", inputs, amps("I_max", least_a), source))
    label = say("ceiling-of-part") if part_a <= feed_a else _ceiling_label(load, basis)
    return Figure(f"{load.id}.ceiling", label, least_a, "current", "at_most", tuple(steps))


def _ceiling_label(load: Load, basis: CodeBasis) -> str:
    if load.feed.maximum_device_a is not None:
        return say("ceiling-as-marked")
    return say("ceiling-small") if is_small(load, basis) else say("ceiling-150")


def _feed_ceiling(load: Load, feed_a: float, basis: CodeBasis) -> Step:
    marked, source_of = load.feed.maximum_device_a, basis.rules.source_of
    result, inputs, note = (
        amps("I_max", feed_a),
        (amps("I_rated", load.rated_current_a, "at_least"),),
        say("no-marking"),
    )
    if marked is not None:
        return Step("I_max = I_marked", (amps("I_marked", marked),), result, source_of("ceiling-marked"))
    if is_small(load, basis):
        formula = say("ceiling-small-rule")
        return Step(formula, inputs, result, source_of("ceiling-small-load"), note)
    return Step(say("ceiling-150-rule"), inputs, result, source_of("ceiling-unmarked"), note)

"""Whether the greatest overcurrent device that a heater marks can be true: one digit too many would be obeyed.

The marking governs, NFPA 70 (2023) 422.11(E)(1); what the code allows where nothing is marked, 150 % of the current and
the next standard size, is what a maker would hardly pass (common practice, no source). One marking serves all ratings.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from generator.compute.circuit.circuit import Rules
from generator.compute.circuit.load import Load, loads
from generator.compute.circuit.sizes import standard_ratings
from generator.compute.circuit.supply_connection import connect
from generator.compute.circuit.values import amps, text
from generator.errors import CannotCompute
from generator.model.figures import Row
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import HeaterModel

FEED = ("feed", "marked")
MARKED = Rule(
    "marked-device",
    {"not-marked": (), "plausible": (), "check": ()},
    lists={"marked": FEED, "above": (*FEED, "current", "most"), "odd": FEED},
)


def marked_device(model: HeaterModel, rules: Rules) -> Judgement:
    """Judge the markings of all feeds; `attention` for one beyond what its current calls for or of no standard rating.

    An `attention`, since the maker may have marked it so: a person must look at the nameplate.
    """
    source = rules.basis.rules.sources[MARKED.name]
    marked = list(_marked(model, rules))
    if not marked:
        return MARKED.judge("not-marked", "ok", source=source)
    standard = standard_ratings(rules.basis.tables["standard_ratings"])
    above = tuple(row for row in marked if float(row["marked"].value) > float(row["most"].value) * (1.0 + 1e-9))
    odd = tuple(row for row in marked if row not in above and row["marked"].value not in standard)
    if above or odd:
        return MARKED.judge("check", "attention", source=source, lists={"above": above, "odd": _short(odd)})
    return MARKED.judge("plausible", "ok", source=source, lists={"marked": _short(marked)})


def _short(rows: Iterable[Row]) -> tuple[Row, ...]:
    return tuple({name: row[name] for name in FEED} for row in rows)


def _marked(model: HeaterModel, rules: Rules) -> Iterator[Row]:
    """Yield by feed what it marks, the greatest current [A] that it takes at a rating, and the most that calls for."""
    connections = (connect(model, one, one.voltage_v, to_neutral=rules.TO_NEUTRAL) for one in model.ratings)
    by_rating = [loads(model, connection, "", site=False) for connection in connections]
    for of_feed in zip(*by_rating, strict=True):
        marked_a = of_feed[0].feed.maximum_device_a
        if marked_a is not None:
            yield {
                "feed": text("feed", of_feed[0].name),
                "marked": amps("marked", marked_a),
                "current": amps("current", max(load.rated_current_a for load in of_feed), "at_least"),
                "most": amps("most", max(_plausible_a(load, rules) for load in of_feed), "at_most"),
            }


def _plausible_a(load: Load, rules: Rules) -> float:
    try:
        return rules.plausible_device_a(load)
    except CannotCompute:  # a load beyond the standard ratings, refused where its circuit is sized
        return math.inf

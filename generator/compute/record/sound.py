"""The finding `readings-sound`: whether what was read of a heater can be relied on.

Severity: `attention` where a reading cannot be true or lies beyond its instrument, or an instrument was past its
calibration: what rests on it proves nothing until it is taken again. `ok` where there is no visit, which is
`commissioned`'s to say.
"""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.severity import ok_or_attention
from generator.compute.sources import PRACTICE, sources
from generator.compute.verdict.status import standing
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Rule
from generator.model.instruments import Instruments
from generator.model.records import DOUBTS, Doubt, Visit

SOURCE = sources("JCGM 100:2008", PRACTICE)
RULE = Rule(
    "readings-sound",
    {"none": (), "doubtful": ("date",), "sound": ("date",)},
    lists={"doubts": ("doubt", "instrument", "point")},
    choices={"doubt": DOUBTS, "instrument": tuple(Instruments.model_fields)},
)


def readings_sound(site: str, visits: Sequence[Visit]) -> Finding:
    """Return the finding `readings-sound` of the last visit to a site (its id)."""
    _, last = standing(visits)
    if last is None:
        return RULE.judge("none", "ok", source=SOURCE).at(site)
    rows = tuple(map(_row, last.doubts))
    case, date = "doubtful" if rows else "sound", (Value("date", last.date.isoformat(), "text"),)
    return RULE.judge(case, ok_or_attention(not rows), date, source=SOURCE, lists={"doubts": rows}).at(site)


def _row(one: Doubt) -> Row:
    named = {"doubt": one.code, "instrument": one.instrument}
    row = {symbol: Value(symbol, code, "text") for symbol, code in named.items() if code}
    return row | ({"point": Value("point", float(one.point), "count")} if one.point else {})

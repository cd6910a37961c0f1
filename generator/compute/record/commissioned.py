"""The finding `commissioned`: whether a record proves the heater as it stands.

Severity, and why:
- `stop`: the last visit found the heater not fit, or its own readings do not pass: it is known to be unsound.
- `attention`: nothing proves it yet. No visit is on record, or the record lacks a test that a commissioning asks for,
  or a figure that it proved has grown worse since, so that the proof is of another heater than this.
- `ok`: a commissioning holds, and the last visit found the heater fit.
Neither `stop` nor `attention` keeps a card from being printed or a handbook from being released: the card is what a
commissioning is done by.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from generator.compute.record.passes import TESTS
from generator.compute.severity import ATTENTION, OK, STOP
from generator.compute.sources import PRACTICE, sources
from generator.compute.verdict.status import COMMISSIONED, standing
from generator.model.figures import Finding, Row, Severity, Value
from generator.model.finding_rules import Rule
from generator.model.records import Visit
from generator.model.said import say

SOURCE = sources(PRACTICE, say("code-and-instructions"))
RULE = Rule(
    COMMISSIONED,
    {
        "none": (),
        "failed": ("date",),
        "incomplete": ("date",),
        "lapsed": ("date",),
        "holds": ("date", "last", "due"),
    },
    lists={"failed": ("test",), "missing": ("test",), "figures": ("figure",)},
    choices={"test": TESTS},
    stops=("failed",),
)


def commissioned(site: str, visits: Sequence[Visit]) -> Finding:
    """Return the finding `commissioned` of a site (its id), from its visits."""
    started, last = standing(visits)
    if last is None:
        return RULE.judge("none", ATTENTION, source=SOURCE).at(site)
    if last.failed:
        return _found(site, "failed", STOP, visit=last, rows={"failed": _tests(last.failed)})
    if started is None or started.missing:
        missing = started.missing if started else ()
        return _found(site, "incomplete", ATTENTION, visit=started or last, rows={"missing": _tests(missing)})
    if started.lapsed:
        figures = tuple({"figure": Value("figure", one.figure, "text")} for one in started.lapsed)
        return _found(site, "lapsed", ATTENTION, visit=started, rows={"figures": figures})
    values = (_day("date", started), _day("last", last), Value("due", last.next_check.isoformat(), "text"))
    return RULE.judge("holds", OK, values, source=SOURCE).at(site)


def _found(site: str, case: str, severity: Severity, *, visit: Visit, rows: dict[str, tuple[Row, ...]]) -> Finding:
    return RULE.judge(case, severity, (_day("date", visit),), source=SOURCE, lists=rows).at(site)


def _day(symbol: str, visit: Visit) -> Value:
    return Value(symbol, visit.date.isoformat(), "text")


def _tests(codes: Iterable[str]) -> tuple[Row, ...]:
    return tuple({"test": Value("test", code, "text")} for code in codes)

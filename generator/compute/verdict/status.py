"""Where a site stands: STOP, NOT COMMISSIONED, or commissioned on a day.

It says nothing of whether a check is overdue: what is printed does not change with the day on which it is printed.
It stands outside every revision code: a card that hangs is not void because someone measured.
"""

from __future__ import annotations

from collections.abc import Iterable

from generator.compute.verdict.off import stays_off
from generator.model.records import Status, Visit
from generator.model.results import SiteResult

COMMISSIONED, COMMISSIONING = "commissioned", "commissioning"


def status(result: SiteResult) -> Status:
    """Return the status of a site, from its results."""
    measured = tuple(found for found in result.measured if found.severity == "stop")
    if stops := (*stays_off(result), *measured):
        return Status("stop", tuple(found.id for found in stops))
    (held,) = (found for found in result.measured if found.rule == COMMISSIONED)
    if held.severity != "ok":
        return Status("not-commissioned", (held.id,))
    started, last = standing(result.visits)
    assert started is not None and last is not None
    return Status("commissioned", (held.id,), started.date, last.next_check)


def standing(visits: Iterable[Visit]) -> tuple[Visit | None, Visit | None]:
    """Return the commissioning that a site stands on, and the last visit of all; None where there is none.

    A failed visit ends what went before it: only another commissioning, or a service that found the heater fit, lifts
    it.
    """
    started: Visit | None = None
    last: Visit | None = None
    for visit in sorted(visits, key=lambda one: one.date):
        started = visit if visit.kind == COMMISSIONING else started
        last = visit
    return started, last

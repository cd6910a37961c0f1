"""Which failed checks an owner may accept, and whether an acceptance still holds.

A check that is not listed in JUDGED cannot be accepted: none of the electrical code, which only the authority having
jurisdiction can waive (NFPA 70 (2023) 90.4, from memory); no limit of the heater's maker; no pressure, pipe or steam
that can burst; no limit of the plumbing code. What is left is water that the owner guards by other means, and a heater
that does less than it was chosen for. An acceptance holds the figure accepted, and lapses when what is found is worse
or the handbook is later than its last day.
"""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from generator.errors import CannotCompute
from generator.model.figures import Accepted, Finding, Value
from generator.model.site import Acceptance

# Rule -> the value of its finding by which it is judged, and where worse lies.
JUDGED: dict[str, tuple[str, Literal["above", "below"]]] = {
    "hottest-water": ("hottest", "above"),
    "target-reached": ("target", "above"),
    "working-flow": ("wanted", "below"),
    "working-pressure": ("pressure", "below"),
}
# Room for the rounding of a figure that is copied as it was printed, in SI by kind: 1 degF or degC, 1 psi, 0.1 gpm.
ROUNDING = {"temperature": 1.0, "pressure": 6894.8, "flow": 6.4e-6}
SAME = 1e-9
WORSE = "What is found now is worse than what was accepted."
LATE = "The day until which it was accepted has passed."


def with_acceptances(
    findings: tuple[Finding, ...], accepts: Sequence[Acceptance], today: datetime.date
) -> tuple[Finding, ...]:
    """Return the findings, the stops among them marked with the acceptance that holds or that lapsed.

    `today` is the date of the handbook. CannotCompute, with the key of the entry, for an acceptance of no check, of one
    that no owner may accept, of what is no stop, or at a figure that was not found.
    """
    marked = {found.id: found for found in findings}
    for place, entry in enumerate(accepts):
        found = marked.get(entry.finding)
        if found is None:
            raise _refusal(place, "finding", f"'{entry.finding}' is no finding of this site", _listed(findings))
        marked[found.id] = _marked(place, entry, found, today)
    return tuple(marked.values())


def _marked(place: int, entry: Acceptance, found: Finding, today: datetime.date) -> Finding:
    if found.rule not in JUDGED:
        wrong = f"no owner can accept '{found.rule}'"
        raise _refusal(place, "finding", wrong, "mend it; only the authority having jurisdiction can waive a rule")
    if found.severity != "stop":
        wrong = f"'{entry.finding}' is {found.severity} here, and only a stop is accepted"
        raise _refusal(place, "finding", wrong, "leave the entry out")
    words = Accepted(entry.by, entry.date.isoformat(), entry.reason, entry.until.isoformat(), entry.at)
    symbol, worse = JUDGED[found.rule]
    judged = next((value for value in found.values if value.symbol == symbol), None)
    if judged is None or _beyond(place, entry.at, judged, worse) > 0.0:
        return replace(found, lapsed=f"{WORSE} {words.text}.")
    if today > entry.until:
        return replace(found, lapsed=f"{LATE} {words.text}.")
    return replace(found, accepted=words)


def _beyond(place: int, at: Value, judged: Value, worse: Literal["above", "below"]) -> float:
    """Return by how much what is found is worse than what was accepted [SI]; at most 0 where it is not."""
    if at.kind != judged.kind:
        raise _refusal(place, "at", f"the figure found is a {judged.kind}", "copy the figure that the finding shows")
    accepted, now = float(at.value), float(judged.value)
    beyond = now - accepted if worse == "above" else accepted - now
    if beyond < -ROUNDING[at.kind]:
        wrong = "more is accepted than what is found"
        raise _refusal(place, "at", wrong, "copy the figure that the finding shows")
    return beyond if beyond > SAME * abs(now) else 0.0


def _listed(findings: Sequence[Finding]) -> str:
    stops = [found.id for found in findings if found.severity == "stop" and found.rule in JUDGED]
    return f"write one of {', '.join(stops)}" if stops else "leave the entry out: no stop here can be accepted"


def _refusal(place: int, key: str, wrong: str, expected: str) -> CannotCompute:
    return CannotCompute(("accepts", place, key), wrong, expected)

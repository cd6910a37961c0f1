"""How grave a check is: the three severities, what a check is that can break in one way only, the worst of several."""

from __future__ import annotations

from collections.abc import Iterable

from generator.model.figures import Severity
from generator.model.finding_rules import Judgement

OK: Severity = "ok"
ATTENTION: Severity = "attention"
STOP: Severity = "stop"
RISING = (OK, ATTENTION, STOP)


def ok_or_stop(fits: bool) -> Severity:
    """Return the severity of a check that nothing but a `stop` can break."""
    return "ok" if fits else "stop"


def ok_or_attention(fits: bool) -> Severity:
    """Return the severity of a check that a person must look at where it does not hold."""
    return "ok" if fits else "attention"


def worst(judgements: Iterable[Judgement]) -> Judgement:
    """Return the most severe, the first of equals."""
    return max(judgements, key=lambda one: RISING.index(one.severity))

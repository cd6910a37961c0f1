"""How the electrical rules report: one finding a rule a site, the worst of its circuits."""

from __future__ import annotations

from collections.abc import Iterable

from generator.model.figures import Severity
from generator.model.finding_rules import Judgement

SEVERITIES: tuple[Severity, ...] = ("ok", "attention", "stop")


def worst(judgements: Iterable[Judgement]) -> Judgement:
    """Return the most severe, the first of equals."""
    return max(judgements, key=lambda one: SEVERITIES.index(one.severity))

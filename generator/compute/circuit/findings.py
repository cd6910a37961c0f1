"""How the electrical rules report: one finding a rule a site, the worst of its circuits."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from generator.model.figures import Finding, Sentence, Severity, Value

SEVERITIES: tuple[Severity, ...] = ("ok", "attention", "stop")


@dataclass(frozen=True, slots=True)
class Judgement:
    """What one rule found, before it is tied to a site: severity, sentence, why it matters, what to do, who says so."""

    rule: str
    severity: Severity
    found: Sentence
    why: str
    do: str
    source: str


def judgement(
    rule: str, severity: Severity, template: str, values: tuple[Value, ...], why: str, do: str, source: str
) -> Judgement:
    """Return a judgement whose sentence is `template` with its `{symbol}` places filled from `values`."""
    return Judgement(
        rule, severity, Sentence(template, values), why, do if severity != "ok" else "Nothing to do.", source
    )


def worst(judgements: Iterable[Judgement]) -> Judgement:
    """Return the most severe, the first of equals."""
    return max(judgements, key=lambda one: SEVERITIES.index(one.severity))


def finding(site_id: str, found: Judgement) -> Finding:
    """Return the judgement as a finding about a site."""
    return Finding(
        f"{site_id}.{found.rule}", found.rule, found.severity, site_id, found.found, found.why, found.do, found.source
    )

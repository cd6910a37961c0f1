"""How the electrical rules report: one finding a rule a site, the worst of its circuits."""

from __future__ import annotations

from collections.abc import Iterable

from generator.compute.finding import plain
from generator.model.figures import Sentence, Severity, Value
from generator.model.finding_rules import Judgement

SEVERITIES: tuple[Severity, ...] = ("ok", "attention", "stop")


def judgement(
    rule: str, severity: Severity, template: str, values: tuple[Value, ...], why: str, do: str, source: str
) -> Judgement:
    """Return a judgement whose sentence is `template` with its `{symbol}` places filled from `values`."""
    done = do if severity != "ok" else "Nothing to do."
    found = Sentence(template, values)
    return Judgement(rule, severity, values=values, source=source, found=found, why=plain(why), do=plain(done))


def worst(judgements: Iterable[Judgement]) -> Judgement:
    """Return the most severe, the first of equals."""
    return max(judgements, key=lambda one: SEVERITIES.index(one.severity))

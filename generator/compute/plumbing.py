"""Who says so where a finding rests on a plumbing or energy rule: the site's plumbing basis, or none held here.

A finding is made without knowing the basis: its source holds a mark for the rule, and the site's basis fills it in.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace

from generator.model.figures import Finding
from generator.model.rules import Rules

_MARK = re.compile(r"<plumbing:([a-z-]+)>")
NOT_HELD = (
    "limits of this handbook; no plumbing code is held here for this site: ask the authority having jurisdiction there"
)


def plumbing(rule: str) -> str:
    """Return the mark that stands for who asks for a rule of plumbing."""
    return f"<plumbing:{rule}>"


def cited(findings: Iterable[Finding], rules: Rules | None) -> tuple[Finding, ...]:
    """Return the findings with every mark filled in by `rules`, the site's plumbing basis; None: it has none."""
    return tuple(replace(one, source=_filled(one.source, rules)) for one in findings)


def _filled(source: str, rules: Rules | None) -> str:
    if rules is not None:
        return _MARK.sub(lambda mark: rules.source_of(mark[1]), source)
    parts = [NOT_HELD if _MARK.search(part) else part for part in source.split("; ")]
    return "; ".join(dict.fromkeys(parts))

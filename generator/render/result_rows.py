"""Findings, the values in them, and figures as rows for other programs: codes and SI numbers, no word, no rounding.

The columns are public: their names and types stay, and what they mean stands in `content/many-sites.md`. A column that
is added comes last; one that changes its meaning makes another FORMAT_VERSION.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

from generator.assemble.results_json import unit_of
from generator.model.figures import Figure, Finding
from generator.model.said import Said

FORMAT, FORMAT_VERSION = "handbook-results", 1
Row = Mapping[str, str | float | bool | None]
# By table, its columns with the type of their cells; a cell that has no value is empty.
COLUMNS: Mapping[str, Mapping[str, type]] = {
    "findings": {
        "revision": str,
        "finding": str,
        "subject": str,
        "rule": str,
        "case": str,
        "severity": str,
        "decided": bool,
    },
    "values": {
        "revision": str,
        "finding": str,
        "symbol": str,
        "kind": str,
        "unit": str,
        "value": float,
        "text": str,
        "rounds": str,
    },
    "figures": {
        "revision": str,
        "figure": str,
        "subject": str,
        "kind": str,
        "unit": str,
        "value": float,
        "text": str,
        "rounds": str,
        "state": str,
        "low": float,
        "high": float,
    },
}


def finding_rows(findings: Iterable[Finding], revision: str) -> Iterator[Row]:
    """Yield a row a finding."""
    for found in findings:
        yield {
            "revision": revision,
            "finding": found.id,
            "subject": found.subject,
            "rule": found.rule,
            "case": found.case,
            "severity": found.severity,
            "decided": found.decided,
        }


def value_rows(findings: Iterable[Finding], revision: str) -> Iterator[Row]:
    """Yield a row for each value that a finding rests on."""
    for found in findings:
        for one in found.values:
            yield {
                "revision": revision,
                "finding": found.id,
                "symbol": one.symbol,
                **_measure(one.value, one.kind),
                "rounds": one.side,
            }


def figure_rows(figures: Iterable[Figure], subject: str, revision: str) -> Iterator[Row]:
    """Yield a row a figure of a subject: the id of a site, or `model.<id>`."""
    for one in figures:
        low, high = one.band or (None, None)
        yield {
            "revision": revision,
            "figure": one.id,
            "subject": subject,
            **_measure(one.value, one.kind),
            "rounds": one.side,
            "state": one.state,
            "low": _finite(low),
            "high": _finite(high),
        }


def _measure(value: float | str | None, kind: str) -> Row:
    """Return kind, unit, and the value as a number or a text; a text of the handbook's own by the key of its words."""
    text = value.key if isinstance(value, Said) else value if isinstance(value, str) else None
    number = None if value is None or isinstance(value, str) else _finite(float(value))
    return {"kind": kind, "unit": unit_of(kind), "value": number, "text": text}


def _finite(value: float | None) -> float | None:
    """Return a number; None for one without a bound, which neither JSON nor a reader's sum can hold."""
    return value if value is not None and math.isfinite(value) else None

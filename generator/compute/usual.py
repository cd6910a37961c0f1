"""Whether the values of a model or a site lie where such values usually lie.

Severity: `attention` for each that does not, since a slipped digit or a wrong unit is found by who looks again. What
cannot be at all is refused when the file is read.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pydantic import BaseModel

from generator.compute.severity import ok_or_attention
from generator.compute.sources import PRACTICE
from generator.errors import dotted
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Rule
from generator.model.tables.usual import UsualRange, values_at

USUAL_VALUES = Rule(
    "usual-values", {"usual": (), "unusual": ()}, lists={"unusual": ("key", "value", "least", "greatest", "why")}
)
SLACK = 1e-9  # two texts of one value are not one float


def usual_values(subject: str, item: BaseModel, ranges: Mapping[str, UsualRange]) -> Finding:
    """Return which values of a model or a site lie outside their usual range."""
    rows = tuple(_unusual(item, ranges))
    case = "unusual" if rows else "usual"
    return USUAL_VALUES.judge(case, ok_or_attention(not rows), source=PRACTICE, lists={"unusual": rows}).at(subject)


def _unusual(item: BaseModel, ranges: Mapping[str, UsualRange]) -> Iterator[Row]:
    for key, usual in ranges.items():
        least, most, kind = float(usual.least.value), float(usual.greatest.value), usual.least.kind
        slack = SLACK * max(abs(least), abs(most))
        for path, value in values_at(item, tuple(key.split("."))):
            if not least - slack <= value <= most + slack:
                yield {
                    "key": Value("key", dotted(path), "text"),
                    "value": Value("value", value, kind),
                    "least": Value("least", least, kind),
                    "greatest": Value("greatest", most, kind),
                    "why": Value("why", usual.why, "text"),
                }

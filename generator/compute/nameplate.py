"""Whether a model's data have evidence: somebody saw its nameplate, and somebody else checked the copy."""

from __future__ import annotations

from generator.compute.sources import PRACTICE
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.heater import HeaterModel

NAMEPLATE = Rule("nameplate", {"not-stated": (), "seen": ("seen_by", "checked_by", "date", "document")})


def model_subject(model: HeaterModel) -> str:
    """Return the subject of a model's own findings; those of a site have the site's id."""
    return f"model.{model.id}"


def nameplate_finding(model: HeaterModel) -> Finding:
    """Return `nameplate`: `attention` without evidence, since a digit copied wrong is in every figure of every site."""
    seen = model.nameplate
    if seen is None:
        return NAMEPLATE.judge("not-stated", "attention", source=PRACTICE).at(model_subject(model))
    texts = {"seen_by": seen.seen_by, "checked_by": seen.checked_by, "document": seen.document}
    values = [Value(name, words, "text") for name, words in texts.items()]
    values.append(Value("date", seen.date.isoformat(), "text"))
    return NAMEPLATE.judge("seen", "ok", tuple(values), source=PRACTICE).at(model_subject(model))

"""A decision about a finding in the words of content/words/decisions.yaml."""

from __future__ import annotations

from generator.model.content.words import DecisionWord, Style
from generator.model.figures import Decided


def decision_words(made: Decided, style: Style) -> str:
    """Return what was decided and by whom, when, why and until when: `Accepted by farm manager, …`."""
    return f"{style.words.decisions[made.kind]} {_who(made, style, 'authority' if made.authority else 'owner')}"


def decision_short(made: Decided, style: Style) -> str:
    """Return the same without the reason, for where that has no room."""
    who = _who(made, style, "authority-short" if made.authority else "owner-short")
    return f"{style.words.decisions[made.kind]} {who}"


def lapse_words(made: Decided, style: Style) -> str:
    """Return that a decision holds no longer, why, and which; empty where it holds."""
    if made.lapsed is None:
        return ""
    words = style.words.decisions
    return f"{words['lapsed']} {words[made.lapsed]} {decision_words(made, style)}."


def _who(made: Decided, style: Style, form: DecisionWord) -> str:
    return style.words.decisions[form].format(
        by=made.by,
        authority=made.authority,
        document=made.document,
        date=made.date,
        why=made.why.rstrip("."),
        until=made.until,
    )

"""The smallest parts of what Typst sets: figures, sentences, facts and heads as texts."""

from __future__ import annotations

import re
from typing import Any

from generator.model.card import CardHead, Fact, Worded
from generator.model.figures import Figure, Sentence, Value
from generator.model.words import Style
from generator.render.format import NBSP, or_more, parts, show

Texts = dict[str, Any]

STATE_ID = "state_id"

LONGEST_UNBROKEN = 16  # signs of a word before a line may break inside it; the widest narrow column holds these
_LONG_WORD = re.compile(rf"\S{{{LONGEST_UNBROKEN}}}(?=\S)")
ZERO_WIDTH_SPACE = "\u200b"


def breakable(text: str) -> str:
    """Return `text` with places to break inside words too long for a narrow column."""
    return _LONG_WORD.sub(lambda match: match[0] + ZERO_WIDTH_SPACE, text)


def lines(item: Figure | Value, style: Style) -> Texts:
    """Return a figure or value as the text in each shown unit, split into number and unit, with its state.

    `state` is the word that stands on the card, `state_id` the code by which the print template chooses a mark.
    """
    state = item.state if isinstance(item, Figure) else "ok"
    stands = {"state": style.words.states[state], STATE_ID: state}
    if item.value is None:
        return {"parts": []} | stands
    texts = (text + or_more(item, style) for text in parts(item.value, item.kind, item.side, units=style.units))
    shown = (text.partition(NBSP)[::2] for text in texts)
    return {"parts": [[number, unit] for number, unit in shown]} | stands


def sentence(words: Sentence, style: Style) -> str:
    """Return a sentence with its values shown."""
    return breakable("".join(text for text, _ in words.filled(lambda value: show(value, style))))


def fact_texts(fact: Fact, style: Style) -> list[str]:
    """Return a fact as label and text."""
    label, value = style.words.card[fact.label], fact.value
    if isinstance(value, Worded):
        return [label, style.words.card[value.word]]
    return [label, value if isinstance(value, str) else show(value, style)]


def head_texts(head: CardHead) -> Texts:
    """Return whose card it is."""
    return {
        "site": breakable(head.site),
        "heater": breakable(head.heater),
        "heater_revision": head.heater_revision,
        "publisher": breakable(head.publisher),
        "contact": breakable(head.contact),
        "handbook": breakable(head.handbook),
        "revision": head.revision,
        "date": head.date.isoformat(),
        "language": head.language,
        "page": head.page,
        "address": head.address,
    }

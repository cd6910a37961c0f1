"""The smallest parts of what Typst sets: figures, sentences, facts and heads as texts."""

from __future__ import annotations

import re
from collections.abc import Mapping

from generator.model.content.notices import SIGNALS
from generator.model.content.words import Style, Words
from generator.model.documents.card import CardHead, Fact, Worded
from generator.model.figures import Figure, Sentence, Value
from generator.render.card.shape import HeadTexts
from generator.render.format import NBSP, parts, show

LONGEST_UNBROKEN = 16  # signs of a word before a line may break inside it; the widest narrow column holds these
_LONG_WORD = re.compile(rf"\S{{{LONGEST_UNBROKEN}}}(?=\S)")
ZERO_WIDTH_SPACE = "\u200b"


def breakable(text: str) -> str:
    """Return `text` with places to break inside words too long for a narrow column."""
    return _LONG_WORD.sub(lambda match: match[0] + ZERO_WIDTH_SPACE, text)


def print_words(words: Words) -> Mapping[str, Mapping[str, str]]:
    """Return the words of the print templates, by template and id; the signal words beside them."""
    return {**words.print, "signal": {signal: words.choices[signal] for signal in SIGNALS}}


def number_and_unit(item: Figure | Value, style: Style) -> tuple[str, str]:
    """Return a figure or value in the first shown unit, split; a figure without a value is its state, without unit."""
    if item.value is None:
        return show(item, style), ""
    number, _, unit = parts(item.value, item.kind, item.side, units=style.units)[0].partition(NBSP)
    return number, unit


def sentence(words: Sentence, style: Style) -> str:
    """Return a sentence with its values shown."""
    return breakable("".join(text for text, _ in words.filled(lambda value: show(value, style))))


def fact_texts(fact: Fact, style: Style) -> list[str]:
    """Return a fact as label and text."""
    label, value = style.words.card[fact.label], fact.value
    if isinstance(value, Worded):
        return [label, style.words.card[value.word]]
    return [label, value if isinstance(value, str) else show(value, style)]


def head_texts(head: CardHead) -> HeadTexts:
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
        "page": head.page,
        "address": head.address,
        "logo": head.logo,
    }

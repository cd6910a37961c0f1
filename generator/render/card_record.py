"""What a card shows, kept with the results so that it can be told what differs on a printed one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from generator.assemble.results_json import walk
from generator.model.card import Card
from generator.model.figures import Figure
from generator.render.format import Units
from generator.render.typst_card import told
from generator.render.typst_texts import ZERO_WIDTH_SPACE

# The parts of a card that show figures, each under its id; the others are words.
FIGURES = ("circuits", "window", "hottest", "limit", "target", "outlets", "stages")


def card_record(card: Card, units: Units) -> dict[str, list[str]]:
    """Return the ids of a card's figures and its words, a line for each item of a list and each fact of its head."""
    figures = dict.fromkeys(figure.id for figure in walk(card, Figure))
    texts = told(card, units)
    words = [line for part, content in texts.items() if part not in FIGURES for line in _lines(content)]
    return {"figures": list(figures), "words": [line for line in words if line]}


def _lines(content: Any) -> list[str]:
    if isinstance(content, dict):
        content = list(content.values())
    items = content if isinstance(content, list) else [content]
    return [" ".join(filter(None, _leaves(item))).replace(ZERO_WIDTH_SPACE, "") for item in items]


def _leaves(item: Any) -> Iterator[str]:
    if isinstance(item, str):
        yield item
    elif isinstance(item, dict):
        for part in item.values():
            yield from _leaves(part)
    elif isinstance(item, list):
        for part in item:
            yield from _leaves(part)

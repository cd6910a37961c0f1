"""What a card shows, kept with the results so that it can be told what differs on a printed one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from generator.assemble.results_json import walk
from generator.model.card import Card
from generator.model.figures import Figure
from generator.model.words import Style
from generator.render.typst_card import told
from generator.render.typst_texts import ZERO_WIDTH_SPACE

# The parts of a card that show figures, each under its id, and the words in them; the other parts are words.
FIGURES = ("window", "hottest", "limit", "target", "outlets", "allowed", "stages")
WORDS_BESIDE = ("why_empty", "reason")


def card_record(card: Card, style: Style) -> dict[str, list[str]]:
    """Return the ids of a card's figures and its words, a line for each item of a list and each fact of its head."""
    figures = dict.fromkeys(figure.id for figure in walk(card, Figure))
    texts = told(card, style)
    head = [f"{key.replace('_', ' ')}: {text}" for key, text in texts.pop("head").items() if text]
    words = [line for part, text in texts.items() for line in (_beside(text) if part in FIGURES else _lines(text))]
    words += _flows(texts.get("outlets") or ())
    return {"figures": list(figures), "words": list(dict.fromkeys(filter(None, [*_lines(head), *words])))}


def _lines(content: Any) -> list[str]:
    items = content if isinstance(content, list) else [content]
    return [" ".join(filter(None, _leaves(item))).replace(ZERO_WIDTH_SPACE, "") for item in items]


def _beside(content: Any) -> Iterator[str]:
    """Yield the words that stand beside figures: why a window is empty, which case is the hottest."""
    if isinstance(content, dict):
        yield from (content[key] for key in WORDS_BESIDE if key in content)
    for part in content if isinstance(content, list) else ():
        yield from _beside(part)


def _flows(outlets: Iterable[Any]) -> Iterator[str]:
    """Yield the flows at which the outlet tables have a row: they move with the pipes, though no outlet need move."""
    for outlet in outlets:
        flows = (" ".join(_leaves(row["flow"]["parts"])) for row in outlet["rows"])
        yield f"outlet rows: {', '.join(flows)}"


def _leaves(item: Any) -> Iterator[str]:
    if isinstance(item, str):
        yield item
    elif isinstance(item, dict):
        for part in item.values():
            yield from _leaves(part)
    elif isinstance(item, list):
        for part in item:
            yield from _leaves(part)

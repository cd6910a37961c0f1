"""What moved on a card since the one that it takes the place of."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from generator.model.content.card_words import CardWord
from generator.model.content.words import Style
from generator.model.documents.card import Card, CardSince
from generator.model.documents.results_file import StoredFigure, StoredResults
from generator.model.figures import Figure, Value
from generator.render.format import show, show_quantity


def since(card: Card, code: str, *, last: StoredResults, style: Style) -> CardSince | None:
    """Return the code of the last release's card of the site, where it is another, and the figures that moved."""
    replaces = last.codes.get("card", {}).get(card.head.site_id)
    if replaces is None or replaces == code:
        return None
    return CardSince(replaces, tuple(_moved(card, last.figures, Style(card.units, style.words))))


def _moved(card: Card, old: Mapping[str, StoredFigure], style: Style) -> Iterator[tuple[CardWord, str, str]]:
    for word, figure in _leading(card):
        if isinstance(figure, Figure) and figure.id in old:
            was, now = _stored(old[figure.id], style), show(figure, style)
            if was != now:
                yield word, was, now


def _leading(card: Card) -> Iterator[tuple[CardWord, Figure | Value | None]]:
    """Yield the figures of the front that a person acts on, the gravest first."""
    for circuit in card.circuits:
        yield "moved-breaker", circuit.device
        yield "moved-wire", circuit.conductor
        yield "moved-ground", circuit.ground
    for fact in card.circuit_facts:
        if fact.label == "torque" and isinstance(fact.value, Figure):
            yield "moved-torque", fact.value
    yield "moved-limit", card.limit
    if card.water:
        yield "moved-hottest", card.water.hottest
        yield "moved-least", card.water.window.least
        yield "moved-greatest", card.water.window.greatest


def _stored(figure: StoredFigure, style: Style) -> str:
    if figure.value is None:
        return style.words.states[figure.state]
    return show_quantity(figure.value, figure.kind, figure.rounds, units=style.units)

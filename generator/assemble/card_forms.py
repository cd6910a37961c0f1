"""How a card gets shorter when it does not fit its page: one list of what goes, first to last.

Never dropped: the circuit, the flow window, the hottest water, unaccepted stops, notices about injury, the steps, the
deferral and the page that holds the rest. Each form says on the card what it leaves out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from generator.model.card import Card
from generator.model.figures import FigureTable

CHECKS_KEPT = 2
READING_ROWS_KEPT = 1


def fewer_checks(card: Card) -> Card:
    """Keep the first fault checks."""
    return replace(card, checks=card.checks[:CHECKS_KEPT])


def no_checks(card: Card) -> Card:
    """Keep no fault check."""
    return replace(card, checks=())


def fewer_readings(card: Card) -> Card:
    """Keep room for one set of readings."""
    return replace(card, reading_rows=READING_ROWS_KEPT)


def injury_notices(card: Card) -> Card:
    """Keep the notices about injury; those about damage go."""
    return replace(card, notices=tuple(notice for notice in card.notices if notice.signal != "notice"))


def attentions_without_remedy(card: Card) -> Card:
    """Keep what was found, not what to do."""
    return replace(card, attentions=tuple(replace(finding, do="") for finding in card.attentions))


def first_unit(card: Card) -> Card:
    """Show the outlet tables in the first unit only."""
    return replace(card, second_unit=False)


def fewer_flows(card: Card) -> Card:
    """Keep every second flow of the outlet tables, and always the least and the greatest."""
    return replace(card, outlet_winter=_thinned(card.outlet_winter), outlet_summer=_thinned(card.outlet_summer))


def no_consequence(card: Card) -> Card:
    """Keep hazard and avoidance of each notice."""
    return replace(card, notices=tuple(replace(notice, consequence="") for notice in card.notices))


def no_attentions(card: Card) -> Card:
    """Keep no finding of severity attention."""
    return replace(card, attentions=())


DROP_ORDER: tuple[tuple[str, Callable[[Card], Card]], ...] = (
    ("some fault checks", fewer_checks),
    ("room for more readings", fewer_readings),
    ("all fault checks", no_checks),
    ("what to do about the points to watch", attentions_without_remedy),
    ("notices about damage", injury_notices),
    ("some flows of the tables", fewer_flows),
    ("the second unit in the tables", first_unit),
    ("the points to watch", no_attentions),
    ("the consequences in the notices", no_consequence),
)


def forms(card: Card) -> Iterator[Card]:
    """Yield the full card, then each shorter form, each with all that the ones before it left out."""
    yield card
    for words, shorter in DROP_ORDER:
        dropped = shorter(card)
        if dropped != card:
            card = replace(dropped, left_out=(*card.left_out, words))
            yield card


def _thinned(table: FigureTable) -> FigureTable:
    last = len(table.rows) - 1
    return replace(table, rows=tuple(row for index, row in enumerate(table.rows) if index % 2 == 0 or index == last))

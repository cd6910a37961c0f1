"""Quick cards as PDF, one page each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from generator.errors import PrintFault
from generator.model.card import Card, CardHead
from generator.model.words import Style
from generator.render.card_fit import Fit, fit
from generator.render.typesetter import PAPERS, Overflow, Typesetter, creation_time
from generator.render.typst_card import print_texts
from generator.render.typst_texts import Texts

TEMPLATE = "cards.typ"
LESS_ROOM = 8.0  # how much room [pt] the next try keeps free when Typst finds a card too tall


@dataclass(frozen=True, slots=True)
class Printing:
    """How cards are printed: the folder of the templates (content/print), the paper, the style."""

    folder: Path
    paper: Literal["letter", "a4"]
    style: Style


@dataclass(frozen=True, slots=True)
class PrintedCard:
    """A card as printed: its PDF, its revision code, what its shorter form leaves out in words, and the room [pt] that
    had to be kept free beyond the estimate."""

    pdf: bytes
    code: str
    left_out: tuple[str, ...]
    less: float


def print_card(setter: Typesetter, card: Card, printing: Printing) -> PrintedCard:
    """Return a card's PDF, in the fullest form that one page holds. PrintFault when none does."""
    texts = print_texts(card, printing.style)
    subject = f"site {card.head.site_id}"
    less = 0.0
    while found := fit(texts, printing.paper, less):
        shown = fitted(found)
        try:
            pdf = setter.pdf(subject, document([card.head], [shown], printing), creation_time(card.head.date), pages=1)
        except Overflow:
            less += LESS_ROOM
            continue
        return PrintedCard(pdf, texts["code"], tuple(shown["left_out"]), less)
    wrong = f"the quick card does not fit one page of {printing.paper} paper even in its shortest form"
    raise PrintFault(subject, wrong, "shorter titles, and fewer stops, notices or stages on this site")


def combine(setter: Typesetter, printed: Sequence[tuple[Card, float]], printing: Printing) -> bytes:
    """Return one PDF of cards that were printed before (each with the room that was kept free), in this order."""
    heads, texts = [card.head for card, _ in printed], []
    for card, less in printed:
        found = fit(print_texts(card, printing.style), printing.paper, less)
        assert found is not None  # it did fit when it was printed alone
        texts.append(fitted(found))
    return setter.pdf(
        "the combined cards", document(heads, texts, printing), creation_time(heads[0].date), pages=len(texts)
    )


def fitted(found: Fit) -> Texts:
    """Return the texts of a fit with how its columns are set."""
    return found.texts | {"first": found.first, "gap": found.gap}


def document(heads: Sequence[CardHead], texts: Sequence[Texts], printing: Printing) -> Texts:
    """Return the data of content/print/cards.typ: what the document says of itself, and its cards."""
    head = heads[0]
    title = f"Quick card: {head.site}, {head.heater}" if len(heads) == 1 else f"Quick cards: {head.handbook}"
    return described(head, title, texts) | {"paper": PAPERS[printing.paper], "cards": list(texts)}


def described(head: CardHead, title: str, texts: Sequence[Texts]) -> Texts:
    """Return what a document says of itself: title, author, description, and the codes of its cards as keywords."""
    return {
        "title": title,
        "author": head.publisher,
        "description": f"{head.handbook}, revision {head.revision}, {head.date.isoformat()}",
        "keywords": [text["code"] for text in texts],
    }

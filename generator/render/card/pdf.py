"""Quick cards as PDF, one sheet each, printed on both sides."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from generator.errors import PrintFault
from generator.model.content.card_words import CardWord
from generator.model.content.words import Style, Words
from generator.model.documents.card import Card, CardHead
from generator.model.settings import primary
from generator.render.by_language import direction
from generator.render.card.shape import Described, PrintTexts, SheetTexts
from generator.render.card.texts import print_texts
from generator.render.card.wiring import wiring_texts
from generator.render.drawing.sheet import on_paper
from generator.render.typesetter import PAPERS, Overflow, Typesetter, creation_time
from generator.render.typst_texts import print_words

TEMPLATE = "cards.typ"
SIDES = 2


@dataclass(frozen=True, slots=True)
class Printing:
    """How cards are printed: the folder of the templates (content/print), the paper, the style."""

    folder: Path
    paper: Literal["letter", "a4"]
    style: Style


@dataclass(frozen=True, slots=True)
class PrintedCard:
    """A card as printed: its PDF and its revision code."""

    pdf: bytes
    code: str


def print_card(setter: Typesetter, card: Card, printing: Printing) -> PrintedCard:
    """Return a card's PDF: one sheet, front and back. PrintFault when a side does not hold what must stand on it."""
    data = document([card], printing)
    return PrintedCard(set_card(setter, card.head, data, paper=printing.paper), code_of(data))


def set_card(setter: Typesetter, head: CardHead, data: Mapping[str, Any], *, paper: str) -> bytes:
    """Return the PDF of the `document` of one card. PrintFault as for `print_card`."""
    subject = f"site {head.site_id}"
    try:
        return setter.pdf(subject, data, creation_time(head.date), pages=SIDES)
    except Overflow:
        wrong = f"the quick card does not fit one sheet of {paper} paper even in its shortest form"
        expected = "shorter titles, and fewer stops or stages on this site"
        raise PrintFault(subject, wrong, expected) from None


def combine(setter: Typesetter, data: Mapping[str, Any], date: datetime.date) -> bytes:
    """Return one PDF of the `document` of cards that were printed before, in its order."""
    return setter.pdf("the combined cards", data, creation_time(date), pages=SIDES * len(data["cards"]))


def _sheet(card: Card, printing: Printing) -> SheetTexts:
    return {**print_texts(card, printing.style), "wiring": wiring_texts(card, printing.style)}


def document(cards: Sequence[Card], printing: Printing) -> Mapping[str, Any]:
    """Return the data of content/print/cards.typ: what the document says of itself, and its cards."""
    head, texts = cards[0].head, [_sheet(card, printing) for card in cards]
    word: CardWord = "card-title" if len(cards) == 1 else "cards-title"
    return described(head, word, texts, words=printing.style.words) | {
        "paper": PAPERS[printing.paper],
        "drawing_style": on_paper((printing.folder.parent / "assets" / "drawing.css").read_text(encoding="utf-8")),
        "cards": texts,
    }


def code_of(data: Mapping[str, Any]) -> str:
    """Return the revision code of the first card of a `document`."""
    code: str = data["keywords"][0]
    return code


def described(head: CardHead, title: CardWord, texts: Sequence[PrintTexts], *, words: Words) -> Described:
    """Return what a document says of itself, with the codes of its cards as keywords, and the words of print."""
    issue = words.card["issue"].format(handbook=head.handbook, revision=head.revision, date=head.date.isoformat())
    return {
        "title": words.card[title].format(site=head.site, heater=head.heater, handbook=head.handbook),
        "author": head.publisher,
        "description": issue,
        "keywords": [text["code"] for text in texts],
        "language": primary(head.language),
        "direction": direction(head.language),
        "words": print_words(words),
    }

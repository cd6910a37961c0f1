"""Quick cards as PDF: the longest form of each that fits its page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from generator.assemble.card_forms import forms
from generator.errors import PrintFault
from generator.model.card import Card, CardHead
from generator.render.format import Units
from generator.render.typesetter import PAPERS, Overflow, Typesetter, creation_time
from generator.render.typst_card import card_code, card_texts
from generator.render.typst_texts import Texts

TEMPLATE = "cards.typ"


@dataclass(frozen=True, slots=True)
class Printing:
    """How cards are printed: the folder of the templates (content/print), the paper, the units shown."""

    folder: Path
    paper: Literal["letter", "a4"]
    units: Units


@dataclass(frozen=True, slots=True)
class PrintedCard:
    """A card as printed: its PDF, the form that fitted, its revision code, and its texts (to print it again)."""

    pdf: bytes
    form: Card
    code: str
    texts: Texts


def print_card(setter: Typesetter, card: Card, printing: Printing) -> PrintedCard:
    """Return a card's PDF in the longest form that fits one page. PrintFault when even the shortest does not."""
    code = card_code(card, printing.units)
    subject = f"site {card.head.site_id}"
    for form in forms(card):
        texts = card_texts(form, printing.units) | {"code": code}
        try:
            pdf = setter.pdf(subject, document([form], [texts], printing), creation_time(card.head.date))
        except Overflow:
            continue
        return PrintedCard(pdf, form, code, texts)
    wrong = f"the quick card does not fit one page of {printing.paper} paper even in its shortest form"
    raise PrintFault(subject, wrong, "shorter titles, and fewer stops, notices or stages on this site")


def combine(setter: Typesetter, printed: Sequence[tuple[Card, Texts]], printing: Printing) -> bytes:
    """Return one PDF of cards that were printed before (form and texts of each), one a page, in this order."""
    cards, texts = [card for card, _ in printed], [text for _, text in printed]
    return setter.pdf("the combined cards", document(cards, texts, printing), creation_time(cards[0].head.date))


def document(cards: Sequence[Card], texts: Sequence[Texts], printing: Printing) -> Texts:
    """Return the data of content/print/cards.typ: what the document says of itself, and its cards."""
    head = cards[0].head
    title = f"Quick card: {head.site}, {head.heater}" if len(cards) == 1 else f"Quick cards: {head.handbook}"
    return described(head, title, texts) | {"paper": PAPERS[printing.paper], "cards": list(texts)}


def described(head: CardHead, title: str, texts: Sequence[Texts]) -> Texts:
    """Return what a document says of itself: title, author, description, and the codes of its cards as keywords."""
    return {
        "title": title,
        "author": head.publisher,
        "description": f"{head.handbook}, revision {head.revision}, {head.date.isoformat()}",
        "keywords": [text["code"] for text in texts],
    }

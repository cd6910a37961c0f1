"""Labels as PDF: one for the panel, one for the heater, from the same card."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from generator.errors import PrintFault
from generator.model.content.card_words import CardWord
from generator.model.documents.card import Card
from generator.model.settings import LabelSize
from generator.render.card.pdf import Printing, described
from generator.render.card.texts import print_texts
from generator.render.typesetter import Overflow, Typesetter, creation_time
from generator.units import from_si

TEMPLATE = "label.typ"
POINTS_PER_INCH = 72.0
TITLES: Mapping[str, CardWord] = {"panel": "panel-label-title", "heater": "heater-label-title"}


def print_label(
    setter: Typesetter, card: Card, printing: Printing, *, kind: Literal["panel", "heater"], size: LabelSize
) -> bytes:
    """Return the PDF of one label on a page of `size`. PrintFault when the label is too small for its text."""
    width, height = _points(size.width_m), _points(size.height_m)
    texts = print_texts(card, printing.style)
    own = described(card.head, TITLES[kind], [texts], words=printing.style.words)
    data = {**own, "kind": kind, "width": width, "height": height, "card": texts}
    try:
        return setter.pdf(f"site {card.head.site_id}", data, creation_time(card.head.date))
    except Overflow:
        inches = f"{width / POINTS_PER_INCH:.1f} by {height / POINTS_PER_INCH:.1f} inches"
        wrong = f"the {kind} label does not fit {inches}"
        raise PrintFault(f"site {card.head.site_id}", wrong, f"a larger {kind}_label in handbook.yaml") from None


def _points(length_m: float) -> float:
    return from_si(length_m, "length", "in") * POINTS_PER_INCH

"""Labels as PDF: one for the panel, one for the heater, from the same card."""

from __future__ import annotations

from typing import Literal

from generator.errors import PrintFault
from generator.model.card import Card
from generator.model.settings import LabelSize
from generator.render.print_card import Printing, described
from generator.render.typesetter import Overflow, Typesetter, creation_time
from generator.render.typst_card import print_texts
from generator.units import from_si

TEMPLATE = "label.typ"
POINTS_PER_INCH = 72.0


def print_label(
    setter: Typesetter, card: Card, printing: Printing, *, kind: Literal["panel", "heater"], size: LabelSize
) -> bytes:
    """Return the PDF of one label on a page of `size`. PrintFault when the label is too small for its text."""
    width, height = _points(size.width_m), _points(size.height_m)
    texts = print_texts(card, printing.style)
    title = f"{kind.capitalize()} label: {card.head.site}, {card.head.heater}"
    data = described(card.head, title, [texts]) | {"kind": kind, "width": width, "height": height, "card": texts}
    try:
        return setter.pdf(f"site {card.head.site_id}", data, creation_time(card.head.date))
    except Overflow:
        inches = f"{width / POINTS_PER_INCH:.1f} by {height / POINTS_PER_INCH:.1f} inches"
        wrong = f"the {kind} label does not fit {inches}"
        raise PrintFault(f"site {card.head.site_id}", wrong, f"a larger {kind}_label in handbook.yaml") from None


def _points(length_m: float) -> float:
    return from_si(length_m, "length", "in") * POINTS_PER_INCH

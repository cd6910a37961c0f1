"""Labels as PDF: one for the panel, one for the heater, from the same card."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from generator.errors import PrintFault
from generator.model.content.card_words import CardWord
from generator.model.documents.card import Card, CardHead
from generator.model.settings import LabelSize
from generator.render.card.pdf import Printing, described
from generator.render.card.texts import print_texts
from generator.render.typesetter import Overflow, Typesetter, creation_time
from generator.units import from_si

TEMPLATE = "label.typ"
POINTS_PER_INCH = 72.0
LABELS: tuple[Literal["panel", "heater"], ...] = ("panel", "heater")
TITLES: Mapping[str, CardWord] = {"panel": "panel-label-title", "heater": "heater-label-title"}


def print_label(
    setter: Typesetter, card: Card, printing: Printing, *, kind: Literal["panel", "heater"], size: LabelSize
) -> bytes:
    """Return the PDF of one label on a page of `size`. PrintFault when the label is too small for its text."""
    return set_label(setter, card.head, label_document(card, printing, kind=kind, size=size))


def set_label(setter: Typesetter, head: CardHead, data: Mapping[str, Any]) -> bytes:
    """Return the PDF of the `label_document` of one label. PrintFault as for `print_label`."""
    try:
        return setter.pdf(f"site {head.site_id}", data, creation_time(head.date))
    except Overflow:
        kind, width, height = data["kind"], *(data[side] / POINTS_PER_INCH for side in ("width", "height"))
        wrong = f"the {kind} label does not fit {width:.1f} by {height:.1f} inches"
        raise PrintFault(f"site {head.site_id}", wrong, f"a larger {kind}_label in handbook.yaml") from None


def label_document(
    card: Card, printing: Printing, *, kind: Literal["panel", "heater"], size: LabelSize
) -> Mapping[str, Any]:
    """Return the data of content/print/label.typ: what the document says of itself, its size, and the card."""
    texts = print_texts(card, printing.style)
    own = described(card.head, TITLES[kind], [texts], words=printing.style.words)
    width, height = _points(size.width_m), _points(size.height_m)
    return {**own, "kind": kind, "width": width, "height": height, "card": texts}


def _points(length_m: float) -> float:
    return from_si(length_m, "length", "in") * POINTS_PER_INCH

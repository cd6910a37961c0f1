"""The wiring of a card's circuits, drawn as on the page of its site, for the back of the card."""

from __future__ import annotations

import re
from html import unescape

from generator.model.content.words import Style
from generator.model.documents.card import Card
from generator.model.documents.drawings import WiringDrawing
from generator.render.card.shape import DrawingTexts
from generator.render.drawing.canvas import SIZE
from generator.render.drawing.wiring import wiring, wiring_words

_SIZE = re.compile(r'viewBox="0 0 (\S+) (\S+)"')
_WRITTEN = re.compile(r"<text[^>]*>([^<]*)<")


def wiring_texts(card: Card, style: Style) -> list[DrawingTexts]:
    """Return a drawing a circuit in the units of the card; none where no circuit may be built."""
    own = Style(card.units, style.words)
    return [_texts(record, own) for record in card.wiring]


def _texts(record: WiringDrawing, style: Style) -> DrawingTexts:
    svg, (title, told) = str(wiring(record, style)), wiring_words(record, style)
    written = [unescape(text) for text in _WRITTEN.findall(svg)]
    sheet = _SIZE.search(svg)
    assert sheet
    return {
        "svg": svg,
        "alt": f"{title}. {told}",
        "said": written,
        "ems": float(sheet[1]) / SIZE,
        "ems_high": float(sheet[2]) / SIZE,
    }

"""How wide a text is at the most, so that no label runs into another or out of its drawing, whatever fonts a phone has.

Widths in parts of the size, rounded up: those of DejaVu Sans, as wide as any face that a system sets its pages in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

_REGULAR = {
    0.28: "'ijl",
    0.30: "IJ",
    0.32: " ,.·’\u00a0",
    0.34: "/:;\\|",
    0.36: "f",
    0.40: "()[]t-",
    0.42: "!r²³",
    0.46: '"',
    0.50: "*_`°–",
    0.52: "“”",
    0.54: "?sz",
    0.56: "Lc",
    0.58: "Fk",
    0.60: "vxy",
    0.62: "PTYaeoøéèöä",
    0.64: "$0123456789ESbdghnpqu{}üñ",
    0.66: "K",
    0.70: "ABCRVXZΔ",
    0.76: "HNU",
    0.78: "&DGΩ",
    0.80: "OQ",
    0.82: "w",
    0.84: "#+<=>^~×\u2212≥≤±",
    0.88: "M",
}
_BOLD = {
    0.32: "'",
    0.36: " ijl\u00a0",
    0.38: ",./IJ\\|·’",
    0.42: ":;-",
    0.46: "f²³!()[]",
    0.50: "_`r°–t",
    0.54: '"*',
    0.60: "?csz",
    0.64: "L",
    0.66: "vxy“”",
    0.68: "aekéèä",
    0.70: "$0123456789EFToøö",
    0.72: "bdghnpqu{}üñ",
    0.74: "CPSYZ",
    0.78: "ABKRVXΔ",
    0.82: "U",
    0.84: "#+<=>DGHN^~×\u2212≥≤±",
    0.88: "OQΩ&",
    0.94: "w",
}
_OTHER = 1.12  # the widest of those not named


def _by_character(widths: Mapping[float, str]) -> dict[str, float]:
    return {character: width for width, characters in widths.items() for character in characters}


_WIDTHS = {False: _by_character(_REGULAR), True: _by_character(_BOLD)}


@lru_cache(maxsize=4096)
def text_width(text: str, size: float, bold: bool = False) -> float:
    """Return the greatest width of a text in px, set at a size in px.

    >>> round(text_width("50 A", 10.0), 1)
    23.0
    """
    widths = _WIDTHS[bold]
    return size * math.fsum(widths.get(character, _OTHER) for character in text)

"""The QR code that leads from a printed card to a page, as SVG."""

from __future__ import annotations

import io
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class QrCode:
    """A QR code of an address, drawn where it is set: that takes as long as all the texts of a card."""

    address: str

    def svg(self) -> str:
        """Return it as SVG, with the quiet zone of four modules that scanners need (ISO/IEC 18004).

        Error correction M (15 %): a printed card gets wet and creased. ValueError when the address is too long for it.
        """
        import segno  # only where a card is printed: the revision codes of cards do not need it

        out = io.BytesIO()
        segno.make(self.address, error="m", micro=False).save(out, kind="svg", border=4, xmldecl=False, svgns=True)
        return out.getvalue().decode("ascii")

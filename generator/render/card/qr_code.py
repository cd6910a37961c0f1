"""The QR code that leads from a printed card to a page, as SVG."""

from __future__ import annotations

import io


def qr_svg(address: str) -> str:
    """Return a QR code of `address` as SVG, with the quiet zone of four modules that scanners need (ISO/IEC 18004).

    Error correction M (15 %): a printed card gets wet and creased. ValueError when the address is too long for a code.
    """
    import segno  # only where a card is printed: the revision codes of cards do not need it

    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(out, kind="svg", border=4, xmldecl=False, svgns=True)
    return out.getvalue().decode("ascii")

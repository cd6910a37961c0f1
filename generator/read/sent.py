"""What people in the field send, as text: a text as it is, or what the QR codes in a picture say."""

from __future__ import annotations

import io
from importlib.util import find_spec

from generator.errors import HandbookError

_PICTURES = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"RIFF")


def sent_text(data: bytes, name: str) -> str:
    """Return the text of a file: its own, or of every QR code in a picture (PNG, JPEG, WebP), one below the other.

    What is no UTF-8 in a text becomes a sign of its own, so that its line is refused and the others are not.
    HandbookError, naming the file, for a picture without a code, and where the libraries that read pictures are not
    installed.
    """
    if data.startswith(_PICTURES):
        return "\n".join(_codes(data, name))
    return data.decode("utf-8-sig", errors="replace")


def _codes(data: bytes, name: str) -> list[str]:
    if find_spec("zxingcpp") is None or find_spec("PIL") is None:
        raise HandbookError(f"{name}: to read a picture install zxing-cpp and pillow; or send the lines as text")
    import zxingcpp  # only for a picture
    from PIL import Image, UnidentifiedImageError

    try:
        picture = Image.open(io.BytesIO(data)).convert("L")
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError):
        raise HandbookError(f"{name}: this picture cannot be read; take it again, or send the lines as text") from None
    codes = zxingcpp.read_barcodes(picture)
    found = [code.text for code in codes if code.format == zxingcpp.BarcodeFormat.QRCode]
    if not found:
        raise HandbookError(f"{name}: no QR code is found in this picture; take it nearer, or send the lines as text")
    return found

"""The logo of a handbook: a small PNG, or a drawing in SVG that loads and runs nothing."""

from __future__ import annotations

import re
import struct
from pathlib import Path
from xml.etree import ElementTree

from generator.render.files import names_in

MOST_BYTES, MOST_PIXELS = 200_000, 2000
_PNG = b"\x89PNG\r\n\x1a\n"
_SHAPES = {
    *("svg", "g", "title", "desc", "path", "rect", "circle", "ellipse", "line", "polyline", "polygon"),
    *("defs", "linearGradient", "radialGradient", "stop", "clipPath"),
}
_INSIDE = re.compile(r"url\(\s*[\"']?(?!#)|javascript:|data:|@import", re.IGNORECASE)


def unfit(folder: Path, name: str) -> tuple[str, str] | None:
    """Return what is wrong with the logo `name` in a folder and what would be right; None for one that may be shown."""
    file = folder / name
    if name not in names_in(folder) or file.is_symlink():
        return "there is no such file in content/assets", "put it there by this name, a PNG or SVG"
    data = file.read_bytes()
    if len(data) > MOST_BYTES:
        return f"it has {len(data)} bytes", f"at most {MOST_BYTES}"
    if file.suffix.lower() == ".png":
        return _unfit_png(data)
    return _unfit_svg(data) if file.suffix.lower() == ".svg" else ("it is neither PNG nor SVG", "a .png or .svg file")


def _unfit_png(data: bytes) -> tuple[str, str] | None:
    if not data.startswith(_PNG) or data[12:16] != b"IHDR" or b"IEND" not in data[-12:]:
        return "it is no PNG, or part of one", "a picture saved as PNG"
    width, height = struct.unpack_from(">2I", data, 16)
    if not 1 <= width <= MOST_PIXELS or not 1 <= height <= MOST_PIXELS:
        return f"it is {width} by {height} pixels", f"at most {MOST_PIXELS} either way"
    return None


def _unfit_svg(data: bytes) -> tuple[str, str] | None:
    plain = "a drawing of paths and shapes alone, saved as plain SVG"
    if b"<!DOCTYPE" in data or b"<!ENTITY" in data:  # what an entity could swell to is never read
        return "it declares a document type", plain
    try:
        root = ElementTree.fromstring(data)  # noqa: S314
    except ElementTree.ParseError as error:
        return f"it is no SVG: {error}", plain
    if root.tag.rpartition("}")[2] != "svg" or not root.get("viewBox"):
        return "it states no viewBox", 'an SVG that begins <svg … viewBox="0 0 … …">'
    for element in root.iter():
        name = str(element.tag).rpartition("}")[2]
        if name not in _SHAPES:
            return f"it holds <{name}>", plain
        for key, value in element.attrib.items():
            key = key.rpartition("}")[2].lower()
            if key.startswith("on") or (key == "href" and not value.startswith("#")) or _INSIDE.search(value):
                return f"<{name}> has {key}", plain
    return None

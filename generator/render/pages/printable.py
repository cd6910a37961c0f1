"""What a page must be so that the bound book can show it as the site does: its pictures, characters and boxes.

Told by `handbook check`, with the template's line, before anything is printed.
"""

from __future__ import annotations

import re
import struct
from collections.abc import Collection, Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from generator.errors import FILE_KEY, Fault, dotted
from generator.model.inputs import FilePlace
from generator.render.files import names_in

if TYPE_CHECKING:
    from generator.render.pages.write import Rendered

PICTURES = (".png", ".jpg", ".jpeg", ".svg", ".webp")
_MARKDOWN_PICTURE = re.compile(r"!\[(?P<alt>[^\]]*)\]\((?P<src>[^)\s]+)[^)]*\)")
_HTML_PICTURE = re.compile(r"<img\b(?P<keys>[^>]*)>")
_KEY = re.compile(r'\b(src|alt)="([^"]*)"')
_BOX = re.compile(r"^ *[!?]{3}\+? +(?P<kind>\w+)", re.MULTILINE)
# Boxes of a writer's own. What can hurt people is a notice, which the build holds to its place and its signal word.
_PLAIN_BOXES = {"note", "tip", "info", "example"}
_SIGN = re.compile(r'<span aria-hidden="true">.</span>')  # of a severity: the book says its word alone
# What a writer of data states and prints show, by the kind of its place.
_SHOWN = ("handbook", "model", "site", "rule", "installed")
_FONT_WANTED = "put a font file that has it there, or write it otherwise"
_CODE_POINTS_OF_TEXT = range(0x20, 0x7F)  # every font has them


def unprintable_values(content: Path, places: Mapping[tuple[str | int, ...], FilePlace]) -> Iterator[Fault]:
    """Yield a fault for each text of the data with a character that no font of the prints has."""
    glyphs = _glyphs(content)
    for (kind, _, *path), place in places.items():
        if kind in _SHOWN and not place.text.isascii() and (lacking := _lacking(place.text, glyphs)):
            named = ", ".join(f"{one} (U+{ord(one):04X})" for one in lacking)
            wrong = f"'{place.text}' holds {named}, in no font of content/print/fonts"
            yield Fault(place.file, place.line, place.column, dotted(path), wrong, _FONT_WANTED)


def unprintable(content: Path, pages: Iterable[Rendered]) -> Iterator[Fault]:
    """Yield what on a page the book could not show, each once a template."""
    glyphs, pictures = _glyphs(content), names_in(content / "assets")
    seen: set[tuple[str, str]] = set()
    for one in pages:
        if one.page.part == "pocket":  # no page of the book
            continue
        for found, wrong, expected in (*_pictures(pictures, one), *_boxes(one), *_characters(one, glyphs)):
            if (one.page.template, found) not in seen:
                seen.add((one.page.template, found))
                yield Fault(*_place(content, one, found), FILE_KEY, wrong, expected)


def _place(content: Path, one: Rendered, found: str) -> tuple[str, int, int]:
    """Return file, line and column of a text in the page's template; the page itself where the text came by a value."""
    text = (content / "pages" / one.page.template).read_text(encoding="utf-8")
    at = text.find(found)
    if at < 0:
        return f"the page {one.page.id}", one.text.count("\n", 0, max(one.text.find(found), 0)) + 1, 1
    return f"content/pages/{one.page.template}", text.count("\n", 0, at) + 1, at - text.rfind("\n", 0, at)


def _pictures(known: Collection[str], one: Rendered) -> Iterator[tuple[str, str, str]]:
    for found in (*_MARKDOWN_PICTURE.finditer(one.text), *_HTML_PICTURE.finditer(one.text)):
        named = found.groupdict()
        keys = dict(_KEY.findall(named["keys"])) if "keys" in named else named
        source, alt = keys.get("src", ""), keys.get("alt", "")
        inside = source[source.find("assets/") :]
        shown = inside if inside in found[0] else found[0]
        if not inside.startswith("assets/") or inside.removeprefix("assets/") not in known:
            expected = "put it there by this name, capitals and all: ![what it shows](assets/…)"
            yield shown, f"the picture '{source}' is not in content/assets", expected
        elif not inside.lower().endswith(PICTURES):
            yield shown, f"'{source}' is no picture that can be printed", f"one of {', '.join(PICTURES)}"
        elif not alt.strip():
            yield shown, f"the picture '{source}' has no words for who cannot see it", "say what it shows: ![words](…)"


def _boxes(one: Rendered) -> Iterator[tuple[str, str, str]]:
    for found in () if one.page.is_html else _BOX.finditer(one.text):
        if found["kind"] not in _PLAIN_BOXES:
            expected = f"one of {', '.join(sorted(_PLAIN_BOXES))}; what can hurt is a notice (content/notices/)"
            yield found[0].strip(), f"a box '{found['kind']}' stands here", expected


def _characters(one: Rendered, glyphs: Collection[int]) -> Iterator[tuple[str, str, str]]:
    for character in _lacking(_SIGN.sub("", one.text), glyphs):
        yield character, f"'{character}' (U+{ord(character):04X}) is in no font of content/print/fonts", _FONT_WANTED


def _lacking(text: str, glyphs: Collection[int]) -> list[str]:
    """Return the characters of a text that none of these glyphs shows."""
    found = sorted(set(text))
    return [
        one for one in found if one.isprintable() and ord(one) not in glyphs and ord(one) not in _CODE_POINTS_OF_TEXT
    ]


def _glyphs(content: Path) -> frozenset[int]:
    return frozenset().union(*map(_glyphs_of, sorted((content / "print" / "fonts").glob("*.[to]tf"))))


@cache
def _glyphs_of(font: Path) -> frozenset[int]:
    """Return the code points that a TrueType or OpenType font has glyphs for (its cmap, formats 4 and 12)."""
    data = font.read_bytes()
    tables = struct.unpack_from(">H", data, 4)[0]
    records = (struct.unpack_from(">4s3I", data, 12 + 16 * index) for index in range(tables))
    start = next(offset for tag, _, offset, _ in records if tag == b"cmap")
    count = struct.unpack_from(">H", data, start + 2)[0]
    places = {start + struct.unpack_from(">2HI", data, start + 4 + 8 * index)[2] for index in range(count)}
    return frozenset(point for place in places for point in _mapped(data, place))


def _mapped(data: bytes, at: int) -> Iterator[int]:
    kind = struct.unpack_from(">H", data, at)[0]
    if kind == 12:
        for index in range(struct.unpack_from(">I", data, at + 12)[0]):
            first, last, _ = struct.unpack_from(">3I", data, at + 16 + 12 * index)
            yield from range(first, last + 1)
    elif kind == 4:
        double = struct.unpack_from(">H", data, at + 6)[0]
        lasts = struct.unpack_from(f">{double // 2}H", data, at + 14)
        firsts = struct.unpack_from(f">{double // 2}H", data, at + 16 + double)
        for first, last in zip(firsts, lasts, strict=True):
            yield from range(first, last + 1) if first != 0xFFFF else ()

"""The language that a built page states of itself: the handbook's, though the theme may have none of its words."""

from __future__ import annotations

import re
from pathlib import Path

from generator.render.by_language import direction
from generator.render.format import NBSP

_LANGUAGE = re.compile(r'(<html\b[^>]*? lang=)"[^"]*"')
_WAY = re.compile(r'(<body\b[^>]*? dir=)"[^"]*"')
# What is no text of a page: scripts, styles, tags; and what is: a number with its unit, which nothing else joins so.
_NO_TEXT = re.compile(r"(<(script|style|title)\b.*?</\2>|<[^>]*>)", re.DOTALL | re.IGNORECASE)
_QUANTITY = re.compile(rf"[−+-]?\d[\d.,]*{NBSP}[^\s<&();,]+")
_ISOLATE, _ISOLATED = "\N{LEFT-TO-RIGHT ISOLATE}", "\N{POP DIRECTIONAL ISOLATE}"


def state_language(site: Path, language: str) -> None:
    """Have every page of a built site state its language and the way it is written: what is read aloud goes by that.

    In a language that is written from right to left each number stays before its unit: 118 °F and not F° 118.
    """
    way = direction(language)
    for path in site.rglob("*.html"):
        page = _LANGUAGE.sub(rf'\1"{language}"', path.read_text(encoding="utf-8"), count=1)
        page = _WAY.sub(rf'\1"{way}"', page, count=1)
        path.write_text(quantities_apart(page) if way == "rtl" else page, encoding="utf-8", newline="\n")


def quantities_apart(page: str) -> str:
    """Return a page of HTML with each quantity in its text set apart, to be read from left to right."""
    parts, end = [], 0
    for found in _NO_TEXT.finditer(page):
        parts += [_apart(page[end : found.start()]), found[0]]
        end = found.end()
    return "".join([*parts, _apart(page[end:])])


def _apart(text: str) -> str:
    return _QUANTITY.sub(lambda found: f"{_ISOLATE}{found[0]}{_ISOLATED}", text)

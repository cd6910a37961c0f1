"""What of a page is HTML already goes round the engine's conversion from Markdown, which would only copy it, slowly.

An element of HTML that begins a line and ends one is taken out whole, and an empty one stands in its place; what may
hold Markdown, by the attribute that says so, stays.
"""

from __future__ import annotations

import re

_BEGINS = re.compile(r"^<(details|div|dl|nav|ol|p|section|table|ul)\b", re.MULTILINE)
_STAND_IN = '<div data-ready="{}"></div>'
_STANDS_IN = re.compile(_STAND_IN.format(r"(\d+)"))
_ID = re.compile(r'id="([^"]*)"')


def taken_out(text: str) -> tuple[str, list[str]]:
    """Return a page's Markdown with a numbered element in the place of each that is ready, and what was taken out."""
    parts, ready, at = list[str](), list[str](), 0
    while found := _BEGINS.search(text, at):
        end = _end(text, found[1], found.start())
        element = text[found.start() : end]
        parts.append(text[at : found.start()])
        if element and text[end : end + 1] in ("\n", "") and "markdown=" not in element:
            parts.append(_STAND_IN.format(len(ready)))
            ready.append(element)
        else:
            parts.append(element or found[0])
            end = end or found.end()
        at = end
    return "".join([*parts, text[at:]]), ready


def put_back(html: str, ready: list[str]) -> str:
    """Return a converted page with what was taken out of it in its place."""
    return _STANDS_IN.sub(lambda found: ready[int(found[1])], html) if ready else html


def ids_in(ready: list[str]) -> set[str]:
    """Return the places that links may lead to in what was taken out."""
    return {name for element in ready for name in _ID.findall(element)}


def _end(text: str, tag: str, start: int) -> int:
    """Return where the element that begins at `start` ends; 0 where nothing ends it."""
    opening, closing = f"<{tag}", f"</{tag}>"
    open_, at = 0, start
    while (found := text.find(closing, at)) >= 0:
        open_ += text.count(opening, at, found) - 1
        at = found + len(closing)
        if not open_:
            return at
    return 0

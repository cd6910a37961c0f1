"""Pages set together into one that can be carried alone: the pocket page of a site and what it brings along.

Each part keeps its text; its anchors get a prefix of their own, and its links lead to the part where the page they lead
to is one of the parts, else to the whole handbook.
"""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from markupsafe import Markup

from generator.assemble.pages import Page
from generator.render.pages.as_html import html_of

_LEFT_OUT = re.compile(r'<!--moved-->| data-notice="[^"]*"| data-search-exclude')
_BLANK = re.compile(r"\n\s+")
_HEADING = re.compile(r"(</?h)([1-5])\b")
_TITLE = re.compile(r"^# (.*)$", re.MULTILINE)
_NAMED = re.compile(r'\b(id|for|aria-labelledby|aria-describedby|aria-controls)="([^"]+)"')
_ADDRESS = re.compile(r'\b(href|src)="([^"]*)"')
_DRAWN = re.compile(r"url\(#([\w.-]+)\)")
_HEAD = re.compile(r"\s*<h2[^>]*>.*?</h2>", re.DOTALL)
_SECTION = re.compile(r'<section aria-labelledby="([\w-]+)">(<h2) id="\1"(>.*?</h2>)(.*?)</section>', re.DOTALL)


@dataclass(frozen=True, slots=True)
class Part:
    """One page inside another: its anchor there, its title, its HTML, below the first without its heading."""

    anchor: str
    title: str
    html: Markup


def bundle(page: Page, first: Page, others: tuple[Page, ...], *, text_of: Callable[[Page], str]) -> tuple[Part, ...]:
    """Return the parts of `page`: the `first`, whose anchors stay and whose title heads it all, then the others.

    The sections of the first are folds, closed: what stands above them is what a reader sees.
    """
    anchors = {first.id: "", page.id: ""} | {one.id: f"{one.id.rpartition('/')[2]}-page" for one in others}
    return tuple(_part(one, text_of(one), anchors, seen_from=page) for one in (first, *others))


def _part(one: Page, text: str, anchors: Mapping[str, str], *, seen_from: Page) -> Part:
    anchor = anchors[one.id]
    html = _BLANK.sub("\n", _LEFT_OUT.sub("", _html(one, text)))
    if anchor:
        html = _HEADING.sub(lambda found: f"{found[1]}{int(found[2]) + 1}", html)
    prefix = f"{anchor}-" if anchor else ""
    html = _NAMED.sub(lambda found: f'{found[1]}="{_prefixed(found[2], prefix)}"', html)
    html = _DRAWN.sub(lambda found: f"url(#{prefix}{found[1]})", html)
    html = _ADDRESS.sub(lambda found: f'{found[1]}="{_led(found[2], one, anchors, seen_from=seen_from)}"', html)
    return Part(anchor, one.title, Markup(_HEAD.sub("", html, count=1) if anchor else _folded(html)))


def _folded(html: str) -> str:
    """Return the HTML of a page with each section that has a heading as a fold, closed, under the same anchor."""
    fold = r'<details class="part" id="\1"><summary>\2\3</summary>\4</details>'
    return _SECTION.sub(fold, html)


def _html(one: Page, text: str) -> str:
    """Return a page as HTML; that of a site holds no Markdown but its title."""
    if one.kind == "site":
        return _TITLE.sub(r"<h1>\1</h1>", text, count=1)
    return html_of(text)


def _prefixed(names: str, prefix: str) -> str:
    return " ".join(f"{prefix}{name}" for name in names.split())


def _led(address: str, one: Page, anchors: Mapping[str, str], *, seen_from: Page) -> str:
    """Return where an address of a part leads to, seen from the page that holds it."""
    if re.match(r"[a-z]+:", address):
        return address
    path, mark, name = address.partition("#")
    target = posixpath.normpath(posixpath.join(posixpath.dirname(one.path), path)) if path else one.path
    ending = next((one for one in (".html", ".md") if target.endswith(one)), "")
    page = target.removesuffix(ending)
    if page in anchors:
        return f"#{'-'.join(filter(None, (anchors[page], name))) or 'site'}"
    return f"{posixpath.relpath(page, posixpath.dirname(seen_from.path))}{'.html' if ending else ''}{mark}{name}"

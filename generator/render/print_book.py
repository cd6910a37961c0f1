"""The bound handbook: every page of the site, in the same order and words, as one PDF."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import markdown  # type: ignore[import-untyped]

from generator.model.settings import Settings
from generator.render.book_nodes import BookPage, labels_in, pointed
from generator.render.html_tree import Element, parse
from generator.render.pages import Rendered
from generator.render.typesetter import PAPERS, Typesetter, creation_time

TEMPLATE = "book.typ"
# The extensions of mkdocs.yml, so that the print reads the pages as the site engine does.
EXTENSIONS = ("attr_list", "def_list", "md_in_html", "tables", "toc")


def print_book(
    content: Path, pages: Sequence[Rendered], settings: Settings, *, paper: str | None = None, working: bool = False
) -> bytes:
    """Return the PDF of the rendered pages, one chapter a page, on `paper` (the handbook's unless given).

    `content` is the folder of that name. `working`: with the steps behind every figure. PrintFault for what Typst
    refuses.
    """
    trees = {one.page.id: parse(html_of(one.text)) for one in pages}
    targets = _targets(trees)
    files = _pictures(content)
    chapters = [
        {
            "title": one.page.title,
            "label": targets[one.page.id, ""],
            "code": one.code,
            "c": BookPage(one.page.id, targets, files, working).nodes(trees[one.page.id]),
        }
        for one in pages
    ]
    known = {label for chapter in chapters for label in labels_in(chapter)}
    data = _described(settings) | {
        "paper": PAPERS[paper or settings.paper],
        "working": working,
        "chapters": pointed(chapters, known),
    }
    return Typesetter(content / "print", TEMPLATE).pdf("the bound handbook", data, creation_time(settings.date))


def html_of(text: str) -> str:
    """Return a page's Markdown as HTML."""
    html: str = markdown.markdown(text, extensions=list(EXTENSIONS), output_format="html")
    return html


def _described(settings: Settings) -> dict[str, Any]:
    return {
        "title": settings.title,
        "author": settings.publisher,
        "contact": settings.contact,
        "revision": settings.revision,
        "date": settings.date.isoformat(),
        "language": settings.language,
        "address": settings.base_address,
    }


def _targets(trees: Mapping[str, Element]) -> dict[tuple[str, str], str]:
    """Return a label for each page and for each id on it, as they may be pointed at."""
    found = {(page, ""): f"page {page}" for page in trees}
    for page, tree in trees.items():
        found |= {(page, name): f"page {page}#{name}" for name in _ids(tree)}
    return found


def _ids(element: Element) -> Iterable[str]:
    for child in element.children:
        if isinstance(child, Element):
            if name := child.attributes.get("id"):
                yield name
            yield from _ids(child)


def _pictures(content: Path) -> dict[str, str]:
    assets = content / "assets"
    return {
        f"assets/{path.relative_to(assets).as_posix()}": path.read_text(encoding="utf-8")
        for path in sorted(assets.rglob("*.svg"))
    }

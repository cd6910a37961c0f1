"""The bound handbook: every page of the site, in the same order and words, as one PDF."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from generator.assemble.documents import Book
from generator.model.settings import Settings, primary
from generator.render.book.brief import brief
from generator.render.book.html_tree import Element, parse
from generator.render.book.nodes import BookPage, labels_in, pointed
from generator.render.by_language import direction
from generator.render.drawing.sheet import on_paper
from generator.render.pages.as_html import html_of
from generator.render.pages.printable import PICTURES
from generator.render.pages.write import Rendered
from generator.render.typesetter import PAPERS, Typesetter, creation_time
from generator.render.typst_texts import print_words

TEMPLATE = "book.typ"
_ON_SCREEN = {"search"}  # pages that do nothing on paper


def print_book(
    content: Path,
    pages: Sequence[Rendered],
    book: Book,
    *,
    paper: str | None = None,
    working: bool = False,
    short: bool = False,
) -> bytes:
    """Return the PDF of the rendered pages of `book`, one chapter a page, on `paper` (the handbook's unless given).

    `content` is the folder of that name. `working`: with the steps behind every figure; `short`: as a book for
    one site (`brief`). PrintFault for what Typst refuses.
    """
    shown, settings = bound(pages, working), book.settings
    trees = {one.page.id: brief(one.page.part, _tree(one)) if short else _tree(one) for one in shown}
    targets = _targets(trees)
    files = _pictures(content)
    chapters = [
        {
            "title": one.page.title,
            "label": targets[one.page.id, ""],
            "code": one.code,
            "columns": 2 if short and one.page.part == "faults" else 1,
            "c": BookPage(one.page.id, targets, files, working).nodes(trees[one.page.id]),
        }
        for one in shown
    ]
    known = {label for chapter in chapters for label in labels_in(chapter)}
    data = _described(settings) | {
        "words": print_words(book.words),
        "paper": PAPERS[paper or settings.paper],
        "working": working,
        "drawing_style": on_paper((content / "assets" / "drawing.css").read_text(encoding="utf-8")),
        "short": short,
        "chapters": pointed(chapters, known),
    }
    return Typesetter(content / "print", TEMPLATE).pdf("the bound handbook", data, creation_time(settings.date))


def bound(pages: Sequence[Rendered], working: bool) -> list[Rendered]:
    """Return the pages that the book has.

    Fault finding with figures goes into the book of one site alone: a book of many has that for every heater.
    """
    faults = [one for one in pages if one.page.part == "faults"]
    kept = [one for one in faults if one.page.kind == "site"]
    left_out = {one.page.id for one in faults if one not in kept or len(kept) > 1}
    left_out |= _ON_SCREEN | {one.page.id for one in pages if one.page.part == "pocket" or one.page.left_out}
    return [one for one in pages if (working or not one.page.is_html) and one.page.id not in left_out]


def _tree(one: Rendered) -> Element:
    if not one.page.is_html:
        return parse(html_of(one.text))
    return next(parse(one.text).find_all("main"))


def _described(settings: Settings) -> dict[str, Any]:
    return {
        "title": settings.title,
        "author": settings.publisher,
        "contact": settings.contact,
        "imprint": settings.imprint,
        "logo": settings.logo,
        "revision": settings.revision,
        "date": settings.date.isoformat(),
        "language": primary(settings.language),
        "direction": direction(settings.language),
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
    """Return where Typst finds each picture, from content/, by its path in the site's source."""
    found = (path.relative_to(content).as_posix() for path in sorted((content / "assets").rglob("*")))
    return {path: f"/{path}" for path in found if path.lower().endswith(PICTURES)}

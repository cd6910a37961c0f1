"""Releases beside the present text of a built site: their pages, the word at the head of each, and the list of them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment

from generator.model.documents.revisions import Release
from generator.model.settings import ENGLISH, Settings
from generator.render.pages.markdown import environment
from generator.render.site.policy import with_policy

FOLDER, LIST, BOOK = "releases", "releases/index.html", "handbook.pdf"
_HEAD = re.compile(r"<article\b[^>]*>|<main>")  # the engine's pages have an article, those of plain HTML a main part
_FOOT = '<p class="page-code">'


@dataclass(frozen=True, slots=True)
class Issued:
    """A release with what it keeps: the files of its pages by path, and its book, each read when it is called."""

    release: Release
    pages: Mapping[str, Callable[[], bytes]]
    book: Callable[[], bytes] | None


def add_versions(site: Path, issued: Sequence[Issued], content: Path, *, settings: Settings) -> None:
    """Add the releases, oldest first, to a built site: each in a folder of its own, with a list of all.

    Every page of a release says at its head which it is, whether another followed, and where the present text stands.
    At the foot of each present page stands the way to the list. A page that a release had and the present text lacks
    says so at its old address, for cards bear it.
    """
    templates = _templates(content, settings.language)
    present = [path.relative_to(site).as_posix() for path in sorted(site.rglob("*.html"))]
    for path in present:
        page = (site / path).read_text(encoding="utf-8")
        (site / path).write_text(_linked(page, path, templates), encoding="utf-8")
    for one in issued:
        later = [other.release for other in issued[issued.index(one) + 1 :]]
        _add(site, one, later[-1] if later else None, templates=templates, present=frozenset(present))
    for path, release in _gone(issued, present).items():
        names = {"release": release, "title": path.removesuffix(".html"), "up": _up(path), "settings": settings}
        _write(site / path, with_policy(templates.get_template("gone.html.j2").render(names)).encode())
    rows = [{"release": one.release, "pages": bool(one.pages), "book": one.book is not None} for one in issued]
    listed = templates.get_template("versions.html.j2").render(rows=rows[::-1], settings=settings, up="../")
    _write(site / LIST, with_policy(listed).encode())


def _templates(content: Path, language: str) -> Environment:
    english = content / "publish"
    return environment((english,) if language == ENGLISH else (content / language / "publish", english))


def _add(site: Path, one: Issued, later: Release | None, *, templates: Environment, present: frozenset[str]) -> None:
    folder = Path(FOLDER) / one.release.name
    for path, read in one.pages.items():
        data, place = read(), folder / path
        if place.suffix == ".html":
            up = _up(place.as_posix())
            names = {"release": one.release, "later": later, "list": up + LIST}
            told = templates.get_template("banner.html.j2").render(
                names | {"present": up + (path if path in present else "index.html")}
            )
            data = _headed(data.decode("utf-8"), told).encode()
        _write(site / place, data)
    if one.book:
        _write(site / folder / BOOK, one.book())


def _gone(issued: Sequence[Issued], present: Sequence[str]) -> dict[str, Release]:
    """Return the pages that are no more, each with the last release that has it."""
    found = {path: one.release for one in issued for path in one.pages if path.endswith(".html")}
    return {path: release for path, release in found.items() if path not in present}


def _headed(page: str, told: str) -> str:
    head = _HEAD.search(page)
    if head is None:
        raise ValueError("the page has no part that holds its text")
    return f"{page[: head.end()]}{told}{page[head.end() :]}"


def _linked(page: str, path: str, templates: Environment) -> str:
    before, foot, after = page.rpartition(_FOOT)
    return f"{before}{templates.get_template('link.html.j2').render(list=_up(path) + LIST)}{foot}{after}"


def _up(path: str) -> str:
    """Return the way from a page to the first folder of the site."""
    return "../" * path.count("/")


def _write(path: Path, data: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data)

"""Releases beside the present text of a built site: their pages, the word at the head of each, and the list of them.

What is the same in several releases is kept once. So that a page can be, what tells its release from the others stands
in a sheet of the release, and no page of it names its revision. A pocket page and a book would be carried off without
their banner: of a release no pocket page stands here, and of all books the last one's.
"""

from __future__ import annotations

import hashlib
import os
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from jinja2 import Environment

from generator.model.documents.revisions import Release
from generator.model.settings import ENGLISH, Settings
from generator.render.pages.markdown import environment
from generator.render.site.policy import with_policy

FOLDER, LIST, BOOK, SHEET, POCKET = "releases", "releases/index.html", "handbook.pdf", "release.css", "pocket/"
_HEAD = re.compile(r"<article\b[^>]*>|<main>")  # the engine's pages have an article, those of plain HTML a main part
_FOOT = '<p class="page-code">'


@dataclass(frozen=True, slots=True)
class Issued:
    """A release with what it keeps: the files of its pages by path, and its book, each read when it is called."""

    release: Release
    pages: Mapping[str, Callable[[], bytes]]
    book: Callable[[], bytes] | None


def add_versions(site: Path, issued: Sequence[Issued], content: Path, *, settings: Settings, issue: str) -> None:
    """Add the releases, oldest first, to a built site: each in a folder of its own, with a list of all.

    Every page of a release says at its head which it is, whether another followed, and where the present text stands.
    At the foot of each present page stands the way to the list. A page that a release had and the present text lacks
    says so at its old address, for cards bear it. `issue`: how a page says its publisher, revision and date.
    """
    templates = _templates(content, settings.language)
    present = [path.relative_to(site).as_posix() for path in sorted(site.rglob("*.html"))]
    for path in present:
        page = (site / path).read_text(encoding="utf-8")
        (site / path).write_text(_linked(page, path, templates), encoding="utf-8", newline="\n")
    for one in issued:
        made = _Made(one.release, issued[-1].release, templates, settings, issue, frozenset(present))
        for path, read in one.pages.items():
            _write(site / FOLDER / one.release.name / path, made.file(path, read))
        _write(site / FOLDER / one.release.name / SHEET, made.sheet())
    for path, release in _gone(issued, present).items():
        names = {"release": release, "title": path.removesuffix(".html"), "up": _up(path), "settings": settings}
        _write(site / path, with_policy(templates.get_template("gone.html.j2").render(names)).encode())
    if issued and (book := issued[-1].book):
        _write(site / FOLDER / issued[-1].release.name / BOOK, book())
    _share(site)
    rows = [{"release": one.release, "pages": bool(one.pages), "book": one.book is not None} for one in issued]
    listed = templates.get_template("versions.html.j2").render(rows=rows[::-1], settings=settings, up="../")
    _write(site / LIST, with_policy(listed).encode())


def _templates(content: Path, language: str) -> Environment:
    english = content / "publish"
    return environment((english,) if language == ENGLISH else (content / language / "publish", english))


@dataclass(frozen=True, slots=True)
class _Made:
    """How the files of a release are made; `last`: the last release, `issue`: how a page says its revision."""

    release: Release
    last: Release
    templates: Environment
    settings: Settings
    issue: str
    present: frozenset[str]

    def file(self, path: str, read: Callable[[], bytes]) -> bytes:
        """Return a file of the release as it is published."""
        if not path.endswith(".html"):
            return read()
        up = _up(f"{FOLDER}/{self.release.name}/{path}")
        if path.startswith(POCKET):
            text = with_policy(self._from("pocket.html.j2", settings=self.settings, up=_up(path)))
        else:
            revision, date = self.release.revision, self.release.date.isoformat()
            text = read().decode("utf-8").replace(self.issue.format(publisher="", revision=revision, date=date), "")
        present = up + (path if path in self.present else "index.html")
        page = _headed(text, self._from("banner.html.j2", present=present, list=up + LIST))
        return page.replace("</head>", f'<link rel="stylesheet" href="{_up(path)}{SHEET}"></head>', 1).encode()

    def sheet(self) -> bytes:
        """Return the sheet that says at the head of each page which release it is of."""
        later = None if self.release == self.last else self.last
        return self._from("release.css.j2", release=self.release, later=later).encode()

    def _from(self, template: str, **names: object) -> str:
        return self.templates.get_template(template).render(names)


def _share(site: Path) -> None:
    """Keep files with the same bytes once, where the disk lets them have several names."""
    kept: dict[tuple[int, bytes], Path] = {}
    for path in sorted(one for one in site.rglob("*") if one.is_file()):
        data = path.read_bytes()
        first = kept.setdefault((len(data), hashlib.sha256(data).digest()), path)
        if first is not path:
            twin = path.with_name(f".{path.name}.shared")
            try:
                os.link(first, twin)
            except OSError:
                return
            twin.replace(path)


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

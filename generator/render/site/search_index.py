"""The index of the search: the words of the pages as they were built, in a script that opens from disk too."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Collection, Iterable, Iterator, Mapping
from html.parser import HTMLParser
from pathlib import Path
from types import MappingProxyType
from typing import Any

from generator.assemble.documents import SiteView
from generator.assemble.pages import SEARCHED_WHOLE, Page
from generator.model.content.search_words import SearchWords

INDEX, OF_GROUP = "assets/search-index.js", "assets/search-group-{}.js"
_SPACES = re.compile(r"[ \t\r\n]+")  # the space that keeps a number and its unit together stays
_MOST = 5000  # bytes of text of a site, so that the index grows by at most 6 kB a site
_HEAD = 200  # and of what the common index has of it where groups have their own
_MOST_OF_GROUP = 900_000  # bytes of the text of one index of a group
_HEADINGS = {"h1", "h2", "h3"}
_EMPTY = {"area", "br", "col", "hr", "img", "input", "link", "meta", "source", "wbr"}
# Side by side on a line, so that no space parts the words in them from their neighbours.
_IN_LINE = {"a", "abbr", "b", "code", "em", "i", "mark", "small", "span", "strong", "sub", "sup"}
_UNREAD = {"nav", "script", "style", "svg", "template"}
# Tables of figures and their working, what every page repeats, and marks of what moved.
_UNREAD_CLASSES = {"scroll", "working", "page-code", "deferral", "was"}
_OF_ALL = {"safety", "guard", "plain-table"}


def write_search_index(
    site: Path, pages: Iterable[Page], words: SearchWords, *, known: Mapping[str, Any] = MappingProxyType({})
) -> Mapping[str, Any]:
    """Write the index of the pages of a built site: the first page of each subject, and every page of its own.

    Of many sites it holds the heads: what is said of them stands in the index of their group, which is asked for when
    it is needed. Return what is held of each page by its id; `known`: that of some, as it was returned before.
    """
    asked = (page for page in pages if not page.part and page.search != "no")
    listed = tuple(asked)
    found = {page.id: known.get(page.id) or _entry(site, page) for page in listed}
    index: dict[str, Any] = {"pages": [*found.values()], **words.model_dump()}
    views = {page.id: page.subject for page in listed if isinstance(page.subject, SiteView)}
    if len(views) > SEARCHED_WHOLE:
        groups: dict[str, list[str]] = {}
        for id_, view in views.items():
            groups.setdefault(view.group, []).append(id_)
        number = {id_: place for place, ids in enumerate(groups.values()) for id_ in ids}
        index["pages"] = [_head(one, number[id_]) if id_ in number else one for id_, one in found.items()]
        index["groups"] = [*_write_groups(site, [(name, [found[id_] for id_ in ids]) for name, ids in groups.items()])]
    _write(site / INDEX, f"const searchIndex={_json(index)}\n")
    return found


def _write_groups(site: Path, groups: Iterable[tuple[str, Iterable[Any]]]) -> Iterator[dict[str, Any]]:
    """Write the indexes of groups, several of one that is too long; yield the name of each group and its files."""
    made = 0
    for name, entries in groups:
        files = list[str]()
        for part in _parted(entries):
            files.append(OF_GROUP.format(made))
            _write(site / files[-1], f"searchIndex.found({part})\n")
            made += 1
        yield {"name": name, "files": files}


def _parted(entries: Iterable[Any]) -> Iterator[str]:
    """Yield the entries as lists in JSON that are not too long."""
    held, size = list[str](), 0
    for text in map(_json, entries):
        if held and size + len(text.encode()) > _MOST_OF_GROUP:
            yield f"[{','.join(held)}]"
            held, size = [], 0
        held.append(text)
        size += len(text.encode())
    yield f"[{','.join(held)}]"


def _head(entry: Mapping[str, Any], group: int) -> dict[str, Any]:
    """Return what the common index has of a site: what it is called, the head of its page, the number of its group."""
    return {**entry, "parts": [*_within(entry["parts"][:1], _HEAD)], "group": group}


_json = json.JSONEncoder(ensure_ascii=False, separators=(",", ":")).encode


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def _within(parts: Iterable[list[str]], most: int) -> Iterator[list[str]]:
    """Yield the parts, their texts cut between words where they are longer together than so many bytes."""
    for anchor, head, text in parts:
        held = text if len(text.encode()) <= most else text.encode()[:most].decode(errors="ignore").rpartition(" ")[0]
        most -= len(held.encode())
        yield [anchor, head, held]


def _entry(site: Path, page: Page) -> dict[str, Any]:
    """Return a page as the search reads it: its parts are anchor, heading and text.

    The notices of a subject's page, and its tables, stand on the pages of all subjects alike.
    """
    url = f"{page.id}.html"
    if page.search == "title":
        return {"url": url, "title": page.title, "also": ", ".join(page.also), "parts": [["", page.title, ""]]}
    reader = _Article(unread=_UNREAD_CLASSES | (_OF_ALL if page.kind else set()))
    reader.feed((site / url).read_text(encoding="utf-8"))
    parts = [[anchor, *(_SPACES.sub(" ", "".join(text)).strip() for text in texts)] for anchor, texts in reader.parts]
    return {
        "url": url,
        "title": page.title,
        "also": ", ".join(page.also),
        "parts": [part for part in _within(parts, _MOST if page.kind == "site" else sys.maxsize) if part[1] or part[2]],
    }


class _Article(HTMLParser):
    """Collects the text of a page's article, a part a heading."""

    def __init__(self, unread: Collection[str]) -> None:
        super().__init__()
        self._unread_classes = frozenset(unread)
        self.parts: list[tuple[str, tuple[list[str], list[str]]]] = []  # anchor; heading and text, piece by piece
        self._depth = 0  # of elements in the article
        self._unread = 0  # the depth at which what is not read began
        self._in_heading = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Go down into an element."""
        if not self._depth and tag != "article":
            return
        if tag not in _EMPTY:
            self._depth += 1
        if self._unread or tag in _EMPTY:
            self._text(" ")
            return
        given = dict(attrs)
        if (
            tag in _UNREAD
            or "data-search-exclude" in given
            or not self._unread_classes.isdisjoint((given.get("class") or "").split())
        ):
            self._unread = self._depth
        elif tag in _HEADINGS or not self.parts:
            self._in_heading = tag in _HEADINGS
            anchor = given.get("id") or ""
            self.parts.append(("" if tag == "h1" else anchor, ([], [])))
        elif tag not in _IN_LINE:
            self._text(" ")

    def handle_endtag(self, tag: str) -> None:
        """Come up again."""
        if not self._depth or tag in _EMPTY:
            return
        if self._unread == self._depth:
            self._unread = 0
        elif tag not in _IN_LINE:
            self._text(" ")
        if tag in _HEADINGS:
            self._in_heading = False
        self._depth -= 1

    def handle_data(self, data: str) -> None:
        """Read a text."""
        self._text(data)

    def _text(self, text: str) -> None:
        if self._depth and not self._unread and self.parts:
            self.parts[-1][1][0 if self._in_heading else 1].append(text)

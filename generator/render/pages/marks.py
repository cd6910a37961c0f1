"""How pages show what has moved since the last release: a mark beside a figure or finding, and a line under the title.

Neither is part of what a page tells: its revision code is taken of the text without them.
"""

from __future__ import annotations

import posixpath
import re

from markupsafe import Markup

from generator.assemble.documents import ModelView, SiteView
from generator.assemble.pages import Page
from generator.model.content.words import Words
from generator.model.documents.revisions import History, Release
from generator.render.escape import plain_text

# Where a page has its line, if not under its title.
MOVED_HERE = "<!--moved-->"
SIGN = "◆"
REVISION_PAGE = "revision"
_MARK = Markup('<ins class="was"> <span aria-hidden="true">{sign}</span>&#160;{words}</ins>')
_MARKED = re.compile(r'<ins class="was".*?</ins>', re.DOTALL)
# What rests on readings alone, and what tells of releases.
_APART = re.compile(r"<!--(measured|history)-->.*?<!--/\1-->", re.DOTALL)
_TITLE = re.compile(r"^# .*\n", re.MULTILINE)


def mark(words: str, name: str = "") -> Markup:
    """Return the mark of what has moved: the `words` of the history, after the `name` of the figure where given."""
    return _MARK.format(words=plain_text(f"{name} {words}".strip()), sign=SIGN)


def unmarked(text: str) -> str:
    """Return a page's Markdown without its marks, what rests on readings alone and its history: no code covers them."""
    return _APART.sub("", _MARKED.sub("", text))


def with_line(text: str, page: Page, code: str, *, history: History, words: Words) -> str:
    """Return a page's Markdown with a line under its title or at its own place for it, where it is not as the last
    release had it.

    `code` is the page's revision code now. A page that only leads to the others, which is not searched, has no line.
    """
    then = history.codes.get("page", {})
    if history.last is None or not history.marked or then.get(page.id) == code or page.search == "no":
        return text
    said = _said(history.last, page.id in then, _MARKED.search(text) is not None, words=words)
    link = f'<a href="{_history_of(page)}">{words.changes["what-moved"]}</a>'
    if MOVED_HERE in text:
        return text.replace(MOVED_HERE, f'<p class="moved">{said} {link}</p>')
    title = _TITLE.search(text)
    place = title.end() if title else 0
    return f'{text[:place]}\n<p class="moved">{said} {link}</p>\n{text[place:]}'


def _said(last: Release, known: bool, marks: bool, *, words: Words) -> str:
    since = words.changes["changed-since" if known else "new-since"]
    legend = f" {words.changes['marked'].format(sign=SIGN)}" if known and marks else ""
    return f"{since.format(release=last.name, date=last.date.isoformat())}{legend}"


def _history_of(page: Page) -> str:
    """Return the address of what moved on this page: at the foot of its subject's details, else of all that moved."""
    subject = page.subject
    told = f"{REVISION_PAGE}.html", "pending"
    if isinstance(subject, ModelView | SiteView):
        told = f"{page.kind}s/{subject.spec.id}/details.html", "moved"
    address, anchor = told
    return f"{posixpath.relpath(address, posixpath.dirname(page.path) or '.')}#{anchor}"

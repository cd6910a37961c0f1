"""Every page keeps its bounds on a phone with its folds closed: one table, one look at each page."""

from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import pages_of
from tests.content.writing import PAGES

pytestmark = pytest.mark.browser

TASKS = {
    path.relative_to(PAGES).as_posix().removesuffix(".md.j2")
    for path in PAGES.rglob("*.md.j2")
    if "who_may(" in path.read_text(encoding="utf-8") and path.name != "_macros.md.j2"
}
# Height of the article [px] and its weight [B] by kind of page; fault finding and the first page have theirs elsewhere,
# and so has a pocket page, a file whole, its weight.
BOUNDS = {"model": (5100, 60_000), "task": (5100, None), "pocket": (5100, None), "other": (10_000, None)}
ELSEWHERE = ("index", "fault-finding/", "sites/")
MEASURE = """() => {
  const article = document.querySelector('article') || document.querySelector('main')
  return {height: article.getBoundingClientRect().height, bytes: new TextEncoder().encode(article.outerHTML).length}
}"""


def kind_of(name: str) -> str | None:
    """The kind of a page by its id; none for one whose bounds stand elsewhere."""
    if name in TASKS:
        return "task"
    if name.startswith("models/") and name.count("/") == 1:
        return "model"
    if name.startswith("pocket/"):
        return "pocket"
    if name.endswith(("/details", "/working")):
        return "other"
    return None if name.startswith(ELSEWHERE) else "other"


@pytest.fixture(scope="module")
def measured(site: Path, browser: Browser) -> dict[str, dict[str, Any]]:
    page, found = browser.new_page(viewport={"width": 390, "height": 844}), {}
    for path in pages_of(site):
        name = path.relative_to(site).as_posix().removesuffix(".html")
        if kind := kind_of(name):
            page.goto(path.as_uri())
            found[name] = {"kind": kind, **page.evaluate(MEASURE)}
            page.set_viewport_size({"width": 320, "height": 844})
            found[name]["wide"] = page.evaluate("document.scrollingElement.scrollWidth")
            page.set_viewport_size({"width": 390, "height": 844})
    page.close()
    assert {one["kind"] for one in found.values()} == set(BOUNDS)
    return found


def test_every_page_keeps_to_its_height_and_weight(measured: dict[str, dict[str, Any]]) -> None:
    over = {
        name: (one["height"], one["bytes"])
        for name, one in measured.items()
        for height, weight in [BOUNDS[one["kind"]]]
        if one["height"] > height or (weight and one["bytes"] > weight)
    }
    assert over == {}


def test_no_page_scrolls_sideways(measured: dict[str, dict[str, Any]]) -> None:
    assert {name: one["wide"] for name, one in measured.items() if one["wide"] > 320} == {}


# The most bytes of an article, by the page: the longest first that fits its name. Working, which few open, has none.
MOST_BYTES = (
    ("revision.html", 100_000),
    ("faults.html", 120_000),
    ("details.html", 160_000),
    ("", 65_000),
)


def over_their_bytes(paths: Iterable[Path], site: Path) -> tuple[dict[str, int], set[str]]:
    """Return the pages whose article is longer than it may be, and the endings of MOST_BYTES that pages have."""
    heavy, seen = {}, set()
    for path in sorted(paths):
        name = path.relative_to(site).as_posix()
        if name.endswith("working.html") or name.startswith("pocket/"):  # a file whole, bounded in test_pocket.py
            continue
        text = path.read_text(encoding="utf-8")
        start, end = text.find("<article"), text.find("</article>")
        assert 0 < start < end, name
        ending, most = next((ending, most) for ending, most in MOST_BYTES if name.endswith(ending))
        seen.add(ending)
        size = len(text[start:end].encode())
        if size > most:
            heavy[name] = size
    return heavy, seen


def test_every_page_has_a_bound_of_bytes(site: Path) -> None:
    heavy, seen = over_their_bytes(site.rglob("*.html"), site)
    assert seen == {ending for ending, _ in MOST_BYTES}
    assert heavy == {}

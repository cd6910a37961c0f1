"""The first page of a site keeps its bounds on a phone: length, words, weight, and nothing that scrolls sideways."""

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

pytestmark = pytest.mark.browser

WIDTHS, HEIGHT = (320, 360, 390), 844
# A word is what white space parts and has a letter; the labels of drawings, which have a text of their own, are none.
MEASURE = """() => {
  const article = document.querySelector('article'), drawn = [...article.querySelectorAll('svg')]
  const words = text => text.split(/[ \\n\\t]+/).filter(word => /[A-Za-z]/.test(word)).length
  return {
    height: article.getBoundingClientRect().height,
    tiles: document.querySelector('.tiles').getBoundingClientRect().bottom,
    words: words(article.innerText) - drawn.reduce((sum, svg) => sum + words(svg.textContent), 0),
    elements: document.querySelectorAll('*').length,
    bytes: new TextEncoder().encode(article.outerHTML).length,
    scripts: article.querySelectorAll('script').length,
    panels: [...article.querySelectorAll('.safety')].map(one => one.className.split(' ')[1]),
    lost: [...article.querySelectorAll('.jump a')].filter(one => !document.querySelector(one.hash)).length,
  }
}"""
WIDE = """() => [document.scrollingElement.scrollWidth,
  ...[...document.querySelectorAll('article table')].map(one => one.getBoundingClientRect().right)]"""


@pytest.fixture(scope="module")
def measured(site: Path, browser: Browser) -> dict[str, dict[str, Any]]:
    page, found = browser.new_page(viewport={"width": WIDTHS[-1], "height": HEIGHT}), {}
    for path in sorted((site / "sites").glob("*.html")):
        if path.stem == "index":
            continue  # the list of all sites
        page.set_viewport_size({"width": WIDTHS[-1], "height": HEIGHT})
        page.goto(path.as_uri())
        found[path.stem] = page.evaluate(MEASURE)
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": HEIGHT})
            found[path.stem][width] = max(page.evaluate(WIDE))
    page.close()
    assert len(found) >= 6
    return found


BOUNDS = {
    "height": 5100,
    "tiles": 844,
    "words": 950,
    "elements": 1500,
    "bytes": 60_000,
    "scripts": 0,
    "lost": 0,
}


@pytest.mark.parametrize(("what", "most"), BOUNDS.items())
def test_a_site_s_page_keeps_its_bounds(measured: dict[str, dict[str, Any]], what: str, most: int) -> None:
    assert {name: one[what] for name, one in measured.items() if one[what] > most} == {}


def test_nothing_on_it_scrolls_sideways(measured: dict[str, dict[str, Any]]) -> None:
    assert {(name, width) for name, one in measured.items() for width in WIDTHS if one[width] > width} == set()


def test_danger_stands_in_full_once_and_at_most_two_more(measured: dict[str, dict[str, Any]]) -> None:
    for name, one in measured.items():
        assert one["panels"].count("danger") == 1 and len(one["panels"]) <= 3, name

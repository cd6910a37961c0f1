"""Fault finding keeps its bounds on a phone with its lines closed, opens where a link leads, and prints open."""

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser

pytestmark = pytest.mark.browser

WIDTHS = (320, 390)
HEIGHT = "() => document.querySelector('article').getBoundingClientRect().height"
WIDE = "() => document.scrollingElement.scrollWidth"


@pytest.fixture(scope="module")
def measured(site: Path, browser: Browser) -> dict[str, dict[int, tuple[float, float]]]:
    """By page: by width its height and the width it takes."""
    page, found = browser.new_page(java_script_enabled=True), {}
    for path in sorted([*site.glob("*/*/faults.html"), *site.glob("fault-finding/*.html"), site / "emergency.html"]):
        page.set_viewport_size({"width": WIDTHS[-1], "height": 844})
        page.goto(path.as_uri())
        own: dict[int, tuple[float, float]] = {}
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 844})
            own[width] = page.evaluate(HEIGHT), page.evaluate(WIDE)
        found[path.relative_to(site).as_posix()] = own
    page.close()
    assert len(found) > 30
    return found


def test_a_page_of_faults_is_at_most_four_screens_long(measured: dict[str, dict[int, tuple[float, float]]]) -> None:
    long = {"emergency.html": 10_000}
    assert {name: own[390][0] for name, own in measured.items() if own[390][0] > long.get(name, 3400)} == {}


def test_nothing_on_it_scrolls_sideways(measured: dict[str, dict[int, tuple[float, float]]]) -> None:
    assert {(name, width) for name, own in measured.items() for width in WIDTHS if own[width][1] > width} == set()


def test_it_opens_where_a_link_leads_and_prints_open_without_script(site: Path, browser: Browser) -> None:
    page = browser.new_page(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page.goto((site / "sites" / "creamery" / "faults.html").as_uri() + "#too-hot-too-little-flow")
    seen: Any = page.locator("#too-hot-too-little-flow > summary")
    assert seen.is_visible() and not page.locator("#lukewarm > p").first.is_visible()
    page.emulate_media(media="print")
    steps = page.locator("article details.check > ol > li")
    assert steps.count() > 200
    assert all(steps.nth(number).is_visible() for number in range(0, steps.count(), 25))
    page.close()

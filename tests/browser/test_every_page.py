"""What holds of every page of the demo in a browser, each opened once: on a phone, then as wide as a desk."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import pages_of
from tests.browser.test_accessibility import DESK, PHONE

pytestmark = pytest.mark.browser

HEADINGS = """[...document.querySelectorAll(':is(article, .plain-page main) :is(h1,h2,h3,h4,h5,h6)')]
    .map(heading => +heading.tagName[1])"""


@dataclass(frozen=True)
class Seen:
    """A page as it opened: its width on a phone [px], the levels of its headings, what it asked for, what failed."""

    width: int
    levels: tuple[int, ...]
    asked: tuple[str, ...]
    failed: tuple[str, ...]


@pytest.fixture(scope="module")
def seen(site: Path, browser: Browser) -> Mapping[str, Seen]:
    """Every page by its path."""
    page = browser.new_page()
    asked: list[str] = []
    failed: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("pageerror", lambda error: failed.append(str(error)))
    found = {}
    for path in pages_of(site):
        asked.clear()
        failed.clear()
        page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
        page.goto(path.as_uri())
        width, levels = page.evaluate(f"[document.scrollingElement.scrollWidth, {HEADINGS}]")
        page.set_viewport_size({"width": DESK[0], "height": DESK[1]})
        found[path.relative_to(site).as_posix()] = Seen(width, tuple(levels), tuple(asked), tuple(failed))
    page.close()
    return found


def test_no_page_is_wider_than_a_phone(seen: Mapping[str, Seen]) -> None:
    assert not {path: one.width for path, one in seen.items() if one.width > PHONE[0]}


def test_headings_go_down_one_step_at_a_time(seen: Mapping[str, Seen]) -> None:
    faults = {}
    for path, one in seen.items():
        steps = zip([0, *one.levels], one.levels, strict=False)
        if one.levels.count(1) != 1 or any(after > before + 1 for before, after in steps):
            faults[path] = one.levels
    assert not faults


def test_no_page_asks_for_another_host(seen: Mapping[str, Seen]) -> None:
    assert all(one.asked for one in seen.values())
    asked = {url for one in seen.values() for url in one.asked}
    assert not {url for url in asked if not url.startswith(("file://", "data:", "blob:"))}


def test_no_page_fails_as_it_opens(seen: Mapping[str, Seen]) -> None:
    assert not {path: one.failed for path, one in seen.items() if one.failed}

"""The demo handbook, built once, and a Chromium that can reach no other host."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from generator.build import build
from tests.frozen import copied

NO_NETWORK = ["--no-sandbox", "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1"]


@pytest.fixture(scope="session")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of the built demo handbook."""
    root = tmp_path_factory.mktemp("project")
    build(copied(root))
    return root / "build" / "site"


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Browser]:
    """A headless Chromium that finds no host but this machine."""
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium, args=NO_NETWORK)
        yield opened
        opened.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A fresh window of a desk's size."""
    opened = browser.new_page(viewport={"width": 1280, "height": 900})
    yield opened
    opened.close()


def pages_of(site: Path) -> list[Path]:
    """Every page of the handbook."""
    found = sorted(site.rglob("*.html"))
    assert len(found) > 10
    return found

"""Pages in longer words, and in a language written from right to left, in a browser: nothing beside the frame."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from generator.build import build
from tests.language.made_up import project_in

pytestmark = pytest.mark.heavy
WIDTHS = (320, 390, 1280)
PAGES = ("index", "safety", "installation/electrical", "sites/creamery", "sites/creamery/faults", "pocket/creamery")


@pytest.fixture(scope="module", params=[("en-XA", "ltr"), ("ar-XB", "rtl")], ids=lambda given: str(given[1]))
def built(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str, str]:
    """The pages in a made-up language, whose links the engine has followed, and its direction."""
    tag, way = request.param
    folders = project_in(tag, tmp_path_factory.mktemp("other"))
    build(folders)
    return folders.output / "site", tag, way


def test_no_page_is_wider_than_the_screen_and_each_runs_as_its_language_does(
    built: tuple[Path, str, str], browser: Browser
) -> None:
    site, tag, way = built
    wrong = []
    for width in WIDTHS:
        page = browser.new_page(viewport={"width": width, "height": 900})
        for name in PAGES:
            page.goto((site / f"{name}.html").as_uri())
            runs = page.evaluate("getComputedStyle(document.querySelector('main')).direction")
            wide = page.evaluate("document.documentElement.scrollWidth")
            said = page.evaluate("document.documentElement.lang")
            wrong += [(name, width, runs, wide, said)] if (runs, said) != (way, tag) or wide > width else []
        page.close()
    assert wrong == []


def test_figures_stand_before_their_units_where_lines_run_from_right_to_left(built: tuple[Path, str, str]) -> None:
    site, _, way = built
    for name in ("sites/creamery", "pocket/creamery"):
        page = (site / f"{name}.html").read_text(encoding="utf-8")
        assert ("\N{LEFT-TO-RIGHT ISOLATE}208\N{NO-BREAK SPACE}V\N{POP DIRECTIONAL ISOLATE}" in page) == (way == "rtl")


def test_the_calculator_answers_as_the_page_runs(built: tuple[Path, str, str], browser: Browser) -> None:
    """What scripts write is isolated as the page's own figures are, and typed lines run from left to right."""
    site, _, way = built
    page = browser.new_page(viewport={"width": 390, "height": 900})
    page.goto((site / "pocket" / "creamery.html").as_uri())
    page.evaluate("for (const one of document.querySelectorAll('details')) one.open = true")
    page.fill("#inlet", "55")
    page.fill("#flow", "2.1")
    page.click("#calculator-form button[type=submit]")
    answer = page.inner_text("#answer")
    quantities = re.findall(r"\S*\d[\d.]*\N{NO-BREAK SPACE}\S+", answer)
    assert len(quantities) > 8
    assert all(one.lstrip("(").startswith("\N{LEFT-TO-RIGHT ISOLATE}") is (way == "rtl") for one in quantities)
    page.click("#keep")
    for part in ("#inlet", "#kept-lines", "#kept-list li"):
        assert page.evaluate(f"getComputedStyle(document.querySelector('{part}')).direction") == "ltr"
    page.close()

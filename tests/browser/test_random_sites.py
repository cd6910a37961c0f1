"""The bounds of the demo's pages, over random sites and heaters: phone to desk, light, dark and print.

The tests that are imported run here on a handbook of random sites. `HANDBOOK_EXPLORE=1` takes a hundred of them.
"""

import io
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser
from pypdf import PdfReader

from generator.build import Loaded
from tests.browser.random_handbook import built_of
from tests.browser.test_accessibility import COLOURS, RULES
from tests.browser.test_offline import (  # noqa: F401 - they run here too
    test_every_link_and_anchor_leads_somewhere,
    test_no_page_gives_an_id_twice,
)
from tests.browser.test_page_bounds import over_their_bytes
from tests.browser.test_site_page import (  # noqa: F401
    BOUNDS,
    measured,
    test_danger_stands_in_full_once_and_at_most_two_more,
    test_nothing_on_it_scrolls_sideways,
)
from tests.sample import sample

pytestmark = [pytest.mark.browser, pytest.mark.heavy]

SITES = sample(12, 100)
SIZES = ((320, 640), (390, 844), (768, 1024), (1280, 900))
# A site's page on Letter paper, with every fold open.
MOST_SHEETS = 6
WIDE = """() => [document.scrollingElement.scrollWidth - innerWidth,
  [...document.querySelectorAll('article :is(p, li, td, th, dd, dt, h1, h2, h3, summary)')]
    .filter(one => one.getClientRects().length && !one.closest('.scroll, .md-typeset__scrollwrap')
      && one.getBoundingClientRect().right > innerWidth + 1).length]"""


@pytest.fixture(scope="module")
def site(loaded: Loaded, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a built handbook of random sites."""
    return built_of(loaded, tmp_path_factory.mktemp("random"), seed=1, number=SITES)


@pytest.mark.parametrize(("what", "most"), BOUNDS.items())
def test_a_random_site_s_page_keeps_its_bounds(measured: dict[str, dict[str, Any]], what: str, most: int) -> None:  # noqa: F811 - the fixture
    assert {name: one[what] for name, one in measured.items() if one[what] > most} == {}


def test_pages_of_random_sites_and_heaters_keep_their_bytes(site: Path) -> None:
    heavy, seen = over_their_bytes(site.glob("*/*/*.html"), site)
    assert {"faults.html", "details.html"} <= seen
    assert heavy == {}


def test_no_page_shows_how_a_title_is_styled(site: Path) -> None:
    """Titles of any length and with any sign: a long one is set smaller, and the word for it is not for the reader."""
    texts = {path.name: path.read_text(encoding="utf-8") for path in site.glob("sites/*.html")}
    assert [name for name, text in texts.items() if "{: ." in text] == []
    assert any('class="long"' in text for text in texts.values())


def of_sites(site: Path) -> list[Path]:
    """The pages of sites and heaters that a browser shows with the theme."""
    found = sorted(path for path in site.glob("*/*/*.html") if path.stem != "working")
    found += sorted(site.glob("sites/*.html")) + sorted(site.glob("models/*.html"))
    assert len(found) > 6 * SITES
    return found


def test_nothing_is_wider_than_the_window_from_phone_to_desk(site: Path, browser: Browser) -> None:
    page, wide = browser.new_page(), []
    for path in of_sites(site):
        page.goto(path.as_uri())
        page.evaluate("document.querySelectorAll('article details').forEach(one => (one.open = true))")
        for width, height in SIZES:
            page.set_viewport_size({"width": width, "height": height})
            past, beyond = page.evaluate(WIDE)
            if past > 0 or beyond:
                wide.append((path.relative_to(site).as_posix(), width, past, beyond))
    page.close()
    assert wide == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_pages_of_random_sites(site: Path, browser: Browser, scheme: str) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844}, color_scheme=scheme)
    axe, found, rules = Axe(), [], RULES if scheme == "light" else COLOURS
    for path in sorted(site.glob("sites/place-?.html")):
        page.goto(path.as_uri())
        for violation in axe.run(page, options=rules).response["violations"]:
            nodes = [node["html"][:120] for node in violation["nodes"][:3]]
            found.append(f"{path.name}: {violation['id']}: {nodes}")
    page.close()
    assert found == []


def test_a_printed_site_holds_on_few_sheets_with_its_notices(site: Path, browser: Browser) -> None:
    page, long = browser.new_page(), {}
    for path in sorted(site.glob("sites/place-*.html")):
        page.goto(path.as_uri())
        sheets = PdfReader(io.BytesIO(page.pdf(format="Letter"))).pages
        text = " ".join(" ".join(sheet.extract_text() for sheet in sheets).split())
        assert "DANGER" in text and "Local codes govern" in text and "Revision code of this page" in text, path.name
        if len(sheets) > MOST_SHEETS:
            long[path.name] = len(sheets)
    page.close()
    assert long == {}

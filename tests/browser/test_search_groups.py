"""The search of a handbook of many sites, from disk: what is said of a site is found once its group is asked for."""

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from generator.build import build
from generator.folders import Folders
from generator.render.pages import write
from generator.render.site import search_index
from tests.changes.project import copy_of_demo
from tests.frozen import ROOT

pytestmark = pytest.mark.browser

# What is said of the water of a site, and the link to it.
SAID, WATER = "pressure flowing", "#found > li > a[href='sites/creamery.html#water']"


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three sites of two groups, which are many here."""
    root = tmp_path_factory.mktemp("many")
    copy_of_demo(root, None, {"creamery", "potting-shed", "bunkhouse"})
    with pytest.MonkeyPatch.context() as patched:
        for module in (search_index, write):
            patched.setattr(module, "SEARCHED_WHOLE", 2)
        build(Folders(root, ROOT))
    return root / "build" / "site"


def test_what_a_site_is_called_is_found_at_once_and_what_is_said_of_it_by_its_group(page: Page, many: Path) -> None:
    page.goto((many / "search.html").as_uri())
    page.locator("#q").fill("creamery")
    expect(page.locator("#found > li > a").first).to_have_attribute("href", "sites/creamery.html")
    page.locator("#q").fill(SAID)
    expect(page.locator("#said")).to_contain_text("Pages with every word")
    expect(page.locator(WATER)).to_have_count(0)
    site = page.evaluate("searchIndex.pages.find(one => one.url === 'sites/creamery.html')")
    page.locator("#group").select_option(str(site["group"]))
    expect(page.locator(WATER)).to_have_count(1)


def test_from_a_page_of_a_site_its_group_is_searched_in_full(page: Page, many: Path) -> None:
    for start in ("sites/creamery.html", "sites/creamery/faults.html"):
        page.goto((many / start).as_uri())
        page.locator(".to-search [name=q]").fill(SAID)
        page.locator(".to-search button").click()
        expect(page.locator(WATER)).to_have_count(1)

"""The list of many sites, from disk: it is chosen from and sorted in the page, and stands by group without scripts."""

import re
import shutil
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from generator.build import build
from generator.folders import Folders
from tests.changes.project import copy_of_demo
from tests.frozen import ROOT

pytestmark = pytest.mark.browser
NUMBER = 14


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """More sites than stand one by one, in three folders."""
    root = tmp_path_factory.mktemp("fleet")
    copy_of_demo(root, None, {"creamery", "bunkhouse"})
    sites = root / "site_data" / "sites"
    for number in range(NUMBER):
        source = sites / ("bunkhouse.yaml" if number % 2 else "creamery.yaml")
        text = source.read_text(encoding="utf-8")
        text = re.sub(rf"\b{source.stem}\b(?=\.|$)", f"s{number}", text, flags=re.MULTILINE)
        text = re.sub("^group:.*\n", "", text, flags=re.MULTILINE)
        text = re.sub("^title: .*", f"title: Room {NUMBER - number:02}", text, flags=re.MULTILINE)
        folder = sites / f"Hall {number % 3}"
        folder.mkdir(exist_ok=True)
        (folder / f"s{number}.yaml").write_text(text, encoding="utf-8")
    for name in ("creamery", "bunkhouse"):
        (sites / f"{name}.yaml").unlink()
    shutil.rmtree(root / "site_data" / "installed", ignore_errors=True)
    build(Folders(root, ROOT))
    return root / "build" / "site"


def shown(page: Page) -> list[str]:
    return page.locator(".filtered li strong").all_text_contents()


def test_sites_are_chosen_and_sorted(page: Page, many: Path) -> None:
    page.goto((many / "sites" / "index.html").as_uri())
    said = page.locator("p.filtered")
    expect(said).to_have_text(f"{NUMBER} of {NUMBER} shown.")
    assert shown(page) == []
    page.locator("#in-order").select_option("name")
    assert shown(page) == [f"Room {number:02}" for number in range(1, NUMBER + 1)]
    page.locator("#of-group").select_option("Hall 1")
    assert shown(page) == [f"Room {NUMBER - number:02}" for number in reversed(range(1, NUMBER, 3))]
    expect(page.locator("div.grouped")).to_be_hidden()
    page.locator("#of-heater").select_option("beck-9")
    page.locator("#of-name").fill("room 0")
    halls = [number for number in range(NUMBER) if number % 3 == 1 and number % 2 and NUMBER - number < 10]
    assert shown(page) == [f"Room {NUMBER - number:02}" for number in reversed(halls)] != []
    expect(said).to_have_text(f"{len(halls)} of {NUMBER} shown.")
    page.goto((many / "sites" / "index.html").as_uri() + "?status=stop")
    assert 0 < len(shown(page)) == page.locator("li[data-status=stop]").count() / 2


def test_without_scripts_they_stand_by_group(browser: Browser, many: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((many / "sites" / "index.html").as_uri())
    assert page.locator("details.group summary strong").all_text_contents() == ["Hall 0", "Hall 1", "Hall 2"]
    expect(page.locator("form.filter")).to_be_hidden()
    context.close()


def test_the_navigation_leads_to_each_group(page: Page, many: Path) -> None:
    for start in ("installation/plumbing.html", "sites/index.html"):
        for number in range(3):
            page.goto((many / start).as_uri())
            link = page.locator("nav a.md-nav__link", has_text=f"Hall {number}")
            page.goto(link.evaluate("link => link.href"))
            opened = page.locator("details.group[open]")
            expect(opened).to_have_count(1)
            expect(opened.locator("summary strong")).to_have_text(f"Hall {number}")
            assert opened.locator("li strong").count() == sum(place % 3 == number for place in range(NUMBER))


def test_every_site_is_printed(page: Page, many: Path) -> None:
    """A list on paper has no folds to open."""
    page.goto((many / "sites" / "index.html").as_uri())
    page.emulate_media(media="print")
    expect(page.locator("div.grouped details li strong:visible")).to_have_count(NUMBER)

"""A published handbook: the present text, each release under its own address, and what a card's address tells."""

import datetime
import re
import shutil
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import NamedTuple

import pytest
import segno
from playwright.sync_api import Page, expect

from generator.build import load
from generator.errors import HandbookError
from generator.folders import Folders
from generator.model.documents.revisions import Approval
from generator.published import publish_versions
from generator.release import release
from generator.render.card.texts import print_texts
from tests.changes.project import copy_of_demo, edit
from tests.frozen import DATA, ROOT

pytestmark = [pytest.mark.browser, pytest.mark.heavy]
BY = Approval("safety lead", datetime.date(2026, 11, 3), "a <b>new</b> range")
OLD, NEW, GONE = "potting-shed", "seedling-house", "sites/seedling-house.html"


class Published(NamedTuple):
    """Where a handbook was published to, what from, and the code of the potting shed's card in release 4."""

    folders: Folders
    place: Path
    code: str

    @property
    def holds(self) -> str:
        """The code of the potting shed's card today."""
        return load(self.folders).book.card_codes[OLD]


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> Published:
    """Release 3, which keeps no pages; 4 and 5, which do; and today, when a site has gone and a card has changed."""
    root = tmp_path_factory.mktemp("project")
    folders = Folders(copy_of_demo(root, {"rill-3", "rill-4m"}, {OLD, NEW}).root)
    shutil.copytree(ROOT / "content", root / "content")
    shutil.copy(ROOT / "mkdocs.yml", root)
    shutil.copytree(DATA / "revisions", root / "site_data" / "revisions")
    for path in (root / "site_data" / "models").glob("*.yaml"):
        path.write_text(
            re.sub(r"(?m)^revision: \w+", "revision: Z", path.read_text(encoding="utf-8")), encoding="utf-8"
        )
    release(folders, "4", BY)
    code = load(folders).book.card_codes[OLD]
    text = (folders.data / "handbook.yaml").read_text(encoding="utf-8")
    text = re.sub(r"(?m)^date: [\d-]+", "date: 2026-12-01", text.replace('revision: "4"', 'revision: "5"'))
    (folders.data / "handbook.yaml").write_text(text, encoding="utf-8")
    edit(folders, f"sites/{OLD}.yaml", "ambient: 86 degF", "ambient: 165 degF")
    release(folders, "5", BY)
    (folders.data / "sites" / f"{NEW}.yaml").unlink()
    publish_versions(folders, root / "public")
    return Published(folders, root / "public", code)


def told(page: Page) -> str:
    """What the release's sheet says at the head of a page."""
    return str(page.locator(".of-release").evaluate("one => getComputedStyle(one, '::before').content")).strip('"')


def test_every_page_of_a_superseded_release_says_so_and_leads_to_the_present(published: Published, page: Page) -> None:
    pages = sorted((published.place / "releases" / "4").rglob("*.html"))
    assert len(pages) > 20
    assert [one.name for one in pages if one.read_text(encoding="utf-8").count("Do not work from this page") != 1] == []
    page.goto((published.place / "releases" / "4" / "sites" / f"{OLD}.html").as_uri())
    banner = page.locator(".superseded")
    assert told(page) == "Superseded: release 4 of 2026-11-02; release 5 of 2026-12-01 followed. "
    assert "4, 2026-11-02" not in page.content() and "New since" not in page.content()
    assert published.code in page.locator(".about").inner_text(), "the page as it was issued"
    banner.get_by_role("link", name="The present text").click()
    assert Path(page.url.removeprefix("file://")) == published.place / "sites" / f"{OLD}.html"
    expect(page.locator(".superseded")).to_have_count(0)
    assert published.holds in page.locator(".about").inner_text()


def test_the_last_release_is_not_called_superseded(published: Published, page: Page) -> None:
    page.goto((published.place / "releases" / "5" / "index.html").as_uri())
    assert told(page) == "Release 5 of 2026-12-01, the last. "


def test_a_further_release_costs_what_differs(published: Published) -> None:
    """The book is the last release's alone, and every file that another release has too is one file on the disk."""
    releases = published.place / "releases"
    assert (releases / "5" / "handbook.pdf").is_file() and not (releases / "4" / "handbook.pdf").exists()
    files = [one for one in (releases / "4").rglob("*") if one.is_file()]
    own = [one.relative_to(releases / "4").as_posix() for one in files if one.stat().st_nlink == 1]
    sizes = [(releases / "4" / one).stat().st_size for one in own]
    assert sum(sizes) < 3_000_000 < sum(one.stat().st_size for one in files)
    assert {f"sites/{OLD}.html", "release.css", "revision.html"} <= set(own), own
    assert {f"sites/{NEW}.html", "commissioning.html", "assets/handbook.css"}.isdisjoint(own), own


def test_a_pocket_page_of_a_release_leads_to_the_present_one(published: Published, page: Page) -> None:
    page.goto((published.place / "releases" / "4" / "pocket" / f"{OLD}.html").as_uri())
    assert told(page).startswith("Superseded: release 4")
    page.get_by_role("link", name="The present text").click()
    assert Path(page.url.removeprefix("file://")) == published.place / "pocket" / f"{OLD}.html"


def test_the_list_tells_of_every_release_and_of_one_that_keeps_no_pages(published: Published, page: Page) -> None:
    page.goto((published.place / "index.html").as_uri())
    page.get_by_role("link", name="Releases of this handbook").click()
    rows = [row.inner_text().split("\t") for row in page.locator("tbody tr").all()]
    assert [row[0] for row in rows] == ["5", "4", "3"]
    assert [row[4] for row in rows] == ["the last", "superseded by 5", "superseded by 4"]
    assert rows[2][3] == "keeps no pages: made before releases did"
    assert "safety lead, 2026-11-03: a <b>new</b> range" in rows[0][2]
    links = [link.get_attribute("href") or "" for link in page.locator("main a").all()]
    assert {"4/index.html", "5/handbook.pdf", "5/index.html"} <= set(links)
    assert all((published.place / "releases" / link).is_file() for link in links)


def test_nothing_is_loaded_from_elsewhere_and_nothing_held_back(published: Published, page: Page) -> None:
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    for name in ("releases/index.html", "releases/4/index.html", f"releases/4/sites/{OLD}.html", GONE):
        page.goto((published.place / name).as_uri())
        assert 'http-equiv="Content-Security-Policy"' in page.content()
    assert said == []


def test_the_address_of_a_site_that_has_gone_says_so(published: Published, page: Page) -> None:
    page.goto((published.place / GONE).as_uri())
    expect(page.locator("main")).to_contain_text("Do not work from its card")
    page.get_by_role("link", name="the page as it was").click()
    assert told(page).startswith("Release 5 of 2026-12-01")


def test_a_card_s_address_carries_its_code(published: Published) -> None:
    """Drawn by the same public library (segno) from the address as it is to be: every module alike."""
    loaded = load(published.folders)
    texts = print_texts(loaded.cards[OLD], loaded.book.style)
    wanted = segno.make(f"https://handbook.quillbrook.example/pocket/{OLD}.html#card={published.holds}", error="m")
    drawn = ET.fromstring(texts["qr"].svg() if texts["qr"] else "")
    stroke = next(part for part in drawn.iter() if part.tag.endswith("path"))
    assert stroke.attrib["d"] in wanted.svg_inline(border=4)


def test_a_page_opened_from_a_card_says_whether_that_card_holds(published: Published, page: Page) -> None:
    address = (published.place / "sites" / f"{OLD}.html").as_uri()
    page.goto(f"{address}#card={published.code}")
    old = page.get_by_role("alert")
    expect(old).to_contain_text(f"The card in hand, {published.code}, is not current. Do not work from it.")
    expect(old).to_contain_text(f"The card that holds is {published.holds}")
    page.evaluate(f"location.hash = 'card={published.holds.lower()}'")
    expect(page.locator(".in-hand")).to_have_text(f"The card in hand, {published.holds}, is the one that holds.")
    for other in ("", "#card=<b>x", "#wire", "#card=12"):
        page.goto("about:blank")
        page.goto(address + other)
        expect(page.locator(".in-hand")).to_have_count(0)


def test_without_scripts_the_page_says_what_to_compare(published: Published) -> None:
    text = (published.place / "sites" / f"{OLD}.html").read_text(encoding="utf-8")
    assert f'Card <span class="code">{published.holds}</span>: compare yours.' in text


def test_a_folder_of_anything_else_is_left_alone(published: Published, tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("dear")
    with pytest.raises(HandbookError, match="is no handbook that was published"):
        publish_versions(published.folders, tmp_path)
    with pytest.raises(HandbookError, match="is what `handbook build` writes"):
        publish_versions(published.folders, published.folders.output / "site")
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_what_was_tampered_with_is_not_published(published: Published) -> None:
    archive = published.folders.data / "revisions" / "4" / "archive" / "_pages.zip"
    kept, before = archive.read_bytes(), (published.place / "index.html").read_bytes()
    archive.write_bytes((archive.parents[2] / "5" / "archive" / "_pages.zip").read_bytes())
    with pytest.raises(HandbookError, match="this is not what was issued"):
        publish_versions(published.folders, published.place)
    archive.write_bytes(kept)
    assert (published.place / "index.html").read_bytes() == before
    assert not list(published.place.parent.glob(".public-*")), "what was begun is taken away"


def test_published_again_it_takes_the_place_of_the_last(published: Published) -> None:
    before = sorted(path.relative_to(published.place) for path in published.place.rglob("*"))
    publish_versions(published.folders, published.place)
    assert sorted(path.relative_to(published.place) for path in published.place.rglob("*")) == before

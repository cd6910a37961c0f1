"""The demo handbook's pages as rendered: what a reader must find is there, and none goes out without its warnings."""

import re
import shutil
from pathlib import Path

import pytest

from generator.build import Folders, Loaded, load
from generator.errors import PageFault
from generator.render.pages import render_pages
from tests.content.writing import ROOT


@pytest.fixture(scope="module")
def loaded() -> Loaded:
    return load(Folders(ROOT))


@pytest.fixture(scope="module")
def pages(loaded: Loaded) -> dict[str, str]:
    return {one.page.id: one.text for one in render_pages(ROOT / "content", loaded.book)}


def test_every_page_shows_its_notices_with_their_reasons_filled(loaded: Loaded, pages: dict[str, str]) -> None:
    for page, notices in loaded.book.notices.items():
        for active in notices:
            assert f'data-notice="{active.notice.id}"' in pages[page], (page, active.notice.id)
    assert not [
        page for page, text in pages.items() if re.search(r"\{\{|\{%|>\{|\{(site|model|hottest|voltage)\}", text)
    ]


def test_the_scald_notice_says_how_hot_it_can_get(pages: dict[str, str]) -> None:
    reason = re.search(r'data-notice="scald".*?class="because">(.*?)</', pages["sites/bunkhouse"], re.DOTALL)
    assert reason
    assert re.fullmatch(r"Water at \d+\u00a0°F \(.+?\) is possible at Bunkhouse shower; .+", reason[1].strip())


@pytest.mark.parametrize("words", ["Won&#39;t turn on", "8\u00a0AWG", "422.11", "tankless", "GFCI", "live-dead-live"])
def test_what_people_search_for_stands_on_some_page(pages: dict[str, str], words: str) -> None:
    assert [page for page, text in pages.items() if words.lower() in text.lower()]


def test_each_symptom_compares_with_every_model(loaded: Loaded, pages: dict[str, str]) -> None:
    titles = [view.spec.title for view in loaded.book.models]
    for symptom in loaded.book.symptoms.symptoms:
        if any("closes-at" in cause.compare for cause in symptom.causes):
            assert all(title in pages[f"fault-finding/{symptom.id}"] for title in titles)


def test_every_site_and_every_model_stands_on_the_pages_of_the_work(loaded: Loaded, pages: dict[str, str]) -> None:
    for view in loaded.book.sites:
        assert view.spec.title in pages["installation/electrical"]
        assert view.spec.title in pages["expected-temperatures"]
    for model in loaded.book.models:
        for page in ("installation/plumbing", "installation/electrical", "installation/first-start", "adjusting"):
            assert model.spec.title in pages[page]


@pytest.mark.parametrize("template", ["adjusting", "_symptom", "_site", "_model", "installation/electrical"])
def test_a_page_that_lacks_a_warning_is_not_published(loaded: Loaded, tmp_path: Path, template: str) -> None:
    content = tmp_path / "content"
    shutil.copytree(ROOT / "content", content)
    page = content / "pages" / f"{template}.md.j2"
    text, removed = re.subn(r"\{\{ (page_notices|section)\(.*?\) \}\}", "", page.read_text(encoding="utf-8"))
    assert removed
    page.write_text(text, encoding="utf-8")
    with pytest.raises(PageFault, match="the page lacks safety notices that apply to it: [a-z]"):
        render_pages(content, loaded.book)

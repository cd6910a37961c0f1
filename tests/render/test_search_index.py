"""What the search is given of a page: its headings and text by part, without tables of figures and their working."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from generator.assemble.pages import Page
from generator.model.content.search_words import SearchWords
from generator.render.site.search_index import INDEX, write_search_index

PAGE = Page("sites/shed.md", "_site.md.j2", "Shed", 1, also=("barn", "hut"))
WORDS = SearchWords(same=(("breaker", "circuit breaker"),))
TEXT = """<html><body><nav>not here</nav><article class="md-content">
<h1 id="shed">Shed</h1><p>First <b>bold</b>er&nbsp;line<br>next.</p><div class="safety danger"><p>Beware.</p></div>
<h2 id="wire">Wire &amp; breaker</h2><ul><li>8&nbsp;AWG</li><li>40 A</li></ul>
<div class="scroll"><table><tr><td>12.3<br>4</td></tr></table></div><p data-search-exclude>hidden</p>
<svg><text>drawn</text></svg><p>After.</p><p class="page-code">Code</p></article>
<footer>not here</footer></body></html>"""


def parts_of(site: Path, page: Page) -> dict[str, object]:
    (site / "sites").mkdir(exist_ok=True)
    (site / "assets").mkdir(exist_ok=True)
    (site / "sites" / "shed.html").write_text(TEXT, encoding="utf-8")
    others = (replace(page, path="sites/shed/details.md", part="details"), replace(page, path="x.md", search="no"))
    write_search_index(site, (page, *others), WORDS)
    text = (site / INDEX).read_text(encoding="utf-8")
    found = json.loads(text.removeprefix("const searchIndex="))
    assert found["same"] == [["breaker", "circuit breaker"]]
    (one,) = found["pages"]
    return one


def test_a_page_is_read_by_its_headings(tmp_path: Path) -> None:
    assert parts_of(tmp_path, PAGE) == {
        "url": "sites/shed.html",
        "title": "Shed",
        "also": "barn, hut",
        "parts": [
            ["", "Shed", "First bolder\u00a0line next. Beware."],
            ["wire", "Wire & breaker", "8\u00a0AWG 40 A After."],
        ],
    }


def test_the_notices_of_a_subject_stand_on_a_page_for_all(tmp_path: Path) -> None:
    assert parts_of(tmp_path, replace(PAGE, kind="site"))["parts"][0] == ["", "Shed", "First bolder\u00a0line next."]


def test_of_a_list_only_the_title_is_read(tmp_path: Path) -> None:
    assert parts_of(tmp_path, replace(PAGE, search="title"))["parts"] == [["", "Shed", ""]]


def test_the_text_of_a_site_is_cut_between_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("generator.render.site.search_index._MOST", 33)
    found = parts_of(tmp_path, replace(PAGE, kind="site"))["parts"]
    assert found == [["", "Shed", "First bolder\u00a0line next."], ["wire", "Wire & breaker", "8\u00a0AWG"]]

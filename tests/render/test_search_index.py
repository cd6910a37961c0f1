"""What the search is given of a page: its headings and text by part, without tables of figures and their working."""

import json
from dataclasses import replace
from pathlib import Path

import pytest

from generator.assemble.pages import Page
from generator.model.content.search_words import SearchWords
from generator.render.site import search_index
from generator.render.site.search_index import INDEX, write_search_index
from tests.render.small import site_view

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


def test_of_many_sites_each_group_has_an_index_of_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The common one holds their heads; nothing is lost, and no index of a group is longer than it may be."""
    monkeypatch.setattr(search_index, "SEARCHED_WHOLE", 2)
    monkeypatch.setattr(search_index, "_MOST_OF_GROUP", 900)
    view = site_view()
    for folder in ("sites", "assets"):
        (tmp_path / folder).mkdir()
    pages, text = [], TEXT.replace("First", "Breaker " * 60)
    for number in range(5):
        spec = view.spec.model_copy(update={"id": f"s{number}", "group": "Farm" if number % 2 else "Yard"})
        pages.append(replace(PAGE, path=f"sites/s{number}.md", kind="site", subject=replace(view, spec=spec)))
        (tmp_path / "sites" / f"s{number}.html").write_text(text, encoding="utf-8")
    whole = write_search_index(tmp_path, pages, WORDS)
    common = json.loads((tmp_path / INDEX).read_text(encoding="utf-8").removeprefix("const searchIndex="))
    assert [page["url"] for page in common["pages"]] == [page["url"] for page in whole.values()]
    assert all(len(page["parts"]) == 1 and len(page["parts"][0][2]) <= 200 for page in common["pages"])
    assert [common["groups"][page["group"]]["name"] for page in common["pages"]] == ["Yard", "Farm"] * 2 + ["Yard"]
    found = {}
    for group in common["groups"]:
        assert len(group["files"]) == len(set(group["files"])) > 1
        for file in group["files"]:
            text = (tmp_path / file).read_text(encoding="utf-8")
            held = json.loads(text.removeprefix("searchIndex.found(").removesuffix(")\n"))
            found |= {page["url"].removesuffix(".html"): page for page in held}
    assert found == whole
    assert write_search_index(tmp_path, pages, WORDS, known=whole) == whole

"""The bound handbook: the same pages as the site, with contents, running heads and page numbers that are true."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from generator.assemble.selection import selected
from generator.build import Loaded
from generator.errors import PageFault
from generator.render.book.html_tree import parse
from generator.render.book.nodes import BookPage, labels_in, pointed
from generator.render.book.pdf import bound, print_book
from generator.render.pages.as_html import EXTENSIONS, html_of
from generator.render.pages.write import Rendered, render_pages
from tests.frozen import ROOT
from tests.print.reading import reader, squeezed

CONTENT = ROOT / "content"
SITE = "farm-stand"


@pytest.fixture(scope="module")
def pages(loaded: Loaded) -> tuple[Rendered, ...]:
    every = render_pages(CONTENT, selected(loaded.book, sites=[SITE]))
    return tuple(bound(every, working=False))  # the workings are bound in where they are asked for, the search never


@pytest.fixture(scope="module")
def pdf(loaded: Loaded, pages: tuple[Rendered, ...]) -> bytes:
    return print_book(CONTENT, pages, loaded.book)


@pytest.fixture(scope="module")
def sheets(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in reader(pdf).pages]


def _nodes(html: str, targets: dict[tuple[str, str], str] | None = None, working: bool = False) -> list[Any]:
    labels = {("sites/a", ""): "page sites/a"} | (targets or {})
    return BookPage("sites/a", labels, {"assets/symbols/x.svg": "/assets/symbols/x.svg"}, working).nodes(parse(html))


def test_it_is_a_tagged_document_with_its_own_particulars(loaded: Loaded, pdf: bytes) -> None:
    found, settings = reader(pdf), loaded.inputs.settings
    assert found.metadata is not None
    assert (found.metadata.title, found.metadata.author) == (settings.title, settings.publisher)
    root = found.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"].value is True
    assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data()


def test_every_page_of_the_site_is_a_chapter(pages: tuple[Rendered, ...], pdf: bytes) -> None:
    outline = [entry["/Title"] for entry in reader(pdf).outline if not isinstance(entry, list)]
    assert [one.page.title for one in pages] == [title for title in outline if title != "Contents"]


def test_fault_finding_with_figures_is_bound_for_one_site_alone(
    rendered: tuple[Rendered, ...], pages: tuple[Rendered, ...]
) -> None:
    assert [one.page.id for one in pages if one.page.part == "faults"] == [f"sites/{SITE}/faults"]
    many = bound(rendered, working=False)
    assert not [one for one in many if one.page.part == "faults"]
    assert len(many) == sum(
        not one.page.is_html and one.page.part != "faults" and one.page.id != "search" for one in rendered
    )


def test_the_contents_name_the_true_pages(pages: tuple[Rendered, ...], sheets: list[str]) -> None:
    contents = squeezed("".join(text for text in sheets[:6]))
    for one in pages:
        starts = [place for place, text in enumerate(sheets, 1) if _running_head(text) == squeezed(one.page.title)]
        assert starts, one.page.title
        assert re.search(rf"{re.escape(squeezed(one.page.title))}[.·\s]*{starts[0]}(?!\d)", contents), one.page.title


def _running_head(text: str) -> str:
    return squeezed(re.split(r"Revision \d+ ·", text.split("\n")[0])[0])


def test_each_page_bears_revision_date_and_its_number(loaded: Loaded, sheets: list[str]) -> None:
    settings = loaded.inputs.settings
    for number, text in enumerate(sheets[1:], 2):
        assert squeezed(f"Revision {settings.revision} · {settings.date}") in squeezed(text)
        assert squeezed(f"Page {number} of {len(sheets)}") in squeezed(text)


def test_a_reference_names_the_page_it_leads_to(sheets: list[str]) -> None:
    """The page of the site names its heater's page: the number there is where that chapter starts."""
    heater = next(place for place, text in enumerate(sheets, 1) if _running_head(text) == "Rill3")
    site = next(text for text in sheets if _running_head(text) == "Farmstandpublicwashroom")
    assert squeezed(f"Rill 3 (page {heater})") in squeezed(site)


def test_nothing_that_the_pages_say_is_lost(pages: tuple[Rendered, ...], sheets: list[str]) -> None:
    """Every notice, every heading and every cell of a table of the site's pages is in the book."""
    text = re.sub(r"\(page\d+\)", "", squeezed("".join(text.partition("\n")[2] for text in sheets)))
    for one in pages:
        # a <template> answers the address of a card, which no sheet has
        tree = parse(re.sub(r"<template.*?</template>", "", html_of(one.text), flags=re.DOTALL))
        for heading in tree.find_all("h2", "h3"):
            assert squeezed(heading.text()) in text, (one.page.id, heading.text())
        for element in tree.find_all("strong"):
            assert squeezed(element.text()) in text, (one.page.id, element.text())
        for found in re.findall(r'data-notice="([\w-]+)"', one.text):
            assert found


def test_a_table_that_runs_over_repeats_its_head(loaded: Loaded, pages: tuple[Rendered, ...]) -> None:
    rows = "".join(f"| {number} | cell |\n" for number in range(150))
    one = replace(pages[0], text=f"# Long\n\n| Head of it | Other |\n| --- | --- |\n{rows}")
    found = reader(print_book(CONTENT, [one], loaded.book)).pages
    heads = [squeezed(page.extract_text()).count("Headofit") for page in found]
    assert heads[:2] == [0, 0] and len(heads) > 4
    assert heads[2:] == [1] * (len(heads) - 2)


def test_the_same_pages_give_the_same_bytes(loaded: Loaded, pages: tuple[Rendered, ...]) -> None:
    few = pages[:4]
    first, second = (print_book(CONTENT, few, loaded.book) for _ in range(2))
    assert first == second


def test_the_working_is_printed_on_request(loaded: Loaded) -> None:
    every = render_pages(CONTENT, selected(loaded.book, sites=[SITE]))
    site = [one for one in every if one.page.id.startswith(f"sites/{SITE}/")]
    with_working = print_book(CONTENT, site, loaded.book, working=True)
    without = print_book(CONTENT, site, loaded.book)
    assert len(reader(with_working).pages) > len(reader(without).pages)


def test_the_extensions_are_those_of_the_site() -> None:
    config = (ROOT / "mkdocs.yml").read_text(encoding="utf-8")
    listed = config.partition("markdown_extensions:\n")[2].partition("\nextra:")[0]
    assert re.findall(r"^  - (\w+)", listed, re.M) == list(EXTENSIONS)


def test_markup_in_a_text_stays_a_text() -> None:
    assert _nodes("<p>#panic() *x* $y$ &lt;b&gt;</p>") == [{"p": ["#panic() *x* $y$ <b>"], "note": False}]


def test_links_inside_the_book_and_out_of_it() -> None:
    targets = {("models/b", ""): "page models/b", ("models/b", "x"): "page models/b#x"}
    html = '<a href="../models/b.html#x">B</a><a href="../models/c.md">C</a><a href="https://h.example">H</a>'
    assert _nodes(html, targets) == [
        {"link": "page models/b#x", "away": True, "c": ["B"]},
        "C",
        {"url": "https://h.example", "c": ["H"]},
    ]


def test_a_safety_message_keeps_word_sign_and_text() -> None:
    html = (
        '<div class="safety warning" data-notice="n"><p class="head"><span class="signal">WARNING</span></p>'
        '<div class="body"><img class="sign" src="../assets/symbols/x.svg" alt="Sign"><p><strong>Hot.</strong> So.</p>'
        "<ul><li>Wait.</li></ul></div></div>"
    )
    assert _nodes(html) == [
        {
            "notice": "warning",
            "sign": {"picture": "/assets/symbols/x.svg", "alt": "Sign"},
            "c": [{"p": [{"strong": ["Hot."]}, " So."], "note": False}, {"ul": [["Wait."]]}],
        }
    ]


def test_a_collapsed_working_leaves_its_summary() -> None:
    html = (
        '<details class="working"><summary>50 A <span class="cue">working</span></summary><ol><li>x</li></ol></details>'
    )
    assert _nodes(html) == ["50 A "]
    assert _nodes(html, working=True) == ["50 A ", {"working": [{"ol": [["x"]]}]}]


def test_a_table_keeps_heads_spans_and_caption() -> None:
    html = (
        "<table><caption>Flow</caption><thead><tr><th>a</th><th>b</th></tr></thead>"
        '<tbody><tr><td colspan="2">c</td></tr></tbody></table>'
    )
    (table,) = _nodes(html)
    assert table["caption"] == ["Flow"]
    assert [cell["head"] for cell in table["head"][0]] == [True, True]
    assert [(cell["span"], cell["c"]) for cell in table["table"][0]] == [(2, ["c"])]


def test_white_space_between_blocks_is_no_line() -> None:
    assert _nodes("<p>a</p>\n<p>b</p>\n") == [{"p": ["a"], "note": False}, {"p": ["b"], "note": False}]
    assert _nodes("<strong>a</strong>\n<em>b</em>") == [{"strong": ["a"]}, " ", {"em": ["b"]}]


def test_an_item_of_a_list_can_be_pointed_at() -> None:
    nodes = _nodes('<ul><li id="a.b">one</li></ul>', {("sites/a", "a.b"): "page sites/a#a.b"})
    assert nodes == [{"ul": [[{"label": "page sites/a#a.b"}, "one"]]}]
    assert list(labels_in(nodes)) == ["page sites/a#a.b"]


def test_a_link_to_what_the_print_leaves_out_leads_to_its_page() -> None:
    link = {"link": "page sites/a#working", "away": True, "c": ["see"]}
    assert pointed([{"p": [link]}], {"page sites/a"}) == [{"p": [link | {"link": "page sites/a"}]}]
    assert pointed([link], {"page sites/a", "page sites/a#working"}) == [link]


@pytest.mark.heavy
def test_the_whole_demo_is_bound(loaded: Loaded) -> None:
    """With every site and model: each link of each page has its place in the print, or Typst refuses the book."""
    whole = reader(print_book(CONTENT, render_pages(CONTENT, loaded.book), loaded.book))
    text = squeezed(" ".join(page.extract_text() for page in whole.pages))
    assert all(squeezed(site.title) in text for site in loaded.inputs.sites)


def test_a_picture_of_ones_own_stands_in_the_book_by_its_file() -> None:
    (picture,) = _nodes('<p><img src="../assets/symbols/x.svg" alt="The yard"></p>')
    assert picture == {"image": "/assets/symbols/x.svg", "alt": "The yard"}
    text, picture = _nodes('<p>Here: <img src="../assets/symbols/x.svg" alt="The yard"></p>')
    assert text["p"] == ["Here: "] and "image" in picture


def test_a_picture_that_is_not_there_is_refused_in_words() -> None:
    for markup in ('<img src="../assets/y.png" alt="The yard">', '<img src="../assets/symbols/x.svg">'):
        with pytest.raises(PageFault, match=r"sites/a: the book cannot show the picture"):
            _nodes(f"<p>{markup}</p>")


def test_footnotes_boxes_and_lists_in_lists_are_set() -> None:
    html = html_of("Ask.[^1]\n\n[^1]: Weekdays.\n\n!!! note\n    Shut.\n\n- A\n    - B\n")
    targets = {("sites/a", name): name for name in ("fn:1", "fnref:1")}
    nodes = _nodes(html, targets)
    assert {"link": "fn:1", "away": False, "c": ["1"]} in nodes[0]["p"][-1]["sup"]
    assert any("frame" in node for node in nodes)
    outer = next(node for node in nodes if "ul" in node)
    assert any("ul" in node for node in outer["ul"][0] if isinstance(node, dict))
    assert "\N{LEFTWARDS ARROW WITH HOOK}" not in str(nodes)


def test_pictures_of_every_kind_and_lists_in_lists_print(loaded: Loaded, tmp_path: Path) -> None:
    """Each as many pixels or points as it has: read again from the PDF."""
    content = tmp_path / "content"
    shutil.copytree(CONTENT, content)
    for kind in ("png", "jpeg", "webp"):
        Image.new("RGB", (90, 50), (20, 90, 110)).save(content / "assets" / f"yard.{kind}")
    page = next(one for one in render_pages(CONTENT, loaded.book) if one.page.id == "glossary")
    text = "".join(f"![The yard](assets/yard.{kind})\n\n" for kind in ("png", "jpeg", "webp"))
    own = replace(page, text=f"# Yard\n\n- A\n    - B\n        - C\n\n{text}![Sign](assets/symbols/earth.svg)\n")
    sheet = reader(print_book(content, [own], loaded.book)).pages[-1]
    assert [image.image.size for image in sheet.images if image.image] == [(90, 50)] * 3

"""Pages mark what has moved since the last release, in words, and their codes know nothing of it."""

import html
import posixpath
import re
import shutil

import pytest

from generator.assemble.documents import Book
from generator.build import load
from generator.folders import Folders
from generator.model.documents.walk import walk
from generator.model.figures import Figure
from generator.release import release
from generator.render.pages.marks import SIGN, unmarked
from generator.render.pages.write import Rendered, render_pages
from tests.changes.project import edit

SHED = "sites/potting-shed.yaml"
MARK = re.compile(r'<ins class="was"> <span aria-hidden="true">◆</span>&#160;([^<]*)</ins>')


def rendered(folders: Folders) -> dict[str, Rendered]:
    return {one.page.id: one for one in render_pages(folders.content, load(folders).book)}


def marks(page: Rendered) -> list[str]:
    return [html.unescape(words) for words in MARK.findall(page.text)]


@pytest.fixture
def moved(folders: Folders) -> Folders:
    """A project whose potting shed has a hotter route than in the last release."""
    release(folders, "4")
    edit(folders, SHED, "ambient: 86 degF", "ambient: 165 degF")
    return folders


def test_without_a_release_nothing_is_marked(folders: Folders) -> None:
    assert not any(SIGN in one.text or 'class="moved"' in one.text for one in rendered(folders).values())


def test_just_after_a_release_nothing_is_marked(folders: Folders) -> None:
    release(folders, "4")
    assert not any(SIGN in one.text or 'class="moved"' in one.text for one in rendered(folders).values())


def test_a_figure_that_moved_says_what_it_was(moved: Folders) -> None:
    pending = load(moved).book.history.pending
    assert pending is not None
    page = rendered(moved)["sites/potting-shed/details"]
    conductor = next(one for one in pending.figures if one.id == "site.potting-shed.circuit.a.conductor")
    assert f"conductor was {conductor.old}" in marks(page), "in the summary at the top"
    assert f"was {conductor.old}" in marks(page), "beside the figure"


def test_every_figure_that_moved_and_is_on_the_page_is_marked_and_no_other(moved: Folders) -> None:
    """Each moved figure of the site stands on its page at least once; those that stayed carry no mark."""
    book = load(moved).book
    pending = book.history.pending
    assert pending is not None
    there = [one for one in pending.figures if one.new is not None]
    told = {f"was {one.old}" if one.old else "new" for one in there if stored(book, one.id)}
    told |= {"changed" for one in there if not stored(book, one.id)}
    told |= {f"was {one.old}" for one in pending.findings if one.new is not None}
    named = re.compile(r"(device|poles|conductor|least|greatest) (?=was |changed)")
    assert {named.sub("", mark) for mark in marks(rendered(moved)["sites/potting-shed/details"])} == told


def test_a_torque_that_moved_is_marked_wherever_it_stands(folders: Folders) -> None:
    release(folders, "4")
    edit(folders, "models/rill-3.yaml", "torque: 18 lbf in", "torque: 20 lbf in")
    pages = rendered(folders)
    for page in ("sites/potting-shed/details", "models/rill-3"):
        (mark,) = marks(pages[page])
        assert mark.replace("\N{NO-BREAK SPACE}", " ") == "was 18 lbf in (2.03 N m)"
        assert 'class="moved"' in pages[page].text
    assert SIGN not in pages["sites/seedling-house/details"].text


def test_a_site_that_did_not_move_has_no_marks(moved: Folders) -> None:
    pages = rendered(moved)
    for page in ("sites/seedling-house", "sites/seedling-house/details", "models/rill-4m", "installation/unpacking"):
        assert SIGN not in pages[page].text
        assert 'class="moved"' not in pages[page].text


def test_a_changed_page_says_so_under_its_title_and_links_to_what_moved(moved: Folders) -> None:
    page = rendered(moved)["sites/potting-shed/details"]
    lines = [line for line in page.text.split("\n") if line]
    assert lines[0].startswith("# ")
    assert lines[1].startswith('<p class="moved">Changed since release 4 of 2026-11-02.')
    assert 'href="details.html#moved"' in lines[1]


def test_every_such_link_leads_to_where_it_is_told(moved: Folders) -> None:
    pages = rendered(moved)
    led = set()
    for page_id, one in pages.items():
        for address in re.findall(r'class="moved">[^\n]*<a href="([^"]*)"', one.text):
            file, _, anchor = address.partition("#")
            target = posixpath.normpath(posixpath.join(posixpath.dirname(page_id), file)).removesuffix(".html")
            assert f"{{: #{anchor} }}" in pages[target].text, (page_id, address)
            led.add(target)
    assert {"revision", "sites/potting-shed/details"} <= led


def test_the_code_of_a_page_knows_nothing_of_the_marks(moved: Folders) -> None:
    marked = rendered(moved)
    edit(moved, "handbook.yaml", "mark_changes: yes", "mark_changes: no")
    plain = rendered(moved)
    assert marks(marked["sites/potting-shed/details"])
    assert not any(marks(one) or 'class="moved"' in one.text for one in plain.values())
    different = {id_ for id_, one in plain.items() if one.code != marked[id_].code}
    assert different == {"revision"}, "which lists the setting itself among the inputs that changed"
    assert all(SIGN not in unmarked(one.text) or 'class="moved"' in one.text for one in marked.values())


def test_a_new_site_is_called_new_and_its_figures_are_not_marked(folders: Folders) -> None:
    kept = folders.root / "kept.yaml"
    shutil.move(folders.data / SHED, kept)
    release(folders, "4")
    shutil.move(kept, folders.data / SHED)
    page = rendered(folders)["sites/potting-shed/details"]
    assert '<p class="moved">New since release 4 of 2026-11-02.' in page.text
    assert marks(page) == []


def test_a_figure_that_is_new_at_a_known_site_is_marked_new(moved: Folders) -> None:
    edit(
        moved,
        SHED,
        "{name: hand basin,",
        "{name: jug, kind: lavatory, flow: 0.4 gpm, target: 85 degF}\n  - {name: hand basin,",
    )
    assert "new" in marks(rendered(moved)["sites/potting-shed/details"])


def test_a_finding_that_changed_is_marked(folders: Folders) -> None:
    release(folders, "4")
    edit(folders, SHED, "length: 35 ft", "length: 1200 ft")
    pending = load(folders).book.history.pending
    assert pending is not None
    page = rendered(folders)["sites/potting-shed/details"]
    worse = next(one for one in pending.findings if one.new == "stop")
    box = page.text[page.text.index(f'id="{worse.id}"') :]
    assert f"was {worse.old}</ins>" in box[: box.index("</p>")]


def test_text_of_an_old_release_stays_text(folders: Folders) -> None:
    """What a release once printed may hold what Markdown and HTML give a meaning."""
    edit(folders, SHED, "name: hand basin", "name: 'a <b>|basin|'")
    release(folders, "4")
    edit(folders, SHED, "name: 'a <b>|basin|'", "name: hand basin")
    pages = rendered(folders)
    assert "<b>" not in pages["revision"].text
    assert "&#60;b&#62;&#124;basin&#124;" in pages["revision"].text


def test_the_revision_page_tells_each_release(moved: Folders) -> None:
    text = (moved.data / "handbook.yaml").read_text().replace('revision: "4"', 'revision: "5"')
    (moved.data / "handbook.yaml").write_text(text.replace("2026-11-02", "2026-12-01"))
    made = release(moved, "5")
    assert made.changes is not None
    page = html.unescape(rendered(moved)["revision"].text).replace("\u00a0", " ")
    (card,) = made.changes.cards
    assert "### 5, 2026-12-01" in page
    assert "### 4, 2026-11-02" in page
    assert f"Potting shed hand basin: card {card.old} is void, {card.new} holds" in page
    assert "Nothing has moved since release 5 of 2026-12-01." in page
    for crossed in made.changes.crossings:
        assert crossed.name.replace("\u00a0", " ") in page


def test_where_a_figure_has_no_value_now_the_old_one_is_not_said(folders: Folders) -> None:
    """A size of a circuit that must not be built any more, or a flow that is no longer safe, is nothing to work by."""
    release(folders, "4")
    edit(folders, SHED, "voltage: 120 V", "voltage: 240 V")
    book = load(folders).book
    gone = {id_ for id_, words in book.history.was.items() if words == "changed"}
    assert "site.potting-shed.circuit.a.device" in gone
    assert not [id_ for id_ in gone if stored(book, id_)]
    assert not [mark for mark in marks(rendered(folders)["sites/potting-shed/details"]) if "device was" in mark]


def stored(book: Book, id_: str) -> bool:
    """Whether a site's figure of this id has a value now."""
    site = next(site for site in book.sites if id_.startswith(f"site.{site.spec.id}."))
    found = {figure.id: figure.value for figure in walk(site.result, Figure)}
    return found[id_] is not None


def test_a_finding_on_the_revision_page_leads_to_where_it_stands(folders: Folders) -> None:
    release(folders, "4")
    edit(folders, SHED, "length: 35 ft", "length: 1200 ft")
    pages = rendered(folders)
    links = re.findall(r'href="(sites/[\w/-]+)\.html#([\w.-]+)"', pages["revision"].text)
    assert links
    for page, anchor in links:
        assert f'id="{anchor}"' in pages[page].text

"""Which pages there are, how they nest, and what writing them leaves alone."""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from generator.assemble.pages import Template, navigation, pages
from generator.command.check import check_command
from generator.errors import InputFaults, PageFault
from generator.render.pages.write import read_template, write_pages
from tests.changes.project import copy_of_demo
from tests.frozen import ROOT
from tests.render.small import small_book

OWN = (
    *("_macros.md", "_model.md", "_model_details.md", "_model_working.html", "_site_details.md", "_site_working.html"),
    *("findings.md", "revision.md", "method.md"),
)
# The first page of a site leads to pages of the whole handbook, and draws what the small one has no figures for.
FIRST = "{# title: Site; order: 10 #}\n# {{ site.spec.title }}\n{{ page_notices() }}{{ deferral() }}"


@pytest.fixture
def content(tmp_path: Path) -> Path:
    """The project's assets and some of its templates, with empty pages where they lead to others."""
    folder = tmp_path / "content"
    shutil.copytree(ROOT / "content" / "assets", folder / "assets")
    shutil.copytree(ROOT / "content" / "print" / "fonts", folder / "print" / "fonts")
    (folder / "pages").mkdir()
    shutil.copy(ROOT / "content" / "pages" / "_moved.md.j2", folder / "pages")
    for name in OWN:
        shutil.copy(ROOT / "content" / "pages" / f"{name}.j2", folder / "pages")
    (folder / "pages" / "_site.md.j2").write_text(FIRST)
    (folder / "pages" / "_model_faults.md.j2").write_text("{# title: Faults; order: 15 #}\n# {{ page.title }}\n")
    for path in (ROOT / "content" / "pages").rglob("[!_]*.md.j2"):  # what these lead to, without words
        place = folder / "pages" / path.relative_to(ROOT / "content" / "pages")
        if not place.exists():
            place.parent.mkdir(exist_ok=True)
            place.write_text("{# title: T; order: 900 #}\n# T\n")
    return folder


def test_one_page_a_template_a_model_and_a_site() -> None:
    templates = [
        Template("_site.md.j2", "Site", 10),
        Template("_model.md.j2", "Model", 20),
        Template("index.md.j2", "Home", 0),
        Template("installation/plumbing.md.j2", "Plumbing", 30),
    ]
    found = pages(small_book(), templates)
    assert [page.path for page in found] == [
        "index.md",
        "sites/shed.md",
        "models/beck-9.md",
        "installation/plumbing.md",
    ]
    assert [page.notices for page in found] == [(), ("scald",), (), ()]


def test_folders_stand_at_their_first_page_and_are_named_as_a_page_says_or_after_themselves() -> None:
    templates = [
        Template("index.md.j2", "Home", 0),
        Template("fault-finding/index.md.j2", "Symptoms", 10, folder="What to do"),
        Template("safety.md.j2", "Safety", 20),
        Template("fault-finding/cold.md.j2", "Cold", 30),
        Template("first-aid/burns.md.j2", "Burns", 40),
    ]
    assert navigation(pages(small_book(), templates)) == [
        {"Home": "index.md"},
        {"What to do": [{"Symptoms": "fault-finding/index.md"}, {"Cold": "fault-finding/cold.md"}]},
        {"Safety": "safety.md"},
        {"First aid": [{"Burns": "first-aid/burns.md"}]},
    ]


@pytest.mark.parametrize("target", ["../../elsewhere.txt", "/etc/hostname", "nowhere.txt", ".."])
def test_a_link_that_leaves_the_assets_is_refused(content: Path, tmp_path: Path, target: str) -> None:
    (tmp_path / "elsewhere.txt").write_text("not for the public", encoding="utf-8")
    (content / "assets" / "leak.txt").symlink_to(target)
    with pytest.raises(InputFaults, match=r"assets/leak\.txt:1:1: file: this link is not to a file of this folder; "):
        write_pages(content, tmp_path / "pages", small_book())
    assert not (tmp_path / "pages").exists()


def test_a_link_among_the_assets_is_published(content: Path, tmp_path: Path) -> None:
    (content / "assets" / "one.txt").write_text("for the public", encoding="utf-8")
    (content / "assets" / "two.txt").symlink_to("one.txt")
    write_pages(content, tmp_path / "pages", small_book())
    assert (tmp_path / "pages" / "assets" / "two.txt").read_text(encoding="utf-8") == "for the public"


def test_what_has_not_changed_is_not_written_again(content: Path, tmp_path: Path) -> None:
    out = tmp_path / "pages"
    write_pages(content, out, small_book())
    before = {path: path.stat().st_mtime_ns for path in out.rglob("*") if path.is_file()}
    write_pages(content, out, small_book())
    assert {path: path.stat().st_mtime_ns for path in out.rglob("*") if path.is_file()} == before

    write_pages(content, out, small_book(revision="5"))
    changed = {path.relative_to(out).as_posix() for path in before if path.stat().st_mtime_ns != before[path]}
    assert changed == {
        "revision.md",
        "sites/shed/working.html",
        "models/beck-9/working.html",
    }  # the engine puts the revision under the others


def test_what_no_page_makes_any_more_is_removed(content: Path, tmp_path: Path) -> None:
    out = tmp_path / "pages"
    write_pages(content, out, small_book())
    (out / "sites" / "barn.md").write_text("an old site")
    (out / "old" / "folder").mkdir(parents=True)
    write_pages(content, out, small_book())
    assert not (out / "sites" / "barn.md").exists()
    assert not (out / "old").exists()
    assert (out / "assets" / "handbook.css").exists()


def test_a_page_at_fault_leaves_every_page_as_it_was(content: Path, tmp_path: Path) -> None:
    out = tmp_path / "pages"
    write_pages(content, out, small_book())
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    (content / "pages" / "revision.md.j2").write_text("{# title: Revision; order: 1 #}\n{{ settings.nothing }}")
    with pytest.raises(PageFault, match=r"^content/pages/revision\.md\.j2:2: .*nothing"):
        write_pages(content, out, small_book(revision="9"))
    assert {path: path.read_bytes() for path in out.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("call", ['quantity(1.0, "head")', 'quantity(1.0, "time", "least")'])
def test_a_kind_or_bound_that_is_none_is_refused_with_those_there_are(content: Path, tmp_path: Path, call: str) -> None:
    (content / "pages" / "revision.md.j2").write_text("{# title: R; order: 1 #}\n{{ " + call + " }}\n")
    with pytest.raises(PageFault, match=r"revision\.md\.j2:2: '(head|least)' is none of .*(flow|at_least)"):
        write_pages(content, tmp_path / "pages", small_book())


@pytest.mark.parametrize(
    "line",
    [
        "# Plumbing",
        "{# title: Plumbing #}",
        "{# order: 3 #}",
        "{# title: A; order: first #}",
        "{# title: A; order: 3; by: me #}",
        "",
    ],
)
def test_a_template_that_does_not_say_its_page_is_refused(tmp_path: Path, line: str) -> None:
    (tmp_path / "a.md.j2").write_text(f"{line}\ntext")
    with pytest.raises(
        PageFault, match=r"^a\.md\.j2:1: .*start with \{# title: …; order: 30; audience: …; also: …, …; search: "
    ):
        read_template(tmp_path, "a.md.j2")


def test_a_hostile_title_stays_text_in_every_page(content: Path, tmp_path: Path) -> None:
    """The small book's site is called `Shed | <b>bold</b> …`; no page may hold that as markup."""
    out = tmp_path / "pages"
    for one in write_pages(content, out, small_book()):
        assert "<b>" not in (out / one.page.path).read_text(encoding="utf-8")


@pytest.mark.parametrize("wrong", ["{{ settings.nothing }}", "{% if %}", "{{ 1 | nosuch }}"])
def test_check_finds_a_template_at_fault_by_file_and_line(tmp_path: Path, wrong: str) -> None:
    copy_of_demo(tmp_path, {"rill-3"}, {"potting-shed"})
    content = shutil.copytree(ROOT / "content", tmp_path / "content", ignore=shutil.ignore_patterns("*.ttf"))
    (content / "pages" / "revision.md.j2").write_text(f"{{# title: Revision; order: 1 #}}\n{wrong}\n")
    made = CliRunner().invoke(check_command, [], obj=tmp_path)
    assert isinstance(made.exception, PageFault)
    assert str(made.exception).startswith("content/pages/revision.md.j2:2: ")

"""A page of a writer's own stands in the book as on the site, or is refused by its template's line before printing."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.assemble.pages import Page
from generator.build import load
from generator.errors import Fault, InputFaults
from generator.render.pages.printable import _glyphs_of, unprintable
from generator.render.pages.write import Rendered
from tests.frozen import ROOT, copied

TEMPLATE = "yard.md.j2"
FIRST = "{# title: Yard; order: 900; audience: all #}\n"


def faults(tmp_path: Path, text: str, shown: str | None = None) -> list[Fault]:
    """What is found on a page whose template holds `text` and which shows `shown`, or the same."""
    content = tmp_path / "content"
    if not content.exists():
        for path in ("pages", "assets"):
            (content / path).mkdir(parents=True)
        (content / "print").mkdir()
        (content / "print" / "fonts").symlink_to(ROOT / "content" / "print" / "fonts")
        for name in ("yard.png", "yard.bmp"):
            (content / "assets" / name).write_bytes(b"")
    (content / "pages" / TEMPLATE).write_text(FIRST + text, encoding="utf-8")
    page = Page("yard.md", TEMPLATE, "Yard", 900)
    return list(unprintable(content, [Rendered(page, shown or text, "")]))


@pytest.mark.parametrize(
    ("text", "line", "wrong"),
    [
        ("Yard.\n\n![The yard](assets/yerd.png)\n", 4, "the picture 'assets/yerd.png' is not in content/assets"),
        ("![The yard](https://there/yard.png)\n", 2, "the picture 'https://there/yard.png' is not in content/assets"),
        ("![](assets/yard.png)\n", 2, "the picture 'assets/yard.png' has no words"),
        ('<img src="../assets/yard.png">\n', 2, "the picture '../assets/yard.png' has no words"),
        ("![The yard](assets/yard.bmp)\n", 2, "'assets/yard.bmp' is no picture that can be printed"),
        ("A.\n\n!!! warning\n    Hot.\n", 4, "a box 'warning' stands here"),
        ("- A\n- \N{CJK UNIFIED IDEOGRAPH-6F22}\n", 3, "(U+6F22) is in no font of content/print/fonts"),
    ],
)
def test_what_the_book_cannot_show_is_named_by_file_and_line(tmp_path: Path, text: str, line: int, wrong: str) -> None:
    (fault,) = faults(tmp_path, text)
    assert (fault.file, fault.line) == (f"content/pages/{TEMPLATE}", line)
    assert wrong in fault.wrong


def test_what_the_book_can_show_is_not_refused(tmp_path: Path) -> None:
    text = "![The yard](assets/yard.png)\n\n!!! note\n    Shut at night.\n\n- A\n    - °, µ, ≤, Ω, ń\n"
    assert faults(tmp_path, text) == []


def test_a_character_that_came_by_a_value_is_named_by_its_page(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, "{{ site.title }}\n", shown="A.\n\n\N{CJK UNIFIED IDEOGRAPH-6F22}\n")
    assert (fault.file, fault.line) == ("the page yard", 3)


def test_the_glyphs_of_a_font_are_those_that_a_font_library_finds() -> None:
    """fontTools (an independent reader of the OpenType `cmap`) is there where the tests' HTML printer is."""
    library = pytest.importorskip("fontTools.ttLib")
    for font in sorted((ROOT / "content" / "print" / "fonts").glob("*.ttf")):
        assert _glyphs_of(font) == set(library.TTFont(font).getBestCmap())


@pytest.mark.parametrize(
    ("title", "lacking"), [("Сарай", "С (U+0421)"), ("小屋", "小 (U+5C0F)"), ("كوخ", "خ (U+062E)")]
)
def test_a_name_in_a_script_without_a_font_is_refused_at_its_place(tmp_path: Path, title: str, lacking: str) -> None:
    folders = copied(tmp_path)
    site = folders.data / "sites" / "bunkhouse.yaml"
    lines = site.read_text(encoding="utf-8").splitlines()
    number = next(place for place, line in enumerate(lines, 1) if line.startswith("title:"))
    lines[number - 1] = f"title: {title}"
    site.write_text("\n".join(lines) + "\n", encoding="utf-8")
    with pytest.raises(InputFaults) as raised:
        load(folders)
    (fault,) = raised.value.faults
    assert (fault.file, fault.line, fault.key) == ("site_data/sites/bunkhouse.yaml", number, "title")
    assert lacking in fault.wrong


def test_a_name_with_accents_is_printed(tmp_path: Path) -> None:
    folders = copied(tmp_path)
    site = folders.data / "sites" / "bunkhouse.yaml"
    text = site.read_text(encoding="utf-8")
    start = text.index("title:")
    site.write_text(f"{text[:start]}title: Hütte ő Łąka ñ Ωmega{text[text.index(chr(10), start) :]}", encoding="utf-8")
    assert load(folders).cards["bunkhouse"].head.site == "Hütte ő Łąka ñ Ωmega"

"""What a handbook is shaped by: its accents, logo, address, emergency number, and which pages come first or not."""

from __future__ import annotations

import struct
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image
from pydantic import ValidationError
from pypdf import PdfReader

from generator.assemble.pages import pages
from generator.build import load
from generator.errors import InputFaults
from generator.folders import Folders
from generator.model.settings import KEPT_PAGES, Colors, Settings
from generator.render.book.pdf import bound
from generator.render.card.pdf import TEMPLATE, print_card
from generator.render.pages.colors import AA, contrast, unreadable, with_colors
from generator.render.pages.logo import MOST_BYTES, unfit
from generator.render.pages.write import page_files, read_templates, render_pages, template_folders
from generator.render.typesetter import Typesetter
from generator.site_cards import printing_of
from tests.frozen import FOLDERS, ROOT, copied

STYLE = (ROOT / "content" / "assets" / "handbook.css").read_text(encoding="utf-8")
PNG = b"\x89PNG\r\n\x1a\n" + struct.pack(">I4s2I5B", 13, b"IHDR", 64, 32, 8, 2, 0, 0, 0) + b"\0" * 8 + b"IEND\xaeB`\x82"
SVG = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 4">{}</svg>'


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [  # of greys on white #767676 is the lightest that AA takes (WCAG 2.2, technique G18, from memory)
        ("#000000", "#ffffff", 21.0),
        ("#767676", "#ffffff", 4.54),
        ("#777777", "#ffffff", 4.48),
        ("#ff0000", "#ffffff", 4.00),
    ],
)
def test_contrast_is_that_of_wcag(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == contrast(other, one) == pytest.approx(ratio, abs=0.005)


def test_the_programs_own_accents_can_be_read() -> None:
    assert list(unreadable(Colors(light="#0b5f73", dark="#86d3e2"), STYLE)) == []
    assert list(unreadable(Colors(light="#0f4c5c"), STYLE)) == []


def test_an_accent_that_cannot_be_read_is_refused_on_each_ground() -> None:
    refused = list(unreadable(Colors(light="#777777", dark="#777777"), STYLE))
    assert [key for key, _, _ in refused] == ["light", "light", "light", "dark", "dark"][: len(refused)]
    assert {key for key, _, _ in refused} == {"light", "dark"}
    assert "4.47 to 1 with the ground of the page (paper, root), #ffffff" in refused[0][1]
    assert str(AA) in refused[0][2]
    assert list(unreadable(Colors(), STYLE)) == []


def test_accents_stand_over_the_style() -> None:
    made = with_colors(STYLE, Colors(light="#7a3b00", dark="#ffc878"))
    assert made.startswith(STYLE.rstrip())
    assert made.index("--link:#7a3b00") < made.index("--link:#ffc878")
    assert with_colors(STYLE, None) == STYLE


@pytest.mark.parametrize(
    ("body", "wrong"),
    [
        ('<path d="M0 0h4v4z" fill="#123456"/>', None),
        ('<defs><linearGradient id="a"/></defs><rect fill="url(#a)" width="1" height="1"/>', None),
        ("<script>alert(1)</script>", "it holds <script>"),
        ("<foreignObject/>", "it holds <foreignObject>"),
        ('<image href="x.png"/>', "it holds <image>"),
        ('<g onload="a()"/>', "<g> has onload"),
        ('<rect fill="url(https://x.example/a)"/>', "<rect> has fill"),
        ('<linearGradient href="https://x.example/a"/>', "<linearGradient> has href"),
        ("<g>", "it is no SVG"),
    ],
)
def test_a_drawing_loads_and_runs_nothing(tmp_path: Path, body: str, wrong: str | None) -> None:
    file = tmp_path / "logo.svg"
    file.write_text(SVG.format(body), encoding="utf-8")
    found = unfit(file.parent, file.name)
    assert (found is None) == (wrong is None)
    assert found is None or found[0].startswith(wrong or "")


def test_a_logo_is_a_small_whole_file(tmp_path: Path) -> None:
    file = tmp_path / "logo.png"
    assert unfit(file.parent, file.name) is not None
    file.write_bytes(PNG)
    assert unfit(file.parent, file.name) is None
    for data, wrong in (
        (PNG[:-5], "part of one"),
        (PNG.replace(struct.pack(">2I", 64, 32), struct.pack(">2I", 64, 2001)), "64 by 2001 pixels"),
        (PNG + b"\0" * MOST_BYTES, "bytes"),
    ):
        file.write_bytes(data)
        found = unfit(file.parent, file.name)
        assert found is not None
        assert wrong in found[0]
    drawn = tmp_path / "logo.svg"
    drawn.write_text("<!DOCTYPE svg [<!ENTITY a 'aa'>]>" + SVG.format(""), encoding="utf-8")
    assert unfit(drawn.parent, drawn.name) == (
        "it declares a document type",
        "a drawing of paths and shapes alone, saved as plain SVG",
    )


def shaped(root: Path, lines: str, logo: str = SVG.format("")) -> Folders:
    folders = copied(root)
    (folders.content / "assets" / "logo.svg").write_text(logo, encoding="utf-8")
    with (folders.data / "handbook.yaml").open("a", encoding="utf-8") as file:
        file.write(lines)
    return folders


MM = 72 / 25.4


def test_a_logo_on_a_card_can_be_read_from_where_a_card_is(tmp_path: Path) -> None:
    """At least 8 mm high where the card has room for it (common practice, no source)."""
    folders = shaped(tmp_path, "logo: logo.png\n")
    Image.new("RGB", (90, 30), "navy").save(folders.content / "assets" / "logo.png")
    loaded = load(folders)
    printing = printing_of(folders.content, loaded.book)
    pdf = print_card(Typesetter(printing.folder, TEMPLATE), loaded.cards["packing-house"], printing).pdf
    drawn: list[tuple[float, float]] = []

    def visit(operator: bytes, operands: Sequence[Any], matrix: Sequence[float], _text: object) -> None:
        if operator == b"Do" and front["/Resources"]["/XObject"][operands[0]]["/Subtype"] == "/Image":
            drawn.append((matrix[0], matrix[3]))

    front = PdfReader(BytesIO(pdf)).pages[0]
    front.extract_text(visitor_operand_before=visit)
    (size,) = drawn
    assert abs(size[1]) >= 8 * MM and abs(size[0]) == pytest.approx(3 * abs(size[1]), rel=0.01)


WHOLE = """
address: 12 Mill Lane
emergency: "112"
logo: logo.svg
colors: {light: "#7a3b00", dark: "#ffc878"}
pages_first: [using-the-water]
pages_left_out: [glossary]
"""


def test_a_shaped_handbook_shows_it_everywhere(tmp_path: Path) -> None:
    folders = shaped(tmp_path, WHOLE)
    loaded = load(folders)
    card = loaded.cards["bunkhouse"]
    assert card.head.publisher.endswith(", 12 Mill Lane")
    assert (card.head.logo, card.place.emergency) == ("logo.svg", "112")
    rendered = render_pages(folders.content, loaded.book)
    by_id = {one.page.id: one for one in rendered}
    assert [one.page.id for one in rendered if not one.page.part][:3] == ["index", "emergency", "using-the-water"]
    assert "assets/logo.svg" in by_id["pocket/bunkhouse"].text
    assert "12 Mill Lane" in by_id["who-to-ask"].text
    assert "glossary" not in {one.page.id for one in bound(rendered, working=True)}
    assert by_id["glossary"].page.search == "no"
    files = page_files(folders.content, rendered, loaded.inputs.settings)
    assert b"--link:#7a3b00" in files["assets/handbook.css"]


@pytest.mark.parametrize(
    ("lines", "fault"),
    [
        ('colors: {light: "#777777"}\n', "colors.light: '#777777' has a contrast of 4.47 to 1"),
        ('colors: {light: "blue"}\n', "colors.light: 'blue' is not allowed here"),
        ("logo: other.svg\n", "logo: there is no such file in content/assets"),
        ("logo: ../logo.svg\n", "logo: '../logo.svg' is not allowed here"),
        ("pages_left_out: [safety]\n", "pages_left_out[1]: the page 'safety' is needed for safety"),
        ("pages_left_out: [installation/meter]\n", "is needed for safety"),
        ("pages_left_out: [no-such]\n", "pages_left_out[1]: there is no page 'no-such'"),
        ("pages_first: [no-such]\n", "pages_first[1]: there is no page 'no-such'"),
    ],
)
def test_a_fault_of_shape_names_its_place(tmp_path: Path, lines: str, fault: str) -> None:
    folders = shaped(tmp_path, lines)
    number = (folders.data / "handbook.yaml").read_text(encoding="utf-8").count("\n")
    with pytest.raises(InputFaults) as raised:
        load(folders)
    assert f"site_data/handbook.yaml:{number}:" in str(raised.value)
    assert fault in str(raised.value)


def test_no_page_on_which_a_notice_must_stand_can_be_left_out() -> None:
    loaded = load(FOLDERS)
    every = pages(loaded.book, read_templates(template_folders(ROOT / "content", "en")))
    noticed = {page.id for page in every if page.notices and not page.kind}
    stated = loaded.inputs.settings.model_dump(by_alias=True)
    taken = set()
    for page in noticed - set(KEPT_PAGES):
        try:
            Settings.model_validate(stated | {"pages_left_out": [page]})
        except ValidationError:
            continue
        taken.add(page)
    assert taken == set()


def test_the_number_of_one_code_is_not_given_to_sites_on_another(tmp_path: Path) -> None:
    folders = shaped(tmp_path, 'emergency: "911"\n')
    site = folders.data / "sites" / "seedling-house.yaml"  # on another code; that of the bunkhouse states no number
    text = site.read_text(encoding="utf-8")
    start = text.index("\ncontacts:")
    site.write_text(text[:start] + text[text.index("\n", start + 1) :], encoding="utf-8")
    cards = load(folders).cards
    assert (cards["bunkhouse"].place.emergency, cards["seedling-house"].place.emergency) == ("911", None)

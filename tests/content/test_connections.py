"""Between which conductors a heater stands is what was computed, on every page that says it.

Oracle: NFPA 70 (2023) 210.4, 220.5(A) and ANSI C84.1-2020, table 1, both from memory: 120 V is line to neutral of
120/240 V and 208Y/120 V, 240 V and 208 V are line to line; IEC 60038:2009, table 1, from memory: 230 V is line to
neutral of 230/400 V. That a neutral may serve a control beside two lines: common practice, no source.
"""

import re
from dataclasses import replace

import pytest

from generator.assemble.documents import Book
from generator.build import load
from generator.render.pages.write import render_pages
from tests.frozen import ROOT, copied

TO_NEUTRAL = "one line wire, the neutral and a"
NEUTRAL_LEAD = "    - {role: neutral, colour: white}\n    - {role: ground"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Book:
    """The demo, with Beck 9 made a heater of two lines whose control takes a neutral."""
    folder = tmp_path_factory.mktemp("handbook")
    folders = copied(folder)
    model = folder / "site_data" / "models" / "beck-9.yaml"
    text = model.read_text(encoding="utf-8").replace("neutral_needed: no", "neutral_needed: yes")
    model.write_text(text.replace("    - {role: ground", NEUTRAL_LEAD), encoding="utf-8")
    site = folder / "site_data" / "sites" / "packing-house.yaml"
    stated = site.read_text(encoding="utf-8").replace("  panel:\n", "  neutral_present: yes\n  panel:\n", 1)
    site.write_text(stated, encoding="utf-8")
    return load(folders).book


def page(book: Book, name: str) -> str:
    text = next(one.text for one in render_pages(ROOT / "content", book) if one.page.id == name)
    return text.replace("\u00a0", " ")


@pytest.fixture(scope="module")
def texts(book: Book) -> dict[str, str]:
    return {one.page.id: one.text.replace("\u00a0", " ") for one in render_pages(ROOT / "content", book)}


@pytest.mark.parametrize(
    ("name", "rating", "told"),
    [
        ("rill-3", "120 V, single-phase", f"line to neutral: {TO_NEUTRAL} ground wire; "),
        ("rill-4m", "230 V, single-phase", f"line to neutral: {TO_NEUTRAL} protective conductor; "),
        (
            "beck-9",
            "240 V, single-phase",
            "line to line, with a neutral for the control: two line wires, the neutral and a ground wire; "
            "one breaker opens both lines together, and the neutral goes to no pole<",
        ),
        (
            "tarn-18",
            "240 V, single-phase",
            "line to line: two line wires and a ground wire, no neutral; one breaker opens both lines together<",
        ),
        (
            "tarn-18",
            "208 V, three-phase",
            "line to line: three line wires and a ground wire, no neutral; one breaker opens all three lines together<",
        ),
    ],
)
def test_which_conductor_goes_where(texts: dict[str, str], name: str, rating: str, told: str) -> None:
    assert f"<dt>At {rating}</dt><dd>{told}" in texts[f"models/{name}"]


@pytest.mark.parametrize(
    ("name", "told"),
    [
        ("potting-shed", "120 V line to neutral, single-phase"),
        ("packing-house", "240 V line to line, with a neutral for the control, single-phase"),
        ("creamery", "208 V line to line, three-phase"),
    ],
)
def test_what_the_meter_is_to_find(texts: dict[str, str], name: str, told: str) -> None:
    values = texts[f"sites/{name}/details"].partition('<p id="circuit">')[2].partition("</details>")[0]
    assert f'<th scope="row">Between</th><td>{told}</td>' in values


def test_no_page_guesses_the_connection_from_whether_a_neutral_is_needed(book: Book) -> None:
    """With the fact turned round after computing, every page must stay as it is."""

    def turned(model):  # type: ignore[no-untyped-def]
        electrical = model.electrical.model_copy(update={"neutral_needed": not model.electrical.neutral_needed})
        return model.model_copy(update={"electrical": electrical})

    models = tuple(replace(view, spec=turned(view.spec)) for view in book.models)
    sites = tuple(replace(view, heater=turned(view.heater)) for view in book.sites)
    other = replace(book, models=models, sites=sites)
    before = {one.page.id: one.text for one in render_pages(ROOT / "content", book)}
    assert {one.page.id: one.text for one in render_pages(ROOT / "content", other)} == before


def test_the_page_of_a_model_says_what_its_neutral_is_for(book: Book) -> None:
    for name, told in (("beck-9", "the neutral and a"), ("tarn-18", "no neutral"), ("rill-3", "the neutral and a")):
        facts = re.findall(r"<dt>At [^<]*</dt><dd>[^<]*?(the neutral and a|no neutral)", page(book, f"models/{name}"))
        assert set(facts) == {told}, name

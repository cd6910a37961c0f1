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
from generator.render.pages import render_pages
from tests.frozen import ROOT, copied

TO_NEUTRAL = "one ungrounded conductor, the neutral and a grounding conductor"
PAGE = "installation/electrical"
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


def page(book: Book, name: str = PAGE) -> str:
    text = next(one.text for one in render_pages(ROOT / "content", book) if one.page.id == name)
    return text.replace("\u00a0", " ")


def of_model(text: str, title: str) -> str:
    return text.partition(f"\n### {title}\n")[2].partition("\n| Lead")[0]


@pytest.fixture(scope="module")
def text(book: Book) -> str:
    return page(book)


@pytest.mark.parametrize(
    ("title", "told"),
    [
        ("Rill 3", f"120 V, single-phase, line to neutral: {TO_NEUTRAL}"),
        ("Rill 4M", f"230 V, single-phase, line to neutral: {TO_NEUTRAL}"),
        (
            "Beck 9",
            "240 V, single-phase, line to line, with a neutral for the control: two ungrounded conductors, the neutral "
            "and a grounding conductor; one device opens both lines together, and the neutral goes to no pole.",
        ),
        (
            "Tarn 18",
            "240 V, single-phase, line to line: two ungrounded conductors and a grounding conductor, no neutral; one "
            "device opens both lines together;",
        ),
        (
            "Tarn 18",
            "208 V, three-phase: three ungrounded conductors and a grounding conductor, no neutral; one device opens "
            "all three lines together.",
        ),
    ],
)
def test_which_conductor_goes_where(text: str, title: str, told: str) -> None:
    assert told in " ".join(of_model(text, title).split())


@pytest.mark.parametrize(
    ("title", "told"),
    [
        ("Potting shed hand basin", "120 V line to neutral, single-phase"),
        ("Packing house rinse sink", "240 V line to line, with a neutral for the control, single-phase"),
        ("Creamery rinse bay", "208 V line to line, three-phase"),
    ],
)
def test_what_the_meter_is_to_find(text: str, title: str, told: str) -> None:
    table = text.partition("| Site | Supply | Heater rated |")[2].partition("\n\n")[0]
    (row,) = (row for row in table.splitlines() if title in row)
    assert row.split("|")[2].strip() == told


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
    for name, told in (("beck-9", "needed"), ("tarn-18", "not used"), ("rill-3", "needed")):
        facts = re.findall(r'<th scope="row">Neutral at [^<]*</th><td>([^<]*)</td>', page(book, f"models/{name}"))
        assert set(facts) == {told}, name

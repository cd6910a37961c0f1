"""The book for one site: short enough to carry, with every open finding and question, and no stop left out."""

import io

import pytest
from pypdf import PdfReader

from generator.assemble.selection import selected, site_book
from generator.build import Loaded
from generator.render.book.pdf import print_book
from generator.render.check.programs import say
from generator.render.format import NBSP
from generator.render.pages.write import render_pages
from tests.frozen import FOLDERS

# The most sheets of each: six stages on two feeds want more.
MOST_SHEETS = {"packing-house": 17, "bunkhouse": 19, "creamery": 23}


@pytest.fixture(scope="module", params=MOST_SHEETS)
def book(request: pytest.FixtureRequest, loaded: Loaded) -> tuple[str, list[str]]:
    """A site and the text of each sheet of its book."""
    site = request.param
    part = selected(loaded.book, (), (site,))
    by_id = {one.page.id: one for one in render_pages(FOLDERS.content, part)}
    pages = [by_id[id_] for id_ in site_book(by_id, site, part.sites[0].heater.id)]
    pdf = print_book(FOLDERS.content, pages, loaded.book, short=True)
    return site, [_plain(sheet.extract_text()) for sheet in PdfReader(io.BytesIO(pdf)).pages]


def _plain(text: str) -> str:
    return "".join(text.replace(NBSP, " ").replace("ﬂ", "fl").replace("ﬁ", "fi").replace("ﬀ", "ff").split())


def test_it_is_short(book: tuple[str, list[str]]) -> None:
    site, sheets = book
    assert len(sheets) <= MOST_SHEETS[site]


def test_every_open_finding_stands_in_it_and_none_that_passed(book: tuple[str, list[str]], loaded: Loaded) -> None:
    site, sheets = book
    text, style = "".join(sheets), loaded.book.style
    result = next(one for one in loaded.results.sites if one.id == site)
    asking = [one for one in (*result.findings, *result.measured) if one.severity != "ok"]
    assert asking
    assert [one.id for one in asking if _plain(f"Finding {one.id}") not in text] == []
    passed = [one for one in result.findings if one.severity == "ok"]
    assert len(passed) > 10
    assert [one.id for one in passed if _plain(say(one.found, style)) in text and len(say(one.found, style)) > 80] == []


def test_every_symptom_that_applies_has_its_questions_and_not_its_remedies(
    book: tuple[str, list[str]], loaded: Loaded
) -> None:
    site, sheets = book
    text = "".join(sheets)
    view = next(one for one in loaded.book.sites if one.spec.id == site)
    asked = [one for one in view.faults(loaded.book.symptoms) if one.symptom.while_off or not view.stays_off]
    assert len(asked) > 5
    for one in asked:
        assert _plain(one.symptom.title) in text and _plain(one.symptom.stop[0]) in text, one.symptom.id
        questions = [cause.question for cause in one.asked if not cause.question.values]
        assert [
            say(question, loaded.book.style) for question in questions if _plain(question.template) not in text
        ] == []
    remedies = {step for one in asked for cause in one.asked for step in cause.cause.remedy if len(step) > 60}
    faults = "".join(sheet for sheet in sheets if sheet.startswith(_plain(f"{view.spec.title}: Faults")))
    assert faults
    assert [step for step in remedies if _plain(step) in faults] == []
    assert "stepsandremedies" in sheets[0]

"""The notices' own list of pages and the pages themselves agree, so that no page can lose a warning unnoticed."""

import re

import pytest

from generator.model.content.notices import SYMBOLS
from generator.read.content.notices import read_notices
from tests.content.writing import CONTENT, PAGES, templates

NOTICES = {notice.id: notice for notice in read_notices(CONTENT)}
MADE_ONCE_A_SUBJECT = {"site", "model", "symptom", "card"}
CALL = re.compile(r'\b(section|embedded)\("([a-z-]+)"\)')
PAGE_IDS = {path.relative_to(PAGES).as_posix().removesuffix(".md.j2"): path for path in templates()}


def test_every_page_named_exists() -> None:
    named = {page for notice in NOTICES.values() for page in notice.appears}
    assert named - MADE_ONCE_A_SUBJECT - set(PAGE_IDS) == set()


@pytest.mark.parametrize("page", [page for page in PAGE_IDS if not page.rpartition("/")[2].startswith("_")])
def test_a_page_shows_the_notices_that_name_it_and_no_other(page: str) -> None:
    text = PAGE_IDS[page].read_text(encoding="utf-8")
    due = {notice.id: notice.appears[page] for notice in NOTICES.values() if page in notice.appears}
    shown = {id_: "embedded" if call == "embedded" else "section" for call, id_ in CALL.findall(text)}
    if "page_notices()" in text or "for active in notices %}" in text:
        shown |= {id_: form for id_, form in due.items() if form != "embedded"}
    assert shown == due


def test_every_notice_stands_in_the_grouped_section() -> None:
    assert {id_ for id_, notice in NOTICES.items() if notice.appears.get("safety") != "grouped"} == set()


def test_every_symbol_is_drawn() -> None:
    drawn = {path.stem for path in (CONTENT / "assets" / "symbols").glob("*.svg")}
    assert set(SYMBOLS) - drawn == set()


def test_danger_is_kept_for_the_most_extreme() -> None:
    """ANSI Z535.6-2011, from memory: DANGER is limited to the most extreme situations."""
    assert [id_ for id_, notice in NOTICES.items() if notice.signal == "danger"] == ["live-parts", "bare-ends"]


def test_the_form_says_directive_grouped_section_or_embedded() -> None:
    used = {form for notice in NOTICES.values() for form in notice.appears.values()}
    assert used == {"supplemental", "grouped", "section", "embedded"}


def test_no_notice_of_a_site_points_to_the_page_it_stands_on() -> None:
    for notice in NOTICES.values():
        if {"site", "card"} & set(notice.appears):
            lines = [*notice.avoidance, *(entry.do for entry in notice.avoidance_where)]
            assert not [line for line in lines if "site's page" in line], notice.id


def test_stages_and_flow_windows_are_spoken_of_where_there_are_any() -> None:
    """A heater without a selector has no stage to select, a site without a window no flow to keep within."""
    for notice in NOTICES.values():
        assert not [line for line in notice.avoidance if "flow window" in line or "Select no more" in line], notice.id
    assert {entry.fact for entry in NOTICES["scald"].avoidance_where} == {"stage-selector", "flow-window"}


def test_what_can_scald_shock_or_burst_is_a_warning() -> None:
    """ANSI Z535.6-2011, from memory: the signal word follows from what can happen, not from what usually does."""
    signals = {name: notice.signal for name, notice in NOTICES.items()}
    for name in ("throttled-inlet", "pressure-range", "debris", "wrong-way-up", "scald", "energize-dry"):
        assert signals[name] == "warning", name
    assert signals["hot-after-use"] == "caution"


def test_the_screen_comes_off_without_pressure() -> None:
    """Common practice, no source: a screen housing unscrewed under pressure floods the place and the terminals."""
    steps = (CONTENT / "pages" / "installation" / "purge-and-leak-test.md.j2").read_text(encoding="utf-8")
    test = steps.partition("## Test for leaks")[2]
    assert test.index("Close the shutoff valve") < test.index("until the water stops") < test.index("the inlet screen")

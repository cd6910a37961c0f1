"""The estimate of what a card's page holds, and the order in which things go."""

from __future__ import annotations

import io
from dataclasses import replace
from typing import Any

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from generator.assemble.card import card_water
from generator.build import Loaded
from generator.model.figures import Sentence, Value
from generator.model.results import FlowWindow
from generator.render.card_drops import DROPS, shortened, switching_flows_only
from generator.render.card_fit import fit, page_of
from generator.render.format import NBSP, show
from generator.render.text_width import line_count, text_width
from generator.render.typst_card import card_texts, print_texts
from tests.frozen import ROOT
from tests.styles import BOTH, US

PRINT = ROOT / "content" / "print"
PLENTY = 600.0


@pytest.fixture(scope="module")
def texts(loaded: Loaded) -> list[dict[str, Any]]:
    return [print_texts(card, BOTH) for card in loaded.cards.values()]


def test_the_classes_of_widths_follow_the_font() -> None:
    """The advance widths of the font file itself are the measure."""
    font = TTFont(io.BytesIO((PRINT / "fonts" / "FiraSansCondensed-Regular.ttf").read_bytes()))
    names, widths, em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    sentence = "Throttled to 1.18 gpm (4.4 L/min), with 4 of 6 stages closed, water can leave the heater at 122 °F."
    true = sum(widths[names[ord(char)]][0] for char in sentence) / em
    assert text_width(sentence, 1.0) == pytest.approx(true, rel=0.03)


@given(st.text(alphabet="abc WM.i", max_size=400), st.floats(100, 500))
def test_more_text_never_takes_fewer_lines(text: str, width: float) -> None:
    assert line_count(text + "x", width, 9.0) >= line_count(text, width, 9.0) >= 1
    assert line_count(text, width, 9.0) >= line_count(text, width + 50, 9.0)


def test_with_plenty_of_room_nothing_goes(texts: list[dict[str, Any]]) -> None:
    for one in texts:
        found = fit(one, "letter", -PLENTY)
        assert found is not None
        assert found.texts == one | {"left_out": []}


def test_with_no_room_there_is_no_card(texts: list[dict[str, Any]]) -> None:
    assert all(fit(one, "letter", 600.0) is None for one in texts)


@pytest.mark.parametrize("less", [0.0, 30.0, 60.0])
def test_nothing_that_has_room_again_stays_out(texts: list[dict[str, Any]], less: float) -> None:
    """What goes late may give room to what went early: no single drop of the result can be taken back."""
    page = page_of("letter", less)
    for one in texts:
        found = fit(one, "letter", less)
        for place in found.dropped if found else ():
            fewer = [other for other in found.dropped if other != place]
            back = shortened(one, fewer)
            assert page.split(back) is None or back == found.texts


def test_each_drop_takes_something_away_or_does_nothing(texts: list[dict[str, Any]]) -> None:
    for one in texts:
        for subject, words, drop in DROPS:
            changed = drop(one)
            assert len(str(changed)) <= len(str(one)), (subject, words)


def test_a_card_tells_only_the_last_drop_of_a_subject(texts: list[dict[str, Any]]) -> None:
    checks = [place for place, (subject, _, _) in enumerate(DROPS) if subject == "checks"]
    assert len(checks) == 2
    assert shortened(texts[0], checks)["left_out"] == ["fault checks"]


def test_no_drop_takes_a_flow_at_which_a_stage_switches_and_round_flows_go_first(texts: list[dict[str, Any]]) -> None:
    """Without one of them a reading between two rows is too cool, or promises too much; so the table goes whole."""
    flows = [drop for subject, _, drop in DROPS if subject == "flows"]
    for one in texts:
        kinds = [
            {row["stands_for"] for outlet in thinner(one)["outlets"] for row in outlet["rows"]} for thinner in flows
        ]
        assert kinds == ([{"switching", "site"}, {"switching"}, set()] if one["outlets"] else [set()] * 3)
        for before, after in zip(one["outlets"], flows[1](one)["outlets"], strict=True):
            assert [row for row in before["rows"] if row["stands_for"] == "switching"] == after["rows"]


def test_the_rows_that_stay_are_the_drop_outs_in_the_warmest_and_the_turn_ons_in_the_coldest(loaded: Loaded) -> None:
    for view in loaded.book.sites:
        card, stages = loaded.cards[view.spec.id], view.heater.stages[: view.spec.selected_stage]
        assert card.water
        coldest, warmest = switching_flows_only(card_texts(card, US))["outlets"]
        for outlet, flows in (
            (coldest, [s.closes_at_m3_s for s in stages]),
            (warmest, [s.opens_at_m3_s for s in stages]),
        ):
            shown = [show(Value("Q", flow, "flow", "up"), US).split(NBSP)[0] for flow in flows]
            assert [row["flow"]["parts"][0][0] for row in outlet["rows"]] == shown


def test_no_drop_touches_what_must_stay(texts: list[dict[str, Any]]) -> None:
    for one in texts:
        least = shortened(one, range(len(DROPS)))
        for key in ("circuits", "window", "hottest", "limit", "start_up", "shut_down", "deferral", "basis", "head"):
            assert least[key] == one[key]
        assert [stop["found"] for stop in least["stops"]] == [stop["found"] for stop in one["stops"]]
        injuries = [notice["id"] for notice in one["notices"] if notice["signal"] != "notice"]
        assert [notice["id"] for notice in least["notices"]] == injuries
        assert least["reading_rows"] == (0 if one["stops"] else 1)


def test_without_a_selector_the_outlet_tables_hold_every_stage_whatever_window_leads(loaded: Loaded) -> None:
    """The potting shed with no window at its last stage: stage 2 turns on all the same, and has its column and rows."""
    view = next(one for one in loaded.book.sites if one.spec.id == "potting-shed")
    last = view.result.windows[-1]
    ends = (replace(end, value=None, state="none") for end in (last.least, last.greatest))
    empty = FlowWindow(last.number, *ends, why_empty=Sentence("No flow fits."))
    other = replace(view, result=replace(view.result, windows=(replace(last, number=1), empty)))
    assert other.window.number == 1
    water = card_water(other)
    assert water
    assert len(water.outlet_summer.columns) == len(view.heater.stages)
    assert any("stage 2 drops out" in head.symbol for head, _ in water.outlet_summer.rows)

"""What fault finding compares with is the site's: by value, over all demo sites, on the pages and on the cards."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from generator.build import Loaded
from generator.render.format import show
from generator.render.pages import Rendered, render_pages
from tests.frozen import ROOT
from tests.styles import BOTH

# What a question or check names, and the key that it must then be compared with.
NAMED = {
    r"\bflow window\b": "flow-window",
    r"\bsupply voltage\b": "supply-voltage",
    r"\b(summer|winter) inlet\b": "inlet",
}


@pytest.fixture(scope="module")
def pages(rendered: tuple[Rendered, ...]) -> dict[str, str]:
    return {one.page.id: _words(one.text) for one in rendered}


def _words(text: str) -> str:
    return " ".join(re.sub(r"<[^>]*>", " ", text.replace("</tr>", ";")).replace("\u00a0", " ").split())


def _question(page: str, cause: str) -> str:
    return page.partition(f"{{: #{cause} }}")[2].partition(" ## ")[0]


def test_a_question_is_compared_with_what_it_names(loaded: Loaded) -> None:
    for symptom in loaded.book.symptoms.symptoms:
        for cause in symptom.causes:
            asked = " ".join((cause.question, *cause.check))
            for pattern, key in NAMED.items():
                if re.search(pattern, asked):
                    assert key in cause.compare, f"{symptom.id}: {cause.id} names {key}"
            if re.search(r"\blimit\b", cause.question) or "least flow of the flow window" in asked:
                assert "limit" in cause.compare, f"{symptom.id}: {cause.id}"


def test_the_window_and_limit_compared_with_are_those_of_each_site(loaded: Loaded, pages: dict[str, str]) -> None:
    """Below the least flow of the window water scalds: a flow at which a stage closes is not that flow."""
    hot, lukewarm = (
        _question(pages["fault-finding/too-hot"], "too-little-flow"),
        _question(pages["fault-finding/lukewarm"], "too-much-flow"),
    )
    stopped = 0
    for view in loaded.book.sites:
        at, window = view.comparisons, view.window
        limit = show(view.result.limit, BOTH).replace("\u00a0", " ")
        assert [one.value for one in at["limit"].values] == [view.result.limit.value]
        assert re.search(rf"\[{view.spec.title}\]\([^)]*\), {view.heater.title}: limit {re.escape(limit)}", hot)
        if view.stays_off:
            stopped += 1
            assert at["flow-window"].values == ()
            words = "none: do not switch on ("
        else:
            ends = [show(end, BOTH).replace("\u00a0", " ") for end in (window.least, window.greatest)]
            assert [one.value for one in at["flow-window"].values[:2]] == [window.least.value, window.greatest.value]
            words = f"least {ends[0]}, greatest {ends[1]}"
        for asked in (hot, lukewarm):
            assert re.search(rf"\[{view.spec.title}\]\([^)]*\), {view.heater.title}: {re.escape(words)}", asked)
    assert 0 < stopped < len(loaded.book.sites)
    assert "closes" not in hot and "140 °F" not in hot


def test_currents_and_voltages_are_those_of_the_sites_supply(loaded: Loaded, pages: dict[str, str]) -> None:
    """The only heater of its model hangs on 208 V three-phase, whatever the first line of the nameplate says."""
    body = _question(pages["fault-finding/too-hot"], "voltage-high")
    assert "Creamery rinse bay](../sites/creamery.md), Tarn 18: stated 208 V, at least 197.6 V, at most 218.4 V" in body
    assert "Creamery rinse bay, Tarn 18 at 208 V, supply A" in body
    assert re.search(r" L1 L2 L3 .*?; 3 18\.4 A.*? 10\.7 A.*? 10\.7 A", body)
    assert "37.5 A" not in body
    for page, text in pages.items():
        if page.startswith("fault-finding/") and page != "fault-finding/element-figures":
            assert "Tarn 18 at 240 V" not in text, page


def test_a_heater_without_a_site_is_shown_at_each_rating(loaded: Loaded) -> None:
    """I = P / V, 9 kW a feed at 240 V and 6.75 kW at 208 V single-phase."""
    book = loaded.book
    models = tuple(replace(view, sites=()) if view.spec.id == "tarn-18" else view for view in book.models)
    sites = tuple(view for view in book.sites if view.heater.id != "tarn-18")
    links = {"sites/creamery": ()}
    bare = replace(book, models=models, sites=sites, notices={k: v for k, v in book.notices.items() if k not in links})
    text = next(
        _words(one.text) for one in render_pages(ROOT / "content", bare) if one.page.id == "fault-finding/too-hot"
    )
    body = _question(text, "voltage-high")
    for rating in ("240 V, single-phase", "208 V, single-phase", "208 V, three-phase"):
        assert f"Tarn 18 at {rating}" in body
    assert re.search(r"Tarn 18 at 240 V, single-phase .*?; 6 37\.5 A .*?37\.5 A", body)
    assert re.search(r"Tarn 18 at 208 V, single-phase .*?; 6 32\.5 A .*?32\.5 A", body)


def test_the_card_compares_with_its_sites_window(loaded: Loaded) -> None:
    seen = 0
    for view in loaded.book.sites:
        for check in loaded.cards[view.spec.id].checks:
            for label, compared in check.compare:
                if label == "Flow window":
                    seen += 1
                    assert compared == view.comparisons["flow-window"]
                    assert compared.why or compared.values[0].value == view.window.least.value
            if "flow window" in check.question:
                assert "Flow window" in [label for label, _ in check.compare]
    assert seen >= len(loaded.book.sites) - 1

"""What fault finding compares with is the site's: by value, over all demo sites, on the pages and on the cards."""

from __future__ import annotations

import re
from html import unescape

import pytest

from generator.assemble.documents import SiteView
from generator.build import Loaded
from generator.compute.verdict.set_flow import can_be_set
from generator.model.content.words import Style, Units
from generator.render.format import show
from generator.render.pages.write import Rendered, render_pages
from tests.assemble.joint_sites import joined
from tests.frozen import ROOT

JOINED = joined()

# What a question or check names, and the key that it must then be compared with.
NAMED = {
    r"\bflow window\b": "flow-window",
    r"\bsupply voltage\b": "supply-voltage",
    r"\b(summer|winter) inlet\b": "inlet",
}


def test_a_question_is_compared_with_what_it_names(loaded: Loaded) -> None:
    for symptom in loaded.book.symptoms.symptoms:
        for cause in symptom.causes:
            asked = " ".join((cause.question, *cause.check))
            for pattern, key in NAMED.items():
                if re.search(pattern, asked):
                    assert key in cause.compare, f"{symptom.id}: {cause.id} names {key}"
            if re.search(r"\blimit\b", cause.question) or "least flow of the flow window" in asked:
                assert "limit" in cause.compare, f"{symptom.id}: {cause.id}"


@pytest.fixture(scope="module")
def shown() -> dict[str, str]:
    """The words of each faults page of sites unlike in all that matters, by site."""
    pages = render_pages(ROOT / "content", JOINED.book)
    return {
        one.page.id.split("/")[1]: _words(one.text)
        for one in pages
        if one.page.kind == "site" and one.page.part == "faults"
    }


def units_on_site(view: SiteView) -> Units:
    return "si" if view.basis.header.family == "iec60364" else "us"


def _words(text: str) -> str:
    text = re.sub(r"<(details|summary)[^>]*>", " ¶ ", text)
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", text)).replace("\u00a0", " ").split())


def test_a_site_is_asked_with_its_own_figures(shown: dict[str, str]) -> None:
    """By value: window, limit, supply, inlet and selector are those of results, of no other site."""
    asked = 0
    for view in JOINED.book.sites:
        text, style = shown[view.spec.id], Style(units_on_site(view), JOINED.book.words)
        questions = {
            (one.symptom.id, cause.cause.id): cause for one in view.faults(JOINED.book.symptoms) for cause in one.asked
        }
        for cause in questions.values():
            for value in cause.question.values:
                assert show(value, style).replace("\u00a0", " ") in text, (view.spec.id, cause.cause.id)
        if view.stays_off:
            assert not {"lukewarm", "too-hot", "no-heat"} & {symptom for symptom, _ in questions}
            continue
        asked += 1
        flow = questions["too-hot", "too-little-flow"].question
        if can_be_set(view.window):
            assert flow.values[0].value == view.window.least.value
            time_s = float(flow.values[2].value)
            assert time_s * view.window.least.value == pytest.approx(flow.values[1].value)
        else:
            assert flow.values == ()
        ends = [one.value for one in view.result.supply_range]
        assert [one.value for one in questions["no-heat", "no-voltage"].question.values] == ends
        assert questions["too-hot", "limiting-valve"].question.values[0].value == view.result.limit.value
        assert (("too-hot", "too-many-stages") in questions) == view.heater.stage_selector
        fed = view.spec.supply.phases == 3 or len(view.heater.electrical.feeds) > 1
        assert (("lukewarm", "line-or-feed-lost") in questions) == fed
    assert asked >= 3


def test_a_stopped_site_shows_no_window_start_or_current(shown: dict[str, str]) -> None:
    stopped = [view for view in JOINED.book.sites if view.stays_off]
    assert len(stopped) >= 3
    for view in stopped:
        text = shown[view.spec.id]
        assert "Do not switch on" in text and "What do you see?" in text
        assert not re.search(
            r"Flow window|flow window|Right here|Current with stages|Rise from|with every stage on", text
        )
        assert not re.search(r"Meter at the disconnect|[Ss]witch (the|each|every) circuit on|Running, with hands", text)
        assert "Burnt smell" in text and "Water only lukewarm" not in text


def test_what_one_site_shows_is_no_other_site_s(loaded: Loaded, rendered: tuple[Rendered, ...]) -> None:
    """Of 240 V nothing stands where a heater hangs on 208 V three-phase; its lines are read one by one."""
    pages = {one.page.id: _words(one.text) for one in rendered}
    creamery = pages["sites/creamery/faults"]
    assert "Is the supply voltage above 217 V?" in creamery and "outside 199 V to 217 V" in creamery
    assert re.search(r" L1 L2 L3 .*?3 18\.4 A 10\.7 A 10\.7 A", creamery)
    assert "37.5 A" not in creamery and "240 V" not in creamery
    for view in loaded.book.sites:
        others = [other.spec.title for other in loaded.book.sites if other is not view]
        assert not [title for title in others if title in pages[f"sites/{view.spec.id}/faults"]]
    for symptom in loaded.book.symptoms.symptoms:
        text = pages[f"fault-finding/{symptom.id}"].partition("Questions")[2]
        general = re.sub(r"At 500 V direct voltage.*?governs\.", "", text)
        assert not re.search(r"\d (gpm|V|A|°F|psi|Ω)(?!\w)", general), symptom.id


def test_a_heater_whose_site_is_not_known_is_asked_with_its_own_figures(loaded: Loaded) -> None:
    """ANSI C84.1-2020, range A, from memory: 114 to 126 V of 120 V. One rating, so one range; several name none."""
    by_id = {view.spec.id: view for view in loaded.book.models}
    named = {
        name: {
            (one.symptom.id, cause.cause.id): [value.value for value in cause.question.values]
            for one in by_id[name].faults(loaded.book.symptoms)
            for cause in one.asked
        }
        for name in ("rill-3", "tarn-18")
    }
    assert named["rill-3"]["no-heat", "no-voltage"] == pytest.approx([114.0, 126.0])
    assert named["tarn-18"]["no-heat", "no-voltage"] == []
    for name, questions in named.items():
        assert questions["no-heat", "too-little-flow"] == [by_id[name].result.stages[0].closes_at.value]
        assert questions["too-hot", "too-little-flow"] == []
    assert ("too-hot", "too-many-stages") not in named["rill-3"]


def test_each_step_to_a_safe_state_says_what_must_be_seen(rendered: tuple[Rendered, ...], loaded: Loaded) -> None:
    states, seen = loaded.book.symptoms.safe_states, set()
    for one in rendered:
        for id_, state in states.items():
            for block in re.findall(rf'<details class="check" id="state-{id_}">(.*?)</details>', one.text, re.DOTALL):
                steps = re.findall(r"<li>(.*?)</li>", block, re.DOTALL)
                for told, step in zip(steps, (*state.steps, *state.second_way), strict=True):
                    assert unescape(told).endswith(f"<em>Expected:</em> {step.expected}"), (one.page.id, told)
                seen.add(id_)
    assert seen == set(states) - {"watching", "away"} or seen == set(states)
    meter = next(one.text for one in rendered if one.page.id == "installation/meter")
    metered = states["metered"]
    assert meter.count("*Expected:*") >= len(metered.steps) + len(metered.second_way)


def test_arc_fault_breakers_are_asked_about_where_that_code_governs(loaded: Loaded) -> None:
    """NFPA 70 (2023) 210.12 and article 100, from memory; the IEC basis has no breaker of that name."""
    asked = {view.spec.id: {one.symptom.id for one in view.faults(loaded.book.symptoms)} for view in loaded.book.sites}
    families = {view.spec.id: view.basis.header.family for view in loaded.book.sites}
    assert {family for family in families.values()} == {"nfpa70", "iec60364"}
    assert {site for site, ids in asked.items() if "afci-trips" in ids} == {
        site for site, family in families.items() if family == "nfpa70"
    }


def test_danger_stands_in_every_question_behind_a_cover(rendered: tuple[Rendered, ...], loaded: Loaded) -> None:
    states = loaded.book.symptoms.safe_states
    for one in rendered:
        if one.page.part != "faults" and one.page.kind != "symptom":
            continue
        opened = 0
        for question in one.text.split('<details class="check"')[1:]:
            head, _, _ = question.partition("<ol>")
            if "licensed electrician</p>" in head:
                opened += 1
                assert 'data-notice="live-parts"' in head and 'class="word danger"' in head, (one.page.id, head)
                called = re.search(r'href="#state-([^"]*)"', head)
                assert called and called[1] in states, (one.page.id, head)
        assert opened or one.page.kind == "symptom", one.page.id


def test_no_id_stands_twice_on_a_page_of_faults(rendered: tuple[Rendered, ...]) -> None:
    for one in rendered:
        if one.page.part == "faults" or one.page.kind == "symptom":
            ids = re.findall(r' id="([^"]*)"', one.text)
            assert len(ids) == len(set(ids)), one.page.id
            lost = set(re.findall(r'href="#([^"]*)"', one.text)) - set(ids)
            assert not lost, (one.page.id, lost)


def test_the_fault_lines_of_the_card_compare_with_its_sites_figures(loaded: Loaded) -> None:
    seen = 0
    for view in loaded.book.sites:
        card = loaded.cards[view.spec.id]
        values = {line.id: [value.value for value in line.text.values] for line in card.lines}
        if not card.start_up:
            assert not set(values) & {"no-heat", "lukewarm", "too-hot", "trips"}
            continue
        seen += 1
        assert values["no-heat"][0] == view.heater.stages[0].closes_at_m3_s
        assert values["too-hot"] == [view.window.least.value, view.result.supply_range[1].value]
        assert values.get("lukewarm", [None]) == [view.window.greatest.value]
    assert seen >= 3

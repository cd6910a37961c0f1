"""Fault finding can be followed by a person at the heater, and holds the rules of the trade."""

import re

from generator.model.content.comparison_words import COMPARISONS, QUESTION_VALUES
from generator.model.content.symptoms import Symptom
from generator.read.content.notices import read_notices
from generator.read.content.stated import read_stated
from generator.read.content.symptoms import read_symptoms
from tests.content.writing import CONTENT

BOOK = read_symptoms(CONTENT, {notice.id for notice in read_notices(CONTENT)})
SYMPTOMS = {symptom.id: symptom for symptom in BOOK.symptoms}


def every_symptom() -> list[Symptom]:
    return list(SYMPTOMS.values())


def test_the_symptoms_people_have_are_there() -> None:
    words = " | ".join([symptom.title.lower() + " " + " ".join(symptom.also) for symptom in every_symptom()]).lower()
    for looked_for in (
        *("won't turn on", "lukewarm", "never turns on", "too hot", "hot and cold", "breaker trips", "leak"),
        *("lights dim", "no water", "cold tap", "milky", "relief valve", "power cut", "hot breaker", "afci", "bill"),
        *("low flow", "noise", "burn", "frozen", "winter", "test water", "gfci", "only one tap", "shock", "rcd"),
    ):
        assert looked_for in words, looked_for


def test_what_takes_seconds_is_asked_before_what_takes_an_hour() -> None:
    """Selector and bucket before the screen, whose cleaning ends with purge and leak test; what runs water enough has a
    clean screen. Common practice, no source."""
    causes = [cause.id for cause in SYMPTOMS["stage-never-closes"].causes]
    assert causes[:3] == ["selector", "flow-below", "aerator"] and causes.index("screen") > causes.index("pressure-low")
    screen = SYMPTOMS["stage-never-closes"].causes[causes.index("screen")]
    assert "if the flow was enough" in screen.check[0]


def test_a_stage_that_is_stuck_on_is_found_early_and_without_a_tool() -> None:
    """Common practice, no source: the dangerous cause is heard at the heater, with every tap closed."""
    causes = SYMPTOMS["too-hot"].causes
    place = next(n for n, cause in enumerate(causes) if cause.id == "heats-while-closed")
    assert place <= 1 and causes[place].effort == "hands"
    assert causes[place].check[0].startswith("Close every tap")


def test_the_first_question_about_a_breaker_is_when_it_trips() -> None:
    """Common practice, no source: at once, after seconds, or after minutes."""
    asked = [cause.question for cause in SYMPTOMS["breaker-trips"].causes]
    assert "at once" in asked[0] and "within seconds" in asked[1] and any("after minutes" in one for one in asked)


def test_voltage_at_the_disconnect_is_read_before_the_heater_is_opened() -> None:
    """Common practice, no source: no cover of the heater comes off for it, and one dead visit does for the rest."""
    causes = [cause.safe_state for cause in SYMPTOMS["no-heat"].causes if cause.effort == "cover off"]
    assert causes == ["metered", "locked-out", "locked-out", "locked-out"]


def test_a_hunting_valve_gets_less_heat_before_more() -> None:
    """Energy balance: the stage already gives more heat than the flow takes, and one more is hotter."""
    (cause,) = [one for one in SYMPTOMS["hot-and-cold"].causes if one.id == "mixing-valve"]
    words = " | ".join(cause.remedy)
    assert "a little warmer" not in words
    assert words.index("stage less") < words.index("stage more only where")


def test_the_limiting_valve_is_asked_about_before_any_cover_comes_off() -> None:
    """ASSE 1016 and 1070 valves shut down when the cold supply fails, from memory: the test that closes it."""
    causes = SYMPTOMS["too-hot"].causes
    place = next(n for n, cause in enumerate(causes) if cause.id == "limiting-valve")
    assert place < min(n for n, cause in enumerate(causes) if cause.effort == "cover off")
    assert "see that the outlet stops" in " ".join(causes[place].remedy)
    for page in ("commissioning", "annual-check"):
        text = (CONTENT / "pages" / f"{page}.md.j2").read_text(encoding="utf-8")
        assert re.search(r"Close the cold supply of .*\n\n    \*Expected:\* its outlet stops", text), page


def test_reading_order_is_unique() -> None:
    orders = [symptom.order for symptom in every_symptom()]
    assert len(set(orders)) == len(orders)


def test_work_behind_the_cover_is_locked_out_with_its_panel_or_metered() -> None:
    for symptom in every_symptom():
        for cause in symptom.causes:
            if cause.effort == "cover off":
                assert cause.safe_state in ("locked-out", "panel-dead", "metered"), f"{symptom.id}: {cause.id}"


def test_voltage_and_current_are_read_with_the_meter_fitted_while_dead() -> None:
    for symptom in every_symptom():
        for cause in symptom.causes:
            if re.search(r"\b(read|measure)\b.*\b(voltage|current|leakage)\b", " ".join(cause.check), re.IGNORECASE):
                assert cause.safe_state == "metered", f"{symptom.id}: {cause.id}"
                assert cause.who == "licensed electrician", f"{symptom.id}: {cause.id}"


def test_dangerous_symptoms_send_everyone_away() -> None:
    assert {symptom.id for symptom in every_symptom() if symptom.safe_state == "away"} == {
        "smell",
        "hot-breaker",
        "hot-while-closed",
        "tingle",
    }


def test_how_a_handle_stood_is_noted_before_it_is_switched_off_and_asked_for() -> None:
    """Whoever has obeyed the safe state finds every handle off."""
    state = BOOK.safe_states["switched-off"]
    steps = [step.do.lower() for step in state.steps]
    noted = next(place for place, step in enumerate(steps) if "on, off or tripped" in step)
    assert noted < next(place for place, step in enumerate(steps) if step.startswith("switch off"))
    assert state.title.index("noted") < state.title.index("switched off")
    for symptom in every_symptom():
        if symptom.safe_state == "switched-off":
            for cause in symptom.causes:
                assert not re.search(r"^(Is|Are) .*\b(off|(?<!turns )on|tripped)\?", cause.question), (
                    f"{symptom.id}: {cause.id}"
                )


def test_no_remedy_selects_more_stages_than_the_site_allows() -> None:
    """The stage a site allows follows from its hottest water: above it people are scalded."""
    for symptom in every_symptom():
        for step in [step for cause in symptom.causes for step in cause.remedy]:
            if re.search(r"\b(one stage more|more stages|higher stage|stage up)\b", step, re.IGNORECASE):
                assert "never above the stage that the site's page allows" in step, symptom.id
    assert "allows no further stage" in " ".join(SYMPTOMS["winter-cold"].stop)


def test_every_figure_that_may_be_compared_is_used() -> None:
    used = {key for symptom in every_symptom() for cause in symptom.causes for key in cause.compare}
    assert used == set(COMPARISONS)


def test_every_safe_state_is_used() -> None:
    causes = [cause.safe_state for symptom in every_symptom() for cause in symptom.causes]
    assert {*causes, *(symptom.safe_state for symptom in every_symptom())} - {None} == set(BOOK.safe_states)


def test_no_measured_check_is_without_a_figure_or_a_remedy() -> None:
    """A check that measures flow, resistance or current names the figure to compare it with."""
    for symptom in every_symptom():
        for cause in symptom.causes:
            text = " ".join(cause.check).lower()
            if "time how long" in text or "resistance of each" in text:
                assert cause.compare, f"{symptom.id}: {cause.id}"


WATER_SEEN = re.compile(r"\b(runs?\b|drips?\b|spit|static pressure|until the leak test)", re.IGNORECASE)


def test_a_check_that_looks_for_water_has_the_shutoff_valve_open() -> None:
    """With the valve closed nothing runs and nothing drips, frozen or thawed: the answer says nothing."""
    seen = set()
    for symptom in every_symptom():
        for cause in symptom.causes:
            state = BOOK.safe_states[cause.safe_state or symptom.safe_state]
            closed = any(step.do.startswith("Close the shutoff valve") for step in state.steps)
            places = [place for place, step in enumerate(cause.check) if WATER_SEEN.search(step)]
            opened = [place for place, step in enumerate(cause.check) if "pen the shutoff valve" in step]
            if closed and places:
                assert opened and opened[0] <= places[0], f"{symptom.id}: {cause.id}"
                seen.add(symptom.id)
    assert {"after-frost", "leaks"} <= seen


def test_heat_with_every_tap_closed_is_looked_for_at_outlets_meter_and_crossover() -> None:
    """Common practice, no source: behind a closed valve a leaking tap stops, and a crossover never drips."""
    cause = next(one for one in SYMPTOMS["hot-while-closed"].causes if one.id == "tap-drips")
    text = " ".join(cause.check).lower()
    assert "shutoff valve before the inlet open" in text and "close the shutoff" not in text
    assert all(part in text for part in ("close every tap", "outlet drips", "water meter", "cold pipe", "crosses over"))
    assert any("crosses over" in step for step in cause.remedy)


def test_an_insulation_test_is_compared_with_megohms_and_warned_of() -> None:
    """An element of 24 ohm to ground is a fault, and 24 ohm is what a sound one measures from end to end."""
    seen = set()
    for symptom in every_symptom():
        for cause in symptom.causes:
            text = " ".join([*cause.check, *cause.remedy])
            if "insulation of" in text.lower():
                assert "element-insulation" in cause.compare, f"{symptom.id}: {cause.id}"
                assert ("element-resistance" in cause.compare) == ("resistance" in text.lower()), cause.id
            if "the insulation" in text.lower():
                assert "insulation-tester" in symptom.notices, symptom.id
                seen.add(symptom.id)
            assert not re.search(r"resistance to ground|from each element to", text), cause.id
    assert seen == {"ground-fault-trips", "tingle", "breaker-trips", "shipping-water", "afci-trips"}


def test_the_least_insulation_leaks_less_than_a_class_i_heater_may() -> None:
    """IEC 60335-1 (2010) 16.2, from memory: 0.75 mA or more, for a stationary heating appliance of class I."""
    stated = read_stated(CONTENT)
    least, replace = (float(stated[f"element-insulation-{name}"].shown.value) for name in ("least", "replace"))
    assert 240.0 / least < 240.0 / replace < 0.75e-3
    assert stated["element-insulation-least"].shown.value == stated["insulation-least"].shown.value


def test_a_question_of_an_elements_ohms_asks_for_the_range_and_not_for_the_nominal_value() -> None:
    """By tolerance (IEC 60335-1 (2010) 10.1, table 1, from memory) half of all sound elements lie above the nominal."""
    asked = [cause for symptom in every_symptom() for cause in symptom.causes if "measure" in cause.question]
    assert len(asked) == 2
    assert all("the range that is still sound" in cause.question for cause in asked)
    assert all({"ohms_least", "ohms_greatest"} & set(cause.places) for cause in asked)


def test_a_neutral_is_measured_free_at_both_ends() -> None:
    """A ground-fault device joins the load neutral to the bonded bar: left on it, every sound circuit reads as crossed.

    Common practice, no source.
    """
    cause = next(one for one in SYMPTOMS["ground-fault-trips"].causes if one.id == "neutral-crossed")
    assert cause.safe_state == "panel-dead"
    checks = " ".join(cause.check)
    order = ["at the heater", "from the neutral terminal of the GFCI or RCD", "from that neutral, free at both ends"]
    assert [checks.index(words) for words in order] == sorted(checks.index(words) for words in order)
    assert any("to the neutral terminal of the GFCI or RCD" in step for step in cause.remedy)


def test_a_question_about_the_supply_voltage_has_its_numbers() -> None:
    """A heater of 240 V on 241 V is sound: to 5 % either way is the ordinary range (ANSI C84.1-2020, from memory)."""
    asked = set()
    for symptom in every_symptom():
        for cause in symptom.causes:
            if re.search(r"\bsupply voltage\b|\bvoltage at the disconnect\b", cause.question, re.IGNORECASE):
                assert "supply-voltage" in cause.compare, f"{symptom.id}: {cause.id}"
                assert "the range on the site's page" in cause.question and "rated voltage" not in cause.question
                assert {"volts_least", "volts_greatest"} & set(cause.places), f"{symptom.id}: {cause.id}"
                asked.add(symptom.id)
    assert asked == {"too-hot", "lukewarm", "no-heat", "winter-cold", "lights-dim", "after-power-cut"}


def test_every_question_that_names_a_measure_has_its_number_at_the_site() -> None:
    """Flow window, limit, working range, range of the site's page, breaker, wire and selector: all have figures."""
    measured = re.compile(
        r"flow window|limit\b|working range|range on the site|than the one the site|the site's page names|selector"
        r"|turns on\?|range that is still sound|burnt out"
    )
    found = 0
    for symptom in every_symptom():
        for cause in symptom.causes:
            if measured.search(cause.question) and "flow near" not in cause.question:
                assert cause.here, f"{symptom.id}: {cause.id}"
                found += 1
    assert found > 25


def test_every_value_a_question_may_name_is_named() -> None:
    assert {place for symptom in every_symptom() for cause in symptom.causes for place in cause.places} == set(
        QUESTION_VALUES
    )


def test_a_symptom_that_a_step_leads_to_exists() -> None:
    titles, led = [symptom.title for symptom in every_symptom()], 0
    for symptom in every_symptom():
        for cause in symptom.causes:
            for step in (*cause.check, *cause.remedy):
                if "symptom " in step:
                    assert any(f"symptom {title}" in step for title in titles), step
                    led += 1
    assert led > 8


def test_what_may_be_looked_into_at_a_stopped_heater_switches_nothing_on() -> None:
    """Its window and start-up are hidden on its page, and fault finding does not bring them back."""
    shown = BOOK.while_off()
    assert {"smell", "tingle", "leaks", "after-frost"} <= {symptom.id for symptom in shown} < set(SYMPTOMS)
    for symptom in shown:
        for cause in symptom.causes:
            state = BOOK.safe_states[cause.safe_state or symptom.safe_state]
            assert not any(
                re.search(r"switch \S+ \S* ?on\b", step.do) for step in state.steps if "do not" not in step.do
            )
            for step in (*cause.check, *cause.remedy):
                on = re.search(r"\bswitch(ed)?\b.*\bon\b|flow window", step, re.IGNORECASE)
                assert not on or re.search(r"before the (power|heater|new one) is (switched|used)|only then", step), (
                    step
                )


def test_a_drop_is_measured_over_the_circuit_and_not_from_the_transformer_on() -> None:
    cause = next(one for one in SYMPTOMS["lukewarm"].causes if one.id == "low-voltage")
    assert any("drop of the circuit alone" in step and "Commissioning" in step for step in cause.remedy)
    page = " ".join((CONTENT / "pages" / "commissioning.md.j2").read_text(encoding="utf-8").split())
    assert "the voltage falls by no more than the voltage drop on the site's page" not in page
    assert 'stated["feeder-drop"]' in page
    alone = page.partition("the drop of the circuit alone, with two meters")[2].partition("{% endcall %}")[0]
    steps = [
        "whole panel and prove it dead",
        "second voltmeter",
        "both meters at the same moment",
        "a difference of no more than",
    ]
    assert [alone.index(words) for words in steps] == sorted(alone.index(words) for words in steps)

"""Fault finding can be followed by a person at the heater, and holds the rules of the trade."""

import re

from generator.model.faults import COMPARISONS, Symptom
from generator.read.faults import read_faults
from generator.read.notices import read_notices
from generator.read.stated import read_stated
from tests.content.writing import CONTENT

BOOK = read_faults(CONTENT / "faults", {notice.id for notice in read_notices(CONTENT / "notices")})
SYMPTOMS = {symptom.id: symptom for symptom in BOOK.symptoms}


def every_symptom() -> list[Symptom]:
    return list(SYMPTOMS.values())


def test_the_symptoms_people_have_are_there() -> None:
    words = " | ".join([symptom.title.lower() + " " + " ".join(symptom.also) for symptom in every_symptom()]).lower()
    for looked_for in (
        *("won't turn on", "lukewarm", "never closes", "too hot", "hot and cold", "breaker trips", "leak", "low flow"),
        *("noise", "burn", "frozen", "winter", "test water", "gfci", "only one tap", "shock", "rcd"),
    ):
        assert looked_for in words, looked_for


def test_the_screen_is_looked_at_first_when_a_stage_does_not_close() -> None:
    """Common practice, no source."""
    first = SYMPTOMS["stage-never-closes"].causes[0]
    assert first.id == "screen"
    assert "first" in first.check[0]


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
    assert causes[place].likelihood == "likely"
    assert "see that the outlet stops" in " ".join(causes[place].remedy)
    for page in ("commissioning", "maintenance"):
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
        "hot-while-closed",
        "tingle",
    }


def test_how_a_handle_stood_is_noted_before_it_is_switched_off_and_asked_for() -> None:
    """Whoever has obeyed the safe state finds every handle off."""
    state = BOOK.safe_states["switched-off"]
    steps = [step.lower() for step in state.steps]
    noted = next(place for place, step in enumerate(steps) if "on, off or tripped" in step)
    assert noted < next(place for place, step in enumerate(steps) if step.startswith("switch off"))
    assert state.title.index("noted") < state.title.index("switched off")
    for symptom in every_symptom():
        if symptom.safe_state == "switched-off":
            for cause in symptom.causes:
                assert not re.search(r"^(Is|Are) .*\b(off|on|tripped)\?", cause.question), f"{symptom.id}: {cause.id}"


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
            closed = any(step.startswith("Close the shutoff valve") for step in state.steps)
            places = [place for place, step in enumerate(cause.check) if WATER_SEEN.search(step)]
            opened = [place for place, step in enumerate(cause.check) if "pen the shutoff valve" in step]
            if closed and places:
                assert opened and opened[0] <= places[0], f"{symptom.id}: {cause.id}"
                seen.add(symptom.id)
    assert {"after-frost", "leaks"} <= seen


def test_heat_with_every_tap_closed_is_looked_for_at_outlets_meter_and_crossover() -> None:
    """Common practice, no source: behind a closed valve a leaking tap stops, and a crossover never drips."""
    cause = SYMPTOMS["hot-while-closed"].causes[0]
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
    assert seen == {"ground-fault-trips", "tingle", "breaker-trips", "shipping-water"}


def test_the_least_insulation_leaks_less_than_a_class_i_heater_may() -> None:
    """IEC 60335-1 (2010) 16.2, from memory: 0.75 mA or more, for a stationary heating appliance of class I."""
    stated = read_stated(CONTENT / "stated.yaml")
    least, replace = (float(stated[f"element-insulation-{name}"].shown.value) for name in ("least", "replace"))
    assert 240.0 / least < 240.0 / replace < 0.75e-3
    assert stated["element-insulation-least"].shown.value == stated["insulation-least"].shown.value


def test_a_question_of_an_elements_ohms_asks_for_the_range_and_not_for_the_nominal_value() -> None:
    """By tolerance (IEC 60335-1 (2010) 10.1, table 1, from memory) half of all sound elements lie above the nominal."""
    asked = [cause.question for symptom in every_symptom() for cause in symptom.causes if "measure" in cause.question]
    assert len(asked) == 2
    assert all("the range that is still sound" in question for question in asked)


def test_a_neutral_is_measured_free_at_both_ends() -> None:
    """A ground-fault device joins the load neutral to the bonded bar: left on it, every sound circuit reads as crossed.

    Common practice, no source.
    """
    cause = next(one for one in SYMPTOMS["ground-fault-trips"].causes if one.id == "neutral-crossed")
    assert cause.safe_state == "panel-dead"
    checks = " ".join(cause.check)
    order = ["at the heater", "from the neutral terminal of the device", "from that neutral, free at both ends"]
    assert [checks.index(words) for words in order] == sorted(checks.index(words) for words in order)
    assert any("to the neutral terminal of the device" in step for step in cause.remedy)


def test_a_question_about_the_supply_voltage_has_its_numbers() -> None:
    """A heater of 240 V on 241 V is sound: to 5 % either way is the ordinary range (ANSI C84.1-2020, from memory)."""
    asked = set()
    for symptom in every_symptom():
        for cause in symptom.causes:
            if re.search(r"\bsupply voltage\b|\bvoltage at the disconnect\b", cause.question, re.IGNORECASE):
                assert "supply-range" in cause.compare, f"{symptom.id}: {cause.id}"
                assert "the range below" in cause.question and "rated voltage" not in cause.question
                asked.add(symptom.id)
    assert asked == {"too-hot", "lukewarm", "no-heat", "winter-cold"}


def test_a_drop_is_measured_over_the_circuit_and_not_from_the_transformer_on() -> None:
    cause = next(one for one in SYMPTOMS["lukewarm"].causes if one.id == "low-voltage")
    assert any("drop of the circuit alone" in step and "Commissioning" in step for step in cause.remedy)
    page = " ".join((CONTENT / "pages" / "commissioning.md.j2").read_text(encoding="utf-8").split())
    assert "the voltage falls by no more than the voltage drop on the site's page" not in page
    assert 'stated["feeder-drop"]' in page
    alone = page.partition("### The drop of the circuit alone")[2].partition("## Take the readings")[0]
    steps = [
        "whole panel and prove it dead",
        "second voltmeter",
        "both meters at the same moment",
        "difference of the two",
    ]
    assert [alone.index(words) for words in steps] == sorted(alone.index(words) for words in steps)

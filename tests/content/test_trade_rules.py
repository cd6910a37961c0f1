"""The rules of the trade stand in the text where the work is done. All of them: common practice, no source."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from generator.compute.heat.figures.outlet import ABOVE, UNREACHED
from tests.content.writing import CONTENT, PAGES, sections, templates


def words(name: str) -> str:
    return re.sub(r"[\s*]+", " ", (PAGES / f"{name}.md.j2").read_text(encoding="utf-8")).lower()


@pytest.mark.parametrize(
    ("page", "rule"),
    [
        ("installation/plumbing", "no pvc on the hot side"),
        ("installation/plumbing", "lead-free pipe, fittings, solder and flux only"),
        ("installation/plumbing", "a vacuum breaker where a hose hangs on the outlet"),
        ("installation/plumbing", "unions on both connections"),
        ("adjusting", "the valve on the outlet side"),
        ("adjusting", "never by the inlet valve"),
        ("adjusting", "takes the pressure away before the water reaches them"),
        ("fault-finding/index", "take the first yes for the cause"),
        ("safety", "nothing heats until water flows"),
        ("safety", "nothing is energized until the heater is full, purged of air and tight"),
        ("safety", "the ground wire is connected, always"),
        ("installation/unpacking", "the maker tested the heater with it"),
        ("installation/purge-and-leak-test", "do this before the first power"),
        ("before-you-start", "live-dead-live"),
        ("installation/electrical", "tighten each terminal of the heater with a torque tool"),
        ("installation/electrical", "with its number of all, such as 1 of 2"),
        ("installation/first-start", "no current without flow"),
        ("storage-and-freezing", "drained, do not switch on"),
    ],
)
def test_the_rule_stands_on_its_page(page: str, rule: str) -> None:
    assert rule in words(page)


def test_every_word_of_a_temperature_table_is_explained() -> None:
    page = words("expected-temperatures")
    assert [state for state in UNREACHED | ABOVE if f'| {{{{ "{state}" | word }}}} |' not in page] == []


def test_the_order_of_work_is_water_before_power() -> None:
    index = words("installation/index")
    places = [index.index(f'link("installation/{part}")') for part in ("plumbing", "purge-and-leak-test", "electrical")]
    assert places == sorted(places)
    assert index.index("purge-and-leak-test") < index.index("first-start")


START_UP = ("lock", "air", "leak|every joint", "gauge", "tests? (of )?the circuit|circuit tests", "switch on")


def card_steps() -> list[str]:
    """The titles and steps of the card's start-up, in order, whatever condition chooses them."""
    form = yaml.safe_load((CONTENT / "print" / "card_form.yaml").read_text(encoding="utf-8"))["start_up"]
    return [
        text
        for part in form
        for text in (part["title"], *(f"{step['text']} {step.get('expected', '')}" for step in part.get("steps", [])))
    ]


def test_card_and_pages_start_up_in_one_order() -> None:
    """Common practice, no source: water with the power locked off, tight, the circuit tested, then power."""
    macros = (PAGES / "_macros.md.j2").read_text(encoding="utf-8")
    order = macros.partition("{% macro start_order() %}")[2].partition("{% endmacro %}")[0]
    card = " ".join(card_steps())
    for text in (order.partition("\n1. ")[2].lower(), card.lower()):
        found = [re.search(words, text) for words in START_UP]
        places = [one.start() for one in found if one]
        assert len(places) == len(START_UP) and places == sorted(places), text
        assert "power locked off" in text[: text.index("leak")]
    assert "{purge_time}" in card and "{leak_test_time}" in card
    assert card.index("Torque each") > card.index("Gauge holds")
    for page in ("installation/index", "installation/purge-and-leak-test", "installation/first-start"):
        text = (PAGES / f"{page}.md.j2").read_text(encoding="utf-8")
        assert "start_order()" in text.partition("| 1 |")[0].partition("safe_state")[0], page


SWITCHES_ON = re.compile(
    r"(?<!Try to )\b[Ss]witch (on\b|the heater on|the circuit on|each circuit on|a breaker [^.]*\bon again)"
)
CLOSED = re.compile(r"\b[Cc]lose (it|the taps?|the hot taps?|every (hot )?tap)\b|with every tap closed|tap shut")
NOT_YET = re.compile(r"\bthen switch on\b|do not switch on|before (you|the power is) switch", re.IGNORECASE)


def lists_of_steps() -> Iterator[tuple[str, list[str]]]:
    """Yield (place, steps) of every procedure of pages, safe states, remedies and card."""
    for path in templates():
        for heading, lines in sections(path.read_text(encoding="utf-8")):
            yield f"{path.name}: {heading}", [line for line in lines if re.match(r"\d+\. ", line)]
    for path in (CONTENT / "faults").glob("*.yaml"):
        data = yaml.safe_load(path.read_text(encoding="utf-8"))
        for one in [*data.get("causes", []), *data.get("safe_states", [])]:
            for key in ("steps", "second_way", "remedy"):
                steps = one.get(key, [])
                yield f"{path.name}: {one['id']}", [step["do"] if isinstance(step, dict) else step for step in steps]
    yield "card", card_steps()


def test_the_tap_is_closed_before_anything_is_switched_on() -> None:
    """Common practice, no source: nothing is switched under load; close the tap, switch on, open the tap."""
    seen = 0
    for place, steps in lists_of_steps():
        for number, step in enumerate(steps):
            assert not re.search(r"[Ss]witch[^.]* on[^.]*(with the tap open|the tap runs)", step), place
            # At the first live test no heater is connected.
            if SWITCHES_ON.search(step) and not NOT_YET.search(step) and "before the heater is connected" not in place:
                assert CLOSED.search(" ".join(steps[: number + 1])), (place, step)
                seen += 1
    assert seen >= 11


def test_a_heater_that_got_wet_has_one_answer() -> None:
    """Common practice, no source: wiped after test water, dried and measured after a leak, replaced after a flood."""
    macros = (PAGES / "_macros.md.j2").read_text(encoding="utf-8")
    answer = macros.partition("{% macro wet_heater() %}")[2].partition("{% endmacro %}")[0]
    rows = [line for line in answer.splitlines() if line.startswith("| ")][2:]
    assert [
        bool(re.search(words, row)) for row, words in zip(rows, ("Wipe", "insulation", "Replace"), strict=True)
    ] == [True] * 3
    assert "wet_heater()" in (PAGES / "emergency.md.j2").read_text(encoding="utf-8")
    pointing = 0
    for path in [*templates(), *CONTENT.glob("notices/*.yaml"), *CONTENT.glob("faults/*.yaml")]:
        text = path.read_text(encoding="utf-8").replace(answer, "")
        assert not re.search(r"[Dd]ry the heater (fully|with)|not dried|switch that got wet|dried it", text), path.name
        pointing += len(
            re.findall(r"Emergency[^.]* for (it|a heater that got wet)|heater that got wet there see", text)
        )
    assert pointing == 5


def test_no_descaler_can_reach_a_tap() -> None:
    text = words("maintenance").partition("## descale")[2].partition("## the maintenance record")[0]
    steps = [
        "close the shutoff valve before the inlet",
        "close the valve after the outlet",
        "circulate the descaler",
        "flush the heater",
        "open the valve after the outlet",
        "run each hot tap until a test strip reads neutral",
        "switch on",
    ]
    assert [text.index(step) for step in steps] == sorted(text.index(step) for step in steps)
    assert "disconnect the hot pipe at the outlet and cap it" in text


def test_the_tester_is_proven_before_and_after() -> None:
    text = words("before-you-start")
    assert text.index(": live .") < text.index(": dead .") < text.rindex(": live .")


# A step of a page that reads voltage or current; the insulation test is made on a dead circuit.
LIVE_READING = re.compile(
    r"^\d+\. (?![^\n]*insulation)[^\n]*\b(?:read|measure|watch) [^\n]*\b(?:voltage|current)\b",
    re.MULTILINE | re.IGNORECASE,
)


METER = 'link("installation/meter")'


def test_the_meter_goes_on_and_the_covers_are_back_before_power() -> None:
    states = yaml.safe_load((CONTENT / "faults" / "_safe_states.yaml").read_text(encoding="utf-8"))["safe_states"]
    metered = next(state for state in states if state["id"] == "metered")
    steps = " ".join(step["do"] for step in metered["steps"])
    order = ["prove it dead", "Fit the meter", "Refit every cover", "switch each circuit on", "proven dead again"]
    assert [steps.index(words) for words in order] == sorted(steps.index(words) for words in order)


def test_readings_need_no_lead_through_a_cover_and_name_the_instruments() -> None:
    """29 CFR 1910.333(a)(1) and (c), NFPA 70E (2024) 130.2 and 130.7, from memory; else common practice, no source."""
    states = yaml.safe_load((CONTENT / "faults" / "_safe_states.yaml").read_text(encoding="utf-8"))["safe_states"]
    metered = next(state for state in states if state["id"] == "metered")
    first, second = (" ".join(step["do"] for step in metered[key]) for key in ("steps", "second_way"))
    for kind in ("remote display", "split-core current transformer", "fitted there for good", "never behind the cover"):
        assert kind in first, kind
    for part in ("1910.333(a)(1) and (c)", "130.2 and 130.7", "protective equipment", "ordinary clamp meter"):
        assert part in second, part
    paths = [*templates(), *(CONTENT / "faults").glob("*.yaml"), CONTENT / "print" / "card_form.yaml"]
    for path in paths:
        text = path.read_text(encoding="utf-8")
        found = re.search(r"display outside|display stays outside|lead them out|cover can(not)? close over", text, re.I)
        assert found is None, (path.name, found)
        assert "at the supply terminals" not in text or path.suffix != ".yaml", path.name


@pytest.mark.parametrize("path", templates(), ids=lambda path: path.name)
def test_live_readings_have_the_meter_fitted_while_dead_and_taken_off_while_dead(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    readings = [found.start() for found in LIVE_READING.finditer(text)]
    if readings:
        assert METER in text[: readings[0]]
        assert "licensed electrician" in text[: readings[0]].lower()
        after = text[readings[-1] :]
        assert METER in after or after.index("prove_dead()") < after.index("Take off the meter")


def test_the_meter_s_own_page_has_it_fitted_and_taken_off_while_dead() -> None:
    text = (PAGES / "installation/meter.md.j2").read_text(encoding="utf-8")
    order = [
        'section("live-parts")',
        'section("arc-flash")',
        'safe_state("metered")',
        "prove_dead()",
        "Take off the meter",
    ]
    assert [text.index(part) for part in order] == sorted(text.index(part) for part in order)


def test_pages_with_live_readings_are_found() -> None:
    found = {path.name for path in templates() if LIVE_READING.search(path.read_text(encoding="utf-8"))}
    expected = {
        "circuit-tests.md.j2",
        "commissioning.md.j2",
        "first-start.md.j2",
        "annual-check.md.j2",
        "element-figures.md.j2",
    }
    assert expected <= found


def test_every_stated_value_is_used() -> None:
    stated = re.findall(r"^  - id: (\S+)$", (CONTENT / "stated.yaml").read_text(encoding="utf-8"), re.MULTILINE)
    used = "".join(path.read_text(encoding="utf-8") for path in PAGES.rglob("*.md.j2"))
    assert [name for name in stated if f'stated["{name}"]' not in used] == []


def test_the_supply_is_measured_and_dead_again_before_the_heater_is_connected() -> None:
    text = words("installation/circuit-tests").partition("## measure the supply before")[2]
    order = ["cap each wire", "every cover closed", "read the voltage", "prove_dead()", "take off the meter"]
    places = [text.index(part, text.index("cap each wire")) for part in order]
    assert places == sorted(places)
    assert "circuit-tests" in words("installation/electrical").partition("## connect the heater")[0]


@pytest.mark.parametrize(
    ("page", "heading"),
    [("circuit-tests", "Measure the supply before the heater is connected"), ("electrical", "Connect the heater")],
)
def test_the_danger_stands_where_hands_are_on_conductors_that_can_be_live(page: str, heading: str) -> None:
    body = (PAGES / f"installation/{page}.md.j2").read_text(encoding="utf-8").partition(f"## {heading}\n")[2]
    head = body.partition("\n1. ")[0]
    assert 'section("bare-ends")' in head
    assert ('section("arc-flash")' in head) == heading.startswith("Measure")


def test_whoever_is_asked_to_stand_to_one_side_is_told_why_and_warned() -> None:
    """NFPA 70E (2024) 130.5 and 130.7(C)(15), from memory."""
    aside = "standing to one side, because an arc leaves through the front of a breaker"
    for path in templates():
        text = path.read_text(encoding="utf-8")
        assert text.count("one side") == text.count(aside), path.name
        if path.name == "_site.md.j2":
            assert 'guards("start"' in text[: text.index(aside)], "where the line of the notice stands"
        elif aside in text or 'safe_state("metered")' in text:
            first = min(text.index(part) for part in (aside, 'safe_state("metered")') if part in text)
            assert 'section("arc-flash")' in text[:first], path.name
    states = (CONTENT / "faults" / "_safe_states.yaml").read_text(encoding="utf-8")
    assert states.count("one side") == states.count(aside) == 2


def test_the_insulation_test_can_be_made_and_leaves_nothing_charged() -> None:
    test = words("installation/circuit-tests").partition("## test the circuit")[2].partition("## measure")[0]
    order = ["prove_dead()", "take the neutral off", "measure the insulation", "discharge each"]
    places = [test.index(part) for part in order]
    assert places == sorted(places) and places[-1] < test.index("reconnect the neutral")


def test_every_terminal_is_tightened_to_its_mark() -> None:
    """NFPA 70 (2023) 110.14(D), from memory: where a torque is marked, on whatever equipment."""
    tests = words("installation/circuit-tests")
    order = ["lock out the panel", "tighten each terminal of breaker and bars", "refit the covers of the panel"]
    assert [tests.index(part) for part in order] == sorted(tests.index(part) for part in order)
    connecting = words("installation/electrical")
    assert all(f"tighten each terminal of the {what}" in connecting for what in ("heater", "disconnect"))


def test_protection_is_tried_before_the_first_hot_water() -> None:
    text = words("installation/first-start")
    before = text[: text.index("## first hot water")]
    assert all(part in before for part in ("press the test button", "impedance of the fault loop", "instrument"))


def test_the_fault_current_is_asked_about_before_the_conductors_are_connected() -> None:
    """NFPA 70 (2023) 110.9 and 110.10, IEC 60364-4-43 434.5.1, from memory: what cannot break a fault bursts."""
    tests = words("installation/circuit-tests")
    assert 0 < tests.index("interrupting or withstand rating") < tests.index("## measure the supply")
    assert "circuit tests signed" in words("installation/electrical").partition("strip each wire")[0]
    assert "interrupting rating of the breakers" in words("commissioning")


@pytest.mark.parametrize(("page", "parted"), [("decommissioning", "disconnect the pipes"), ("maintenance", "cap it")])
def test_a_metal_pipe_is_bridged_before_it_is_parted(page: str, parted: str) -> None:
    """A lost neutral of the service drives its current through pipe: common practice, no source."""
    text = words(page)
    assert 0 < text.index("clamp a jumper") < text.index(parted)


def test_the_supplier_looks_at_the_neutral_where_the_voltage_comes_from_elsewhere() -> None:
    tingle = (CONTENT / "faults" / "tingle.yaml").read_text(encoding="utf-8").partition("id: other-source")[2]
    assert tingle.index("supplier check the neutral") < tingle.index("Look for another appliance")


def test_within_sight_is_defined_in_feet() -> None:
    """NFPA 70 article 100: visible and not more than 50 ft (15 m) distant; from memory."""
    stated = (CONTENT / "stated.yaml").read_text(encoding="utf-8").partition("id: within-sight")[2]
    assert stated.partition("- id:")[0].count("value: 50 ft") == 1
    assert "within sight : visible, and not more than" in words("glossary")

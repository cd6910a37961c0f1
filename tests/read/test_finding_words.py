"""The words of a finding that do not fit its rule are faults at their place: missing, misspelt and unused ones."""

from pathlib import Path

import pytest

from generator.errors import Fault, InputFaults
from generator.model.content.finding_words import FindingBook
from generator.model.finding_rules import Rule
from generator.read.content.finding_words import read_finding_words

RULE = Rule(
    "tank-level",
    {"ok": ("level", "depth"), "low": ("level", "least", "sensor")},
    lists={"others": ("tank",)},
    choices={"sensor": ("wet", "dry")},
)
SAID = {"brim": ("level",)}
WORDS = """\
rule: tank-level
title: Level of the tank
found:
  - "Level: {level}."
  - {text: "Others: {others}.", when: others}
  - {text: "Depth: {depth}.", unless: low}
why: An empty tank runs dry.
lists:
  others: {text: "{tank}"}
choices:
  sensor: {wet: under water, dry: above it}
cases:
  ok:
    do: Nothing to do.
  low:
    do: "Fill to {least}; the sensor is {sensor}."
passed: [ok, low]
"""
BRIEF = """\
line: "Level {level}."
short: Fill it.
"""


def write(folder: Path, name: str, text: str) -> None:
    (folder / "content" / "findings").mkdir(parents=True)
    (folder / "content" / "findings" / f"{name}.yaml").write_text(text, encoding="utf-8")


def faults(folder: Path, text: str) -> list[Fault]:
    write(folder, "tank-level", text)
    with pytest.raises(InputFaults) as caught:
        read_finding_words(folder / "content", {RULE.name: RULE}, SAID)
    return list(caught.value.faults)


def test_words_that_fit_their_rule_are_read(tmp_path: Path) -> None:
    write(tmp_path, "tank-level", WORDS)
    assert list(read_finding_words(tmp_path / "content", {RULE.name: RULE}, {}).rules) == ["tank-level"]


@pytest.mark.parametrize(
    ("old", "new", "line", "key", "wrong"),
    [
        ("rule: tank-level", "rule: tank", 1, "rule", "'tank' is not the file's name"),
        ("title: Level of the tank\n", "", 1, "title", "missing"),
        ("{level}", "{levle}", 3, "found", "no value is called 'levle' here"),
        ("when: others", "when: other", 3, "found", "'other' is no case, value or list of it"),
        ("unless: low", "unless: lwo", 3, "found", "'lwo' is no case, value or list of it"),
        ("{least}", "{depth}", 16, "cases.low.do", "no value is called 'depth' here"),
        ("Fill to {least}; the", "Fill it; the", 15, "cases.low", "no text shows the value 'least'"),
        ("    do: Nothing to do.\n", "    found: Full.\n", 13, "cases.ok", "the case has no 'do'"),
        ("do: Nothing to do.", "do: {text: Nothing to do., when: low}", 13, "cases.ok", "the case has no 'do'"),
        ("why: An empty", "do: Fill.\nwhy: An empty", 7, "do", "every case has a text of its own instead"),
        ('"{tank}"', '"{tnak}"', 9, "lists.others.text", "no value is called 'tnak' here"),
        ('"{tank}"', '"a tank"', 9, "lists.others.text", "no text shows the value 'tank'"),
        ('"Others: {others}."', '"There are others."', 9, "lists.others", "no text names this list"),
        ("  others: {text", "  other: {text", 9, "lists.other", "the rule has no list 'other'"),
        ("dry: above it", "dyr: above it", 11, "choices.sensor.dyr", "the rule has no code 'dyr'"),
        ("wet: under water", 'wet: "under {leevl}"', 16, "cases.low.do", "no value is called 'leevl' here"),
        (", dry: above it", "", 11, "choices.sensor", "the code 'dry' is missing"),
        ("  low:\n", "  lwo:\n", 15, "cases.lwo", "the rule has no case 'lwo'"),
        ("  low:\n", "  lwo:\n", 12, "cases", "the case 'low' is missing"),
    ],
)
def test_each_fault_is_told_at_its_place(tmp_path: Path, old: str, new: str, line: int, key: str, wrong: str) -> None:
    assert WORDS.count(old) == 1
    found = faults(tmp_path, WORDS.replace(old, new))
    assert any((one.line, one.key) == (line, key) and wrong in one.wrong for one in found), found
    assert {one.file for one in found} == {"content/findings/tank-level.yaml"}


@pytest.mark.parametrize(
    ("text", "key", "wrong"),
    [
        (WORDS.replace("[ok, low]", "[ok]"), "cases.low", "the case has no 'line'"),
        (WORDS.replace("[ok, low]", "[ok]"), "cases.low", "the case has no 'short'"),
        (WORDS.replace("[ok, low]", "[ok, lwo]"), "passed", "the rule has no case 'lwo'"),
        (
            WORDS.replace("[ok, low]", "[ok]") + BRIEF.replace("{level}", "{levle}"),
            "line",
            "no value is called 'levle'",
        ),
        (
            WORDS.replace("[ok, low]", "[ok]") + BRIEF.replace("{level}", "{depth}"),
            "line",
            "no value is called 'depth'",
        ),
    ],
)
def test_a_case_in_which_something_is_amiss_has_brief_words(tmp_path: Path, text: str, key: str, wrong: str) -> None:
    assert any(one.key == key and wrong in one.wrong for one in faults(tmp_path, text))


def test_a_case_that_passed_needs_no_brief_words(tmp_path: Path) -> None:
    write(tmp_path, "tank-level", WORDS.replace("[ok, low]", "[ok]") + BRIEF)
    own = read_finding_words(tmp_path / "content", {RULE.name: RULE}, {}).rules["tank-level"]
    assert own.passed == ("ok",) and [part.text for part in own.parts("low", "line")] == ["Level {level}."]


def test_a_rule_without_words_and_words_without_a_rule_are_refused(tmp_path: Path) -> None:
    write(tmp_path, "tank-lid", WORDS.replace("tank-level", "tank-lid"))
    with pytest.raises(InputFaults) as caught:
        read_finding_words(tmp_path / "content", {RULE.name: RULE}, {})
    told = {(one.file, one.wrong) for one in caught.value.faults}
    assert ("content/findings/tank-level.yaml", "this file is missing") in told
    assert ("content/findings/tank-lid.yaml", "no rule is called 'tank-lid'") in told


SHARED = """\
sentences:
  fill-it: Fill it.
  brim: It stands at {level}.
choices:
  sensor: {wet: under water, dry: above it}
"""
SHARING = WORDS.replace("do: Nothing to do.", "do: {say: fill-it}").replace(
    "sensor: {wet: under water, dry: above it}", "sensor: sensor"
)


def sharing(folder: Path, words: str, shared: str) -> None:
    write(folder, "tank-level", words)
    (folder / "content" / "findings" / "_shared.yaml").write_text(shared, encoding="utf-8")


def test_what_several_rules_say_is_said_once(tmp_path: Path) -> None:
    sharing(tmp_path, SHARING, SHARED)
    book = read_finding_words(tmp_path / "content", {RULE.name: RULE}, SAID)
    words = book.rules["tank-level"]
    assert [part.text for part in words.parts("ok", "do")] == ["Fill it."]
    assert words.choices == {"sensor": {"wet": "under water", "dry": "above it"}}
    assert book.sentences["brim"] == "It stands at {level}."


@pytest.mark.parametrize(
    ("of", "old", "new", "file", "line", "key", "wrong"),
    [
        ("words", "say: fill-it", "say: fill", "tank-level", 14, "cases.ok.do", "no shared sentence is called 'fill'"),
        ("words", "sensor: sensor", "sensor: probe", "tank-level", 11, "choices.sensor", "no shared choice is called"),
        (
            "words",
            "{say: fill-it}",
            "{say: fill-it, text: Fill.}",
            "tank-level",
            14,
            "cases.ok.do",
            "a part has either a text",
        ),
        ("words", "{say: fill-it}", "Fill it.", "_shared", 2, "sentences.fill-it", "no text says this sentence"),
        ("shared", "dry: above it", "dry: above it, wed: wet", "_shared", 5, "choices.sensor.wed", "no rule gives"),
        ("shared", ", dry: above it", "", "tank-level", 11, "choices.sensor", "the code 'dry' is missing"),
        ("shared", "  brim: It stands at {level}.\n", "", "_shared", 1, "sentences", "the sentence 'brim' is missing"),
        ("shared", "{level}", "{levle}", "_shared", 3, "sentences.brim", "it has not the places for its values"),
    ],
)
def test_a_fault_of_what_is_shared_is_told_at_its_place(
    tmp_path: Path, of: str, old: str, new: str, file: str, line: int, key: str, wrong: str
) -> None:
    texts = {"words": SHARING, "shared": SHARED}
    assert texts[of].count(old) == 1
    sharing(tmp_path, **(texts | {of: texts[of].replace(old, new)}))
    with pytest.raises(InputFaults) as caught:
        read_finding_words(tmp_path / "content", {RULE.name: RULE}, SAID)
    found = caught.value.faults
    place = (f"content/findings/{file}.yaml", line, key)
    assert any((one.file, one.line, one.key) == place and wrong in one.wrong for one in found), found


def in_other_words(folder: Path, **texts: str) -> FindingBook:
    other = folder / "content" / "xx" / "findings"
    other.mkdir(parents=True)
    for name, text in texts.items():
        (other / f"{name}.yaml").write_text(text, encoding="utf-8")
    return read_finding_words(folder / "content", {RULE.name: RULE}, SAID, language="xx")


def test_another_language_stands_over_the_english_entry_by_entry(tmp_path: Path) -> None:
    sharing(tmp_path, SHARING, SHARED)
    level = "rule: tank-level\nwhy: Leer läuft sie trocken.\ncases:\n  low: {do: 'Auf {least}; {sensor}.'}\n"
    shared = "sentences: {fill-it: Auffüllen.}\nchoices:\n  sensor: {dry: darüber}\n"
    book = in_other_words(tmp_path, **{"tank-level": level, "_shared": shared})
    words = book.rules["tank-level"]
    assert words.title == "Level of the tank"
    assert [part.text for part in words.parts("ok", "why")] == ["Leer läuft sie trocken."]
    assert [part.text for part in words.parts("ok", "do")] == ["Auffüllen."]
    assert [part.text for part in words.parts("low", "do")] == ["Auf {least}; {sensor}."]
    assert words.choices == {"sensor": {"wet": "under water", "dry": "darüber"}}
    assert (
        read_finding_words(tmp_path / "content", {RULE.name: RULE}, SAID)
        .rules["tank-level"]
        .parts("ok", "why")[0]
        .text.startswith("An empty tank")
    )


@pytest.mark.parametrize(
    ("name", "text", "line", "key", "wrong"),
    [
        ("tank-level", "rule: tank-level\ncases:\n  lwo: {do: Voll.}\n", 3, "cases.lwo", "the rule has no case 'lwo'"),
        ("tank-level", "rule: tank-level\ncases:\n  low: {do: '{leest}'}\n", 3, "cases.low.do", "no value is called"),
        ("tank-level", "rule: tank-level\ncases:\n  low: {do: Voll.}\n", 3, "cases.low", "no text shows the value"),
        ("tank-level", "rule: tank-lid\n", 1, "rule", "'tank-lid' is not the file's name"),
        ("tank-lid", "rule: tank-lid\n", 1, "rule", "no rule is called 'tank-lid'"),
        ("_shared", "sentences:\n  fil-it: Voll.\n", 2, "sentences.fil-it", "there is no such entry"),
        ("_shared", "sentences:\n  brim: Voll.\n", 2, "sentences.brim", "it has not the places"),
        ("_shared", "choices:\n  sensor: {dyr: da}\n", 2, "choices.sensor.dyr", "there is no such entry"),
    ],
)
def test_a_fault_of_another_language_is_told_at_its_place(
    tmp_path: Path, name: str, text: str, line: int, key: str, wrong: str
) -> None:
    sharing(tmp_path, SHARING, SHARED)
    with pytest.raises(InputFaults) as caught:
        in_other_words(tmp_path, **{name: text})
    place = (f"content/xx/findings/{name}.yaml", line, key)
    found = caught.value.faults
    assert any((one.file, one.line, one.key) == place and wrong in one.wrong for one in found), found


STOPS = Rule(RULE.name, RULE.cases, RULE.lists, RULE.choices, stops=("low",))
OPEN = WORDS.replace("[ok, low]", "[ok]") + BRIEF


@pytest.mark.parametrize(
    ("text", "key", "wrong"),
    [
        (OPEN, "cases.low", "the case has no 'act'"),
        (f"{OPEN}act: Fill it to {{lest}}.\n", "act", "no value is called 'lest'"),
        (f"{OPEN}act: {'x' * 82}\n", "act", "it has 92 signs with the name of the rule"),
        (f"{OPEN}act: '{'x' * 74}{{least}}'\n", "act", "it has 92 signs with the name of the rule"),
        (f"{OPEN}act: '{'x' * 71}{{sensor}}'\n", "act", "it has 92 signs with the name of the rule"),
        (f"{OPEN}act: [{'x' * 40}, {'y' * 41}]\n", "act", "it has 92 signs with the name of the rule"),
    ],
)
def test_what_to_do_about_a_stop_is_there_and_fits_a_line(tmp_path: Path, text: str, key: str, wrong: str) -> None:
    write(tmp_path, "tank-level", text)
    with pytest.raises(InputFaults) as caught:
        read_finding_words(tmp_path / "content", {RULE.name: STOPS}, SAID)
    assert any(one.key == key and wrong in one.wrong for one in caught.value.faults), caught.value.faults


def test_a_line_that_just_fits_is_read(tmp_path: Path) -> None:
    write(tmp_path, "tank-level", f"{OPEN}act: '{'x' * 73}{{least}}'\n")
    assert read_finding_words(tmp_path / "content", {RULE.name: STOPS}, {})


def test_a_stop_that_the_rule_does_not_declare_is_refused() -> None:
    with pytest.raises(KeyError, match="tank-level declares no ok"):
        STOPS.judge("ok", "stop", source="a source")

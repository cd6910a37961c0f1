"""The words of the handbook keep the writing rules, and each rule is able to fail."""

from pathlib import Path

import pytest

from tests.content import writing

TEMPLATES = writing.templates()
NAMES = [path.relative_to(writing.PAGES).as_posix() for path in TEMPLATES]
# Templates of computed pages and shared macros, which hold few words of their own.
TEXTS = [path for path in TEMPLATES if not path.name.startswith("_") or path.name == "_symptom.md.j2"]
TEXT_NAMES = [path.relative_to(writing.PAGES).as_posix() for path in TEXTS]
DATA = list(writing.data_texts())
COMMANDS = ("steps", "second_way", "check", "remedy", "avoidance", "do")
NOT_FOR_READERS = ("source", "id", "when", "fact", "finding", "symbol")
PLAIN = {"DANGER", "WARNING", "CAUTION", "NOTICE", "OK", "STOP"}
each_text = pytest.mark.parametrize("path", TEXTS, ids=TEXT_NAMES)


def report(faults: list[str]) -> None:
    assert not faults, "\n" + "\n".join(faults)


@each_text
def test_steps_command(path: Path) -> None:
    report(writing.not_imperative(writing.steps(path.read_text(encoding="utf-8"))))


def test_steps_in_the_data_command() -> None:
    report(
        [f"{file}: {fault}" for file, key, text in DATA if key in COMMANDS for fault in writing.not_imperative([text])]
    )


@each_text
def test_one_action_a_step(path: Path) -> None:
    report(writing.crowded_steps(writing.steps(path.read_text(encoding="utf-8"))))


@each_text
def test_no_weak_word(path: Path) -> None:
    report(writing.weak_words(writing.prose(path.read_text(encoding="utf-8"))))


@each_text
def test_one_spelling(path: Path) -> None:
    report(writing.other_spellings(writing.prose(path.read_text(encoding="utf-8"))))


@each_text
def test_no_number_typed_into_the_text(path: Path) -> None:
    report(writing.bare_quantities(writing.prose(path.read_text(encoding="utf-8"))))


@each_text
def test_notices_stand_before_the_steps_they_guard(path: Path) -> None:
    report(writing.late_notices(path.read_text(encoding="utf-8")))


@each_text
def test_headings_in_order(path: Path) -> None:
    report(writing.jumping_headings(path.read_text(encoding="utf-8")))


@each_text
def test_no_trade_mark_and_no_address(path: Path) -> None:
    report(writing.outside_marks(path.read_text(encoding="utf-8")))


@each_text
def test_every_abbreviation_is_in_the_glossary(path: Path) -> None:
    glossary = (writing.PAGES / "glossary.md.j2").read_text(encoding="utf-8")
    used = writing.abbreviations(writing.prose(path.read_text(encoding="utf-8"))) - PLAIN
    report([f"not in the glossary: {word}" for word in sorted(used - writing.abbreviations(glossary))])


@pytest.mark.parametrize(
    "rule", [writing.weak_words, writing.other_spellings, writing.bare_quantities, writing.outside_marks]
)
def test_the_data_keep_the_rules_of_the_text(rule) -> None:  # type: ignore[no-untyped-def]
    report(
        [f"{file}: {key}: {fault}" for file, key, text in DATA if key not in NOT_FOR_READERS for fault in rule(text)]
    )


def test_every_abbreviation_of_the_data_is_in_the_glossary() -> None:
    known = writing.abbreviations((writing.PAGES / "glossary.md.j2").read_text(encoding="utf-8")) | PLAIN
    shown = [(file, text) for file, key, text in DATA if key not in NOT_FOR_READERS]
    report([f"{file}: {word}" for file, text in shown for word in sorted(writing.abbreviations(text) - known)])


@each_text
def test_every_page_names_its_reader(path: Path) -> None:
    header = path.read_text(encoding="utf-8").partition("\n")[0]
    assert "audience:" in header


# Each rule fails on a text that breaks it.


def test_a_step_that_tells_is_found() -> None:
    assert writing.not_imperative(["The valve is closed."])
    assert writing.not_imperative(["You close the valve."])
    assert not writing.not_imperative(["Close the valve.", "Never open it."])


def test_steps_are_found_with_the_notice_in_them() -> None:
    text = '1. Close it.\n\n    *Expected:* shut.\n\n2. {{ embedded("x") }} Open it.\n{{ loop.index }}. {{ step }}\n'
    assert writing.steps(text) == ["Close it.", "Open it."]


@pytest.mark.parametrize("text", ["You should close it.", "Please wait.", "Clean as needed."])
def test_a_weak_word_is_found(text: str) -> None:
    assert writing.weak_words(text)


@pytest.mark.parametrize("text", ["at 120 V", "8 AWG", "1/2 in", "3 minutes", "140\u00a0°F", "25 psi", "5 %"])
def test_a_typed_number_is_found(text: str) -> None:
    if text == "8 AWG":
        assert not writing.bare_quantities(text), "a conductor size is a name, not a measure"
    else:
        assert writing.bare_quantities(text)


@pytest.mark.parametrize("text", ["NFPA 70 (2023) 110.14(C)", "step 3", "Table 310.16", "ISO 7010", "29 CFR 1910.147"])
def test_a_clause_is_no_typed_number(text: str) -> None:
    assert not writing.bare_quantities(text)


def test_numbers_in_jinja_are_not_prose() -> None:
    assert not writing.bare_quantities(writing.prose('{{ quantity(3, "time") }} {# 120 V #} `8 ohm`'))


def test_a_notice_after_its_steps_is_found() -> None:
    late = '# T\n\n## A\n\n1. Close it.\n\n{{ section("scald") }}\n'
    assert writing.late_notices(late)
    assert not writing.late_notices('# T\n\n## A\n\n{{ section("scald") }}\n\n1. Close it.\n')


def test_a_jump_of_headings_is_found() -> None:
    assert writing.jumping_headings("# T\n\n### A\n")
    assert writing.jumping_headings("## A\n")
    assert not writing.jumping_headings("# T\n\n## A\n\n### B\n\n## C\n")


def test_two_sentences_in_a_step_are_found() -> None:
    assert writing.crowded_steps(["Close the valve. Open the tap."])
    assert not writing.crowded_steps(["Close the valve, and open the tap."])


def test_other_spellings_marks_and_addresses_are_found() -> None:
    assert writing.other_spellings("the colour of the lead")
    assert writing.outside_marks("Heater\u2122") and writing.outside_marks("see https://example.org")

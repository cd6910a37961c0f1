"""The words of content/words: faults have their place, and another language stands over the English by entry."""

import shutil
from pathlib import Path

import pytest

from generator.errors import InputFaults
from generator.model.content.words import FILES
from generator.model.state import STATES
from generator.read.content.words import read_words

CONTENT = Path(__file__).parents[2] / "content"


@pytest.fixture
def content(tmp_path: Path) -> Path:
    shutil.copytree(CONTENT / "words", tmp_path / "content" / "words")
    return tmp_path / "content"


def faults(content: Path, language: str = "en") -> list[str]:
    with pytest.raises(InputFaults) as found:
        read_words(content, language)
    return str(found.value).splitlines()


def test_the_demo_has_a_word_for_every_state() -> None:
    words = read_words(CONTENT)
    assert set(words.states) == set(STATES)
    assert len(set(words.states.values())) == len(STATES), "two states that read alike cannot be told apart"


def test_the_folder_holds_the_files_that_are_read() -> None:
    assert {path.stem for path in (CONTENT / "words").iterdir()} == set(FILES)


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("not-on: not on\n", "", "3:1: not-on: this key is missing; add it: write a text"),
        ("not-on:", "not-onn:", "6:1: not-onn: 'not-onn' is no key here; the nearest known key is 'not-on'"),
        ("not-on: not on", "not-on:", "6:8: not-on: this has no value; write a text"),
        ("stop: stop\n", "stop: stop\nworn: worn\n", "6:1: worn: 'worn' is no key here; the keys here are"),
        ("stop: stop\n", "stop: stop\nstop: halt\n", "6:1: stop: "),
    ],
    ids=["missing", "misspelt", "empty", "not used", "twice"],
)
def test_an_entry_at_fault_has_its_place(content: Path, old: str, new: str, fault: str) -> None:
    path = content / "words" / "states.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    (said,) = faults(content)
    assert said.startswith(f"content/words/states.yaml:{fault}")


def test_a_file_that_nothing_reads_is_refused(content: Path) -> None:
    (content / "words" / "state.yaml").write_text("ok: ok\n", encoding="utf-8")
    assert faults(content) == [
        "content/words/state.yaml:1:1: file: no words are read from this file; "
        f"one of {', '.join(repr(name) for name in list(FILES)[:-1])} and {list(FILES)[-1]!r}, or remove it"
    ]


def test_a_file_that_is_not_there(content: Path) -> None:
    (content / "words" / "states.yaml").unlink()
    (said,) = faults(content)
    assert said.startswith("content/words/states.yaml:1:1: file: this cannot be read")


def overlay(content: Path, text: str) -> None:
    folder = content / "xx" / "words"
    folder.mkdir(parents=True)
    (folder / "states.yaml").write_text(text, encoding="utf-8")


def test_another_language_stands_over_the_english_entry_by_entry(content: Path) -> None:
    overlay(content, "not-on: nocht zu\n")
    english, other = read_words(content), read_words(content, "xx")
    assert english.states["not-on"] == "not on"
    assert other.states == {**english.states, "not-on": "nocht zu"}
    assert other.figures == english.figures


def test_an_entry_of_another_language_at_fault_has_its_place(content: Path) -> None:
    overlay(content, "not-onn: nocht zu\nstop:\n")
    assert faults(content, "xx") == [
        "content/xx/words/states.yaml:1:1: not-onn: 'not-onn' is no key here; the nearest known key is 'not-on'",
        "content/xx/words/states.yaml:2:6: stop: this has no value; write a text, or leave the key out",
    ]


def test_the_words_of_print_stand_over_the_english_by_template_and_entry(content: Path) -> None:
    folder = content / "xx" / "words"
    folder.mkdir(parents=True)
    (folder / "print.yaml").write_text("label: {each: jede}\nbook:\n  page: Blatt {page}\n", encoding="utf-8")
    (folder.parent / "reviewed.yaml").write_text("reviewed_by: N. N.\ndate: 2026-11-02\n", encoding="utf-8")
    english, other = read_words(content).print, read_words(content, "xx").print
    assert other["label"] == {**english["label"], "each": "jede"}
    assert other["book"] == {**english["book"], "page": "Blatt {page}"}
    assert other["front"] == english["front"]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("label: {eech: jede}\n", "1:9: label.eech: 'eech' is no key here; the nearest known key is 'each'"),
        ("labl: {each: jede}\n", "1:1: labl: 'labl' is no key here; the nearest known key is 'label'"),
        ("book: {page: Blatt}\n", "1:14: book.page: 'Blatt' does not have the places for its values; write the places"),
        ("label: {each: '*jede'}\n", "1:15: label.each: '*jede' has an asterisk without another; put one before and"),
    ],
    ids=["entry", "template", "place", "asterisk"],
)
def test_a_word_of_print_at_fault_has_its_place(content: Path, text: str, fault: str) -> None:
    folder = content / "xx" / "words"
    folder.mkdir(parents=True)
    (folder / "print.yaml").write_text(text, encoding="utf-8")
    (said,) = faults(content, "xx")
    assert said.startswith(f"content/xx/words/print.yaml:{fault}")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("terminals rated {terminals}", "terminals rated"),
        ("terminals rated {terminals}", "terminals rated {terminal}"),
        ("terminals rated {terminals}", "terminals {rated {terminals}"),
        ("disconnect: Disconnect", "disconnect: Disconnect {place}"),
    ],
    ids=["none", "another", "a brace", "one too many"],
)
def test_an_entry_has_the_places_for_its_values(content: Path, old: str, new: str) -> None:
    path = content / "words" / "card.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    (said,) = faults(content)
    assert "does not have the places for its values; write " in said


def test_every_word_is_asked_for_by_the_program() -> None:
    """An entry that nothing uses would be translated for nothing."""
    root = Path(__file__).parents[2]
    asking = [*(root / "generator").rglob("*.py"), *(root / "content" / "assets" / "pocket").glob("*.js")]
    code = "".join(
        path.read_text(encoding="utf-8")
        for path in asking
        if not ("model" in path.relative_to(root).parts and path.name.endswith("words.py")) and path.name != "state.py"
    )
    words = (model for kind, model in FILES.items() if kind != "print")  # whose templates ask for their own
    entries = [field.alias for model in words for field in model.model_fields.values()]
    assert len(entries) > 150
    assert [entry for entry in entries if f'"{entry}"' not in code and f"'{entry}'" not in code] == []

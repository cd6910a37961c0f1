"""The words of content/words/figures: each fault has its place, and another language stands over the English."""

from collections.abc import Mapping
from pathlib import Path

import pytest

from generator.errors import InputFaults
from generator.read.content.figure_words import read_figure_words

SAID = {"heat": {"steam": (), "warm-by": ("who", "much")}, "flow": {"drip": ("when",)}}
UNSAID, UNPLACED = "is not a text that is said here", "does not have the places for its values"
HEAT = "steam: Steam\nwarm-by: '{who} by {much}'\n"


def written(folder: Path, text: str) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "heat.yaml").write_text(text, encoding="utf-8")
    (folder / "flow.yaml").write_text("drip: Drips {when}\n", encoding="utf-8")


def read(root: Path, heat: str = HEAT, *, other: str = "") -> Mapping[str, str]:
    written(root / "content" / "words" / "figures", heat)
    if other:
        written(root / "content" / "xx" / "words" / "figures", other)
    return read_figure_words(root / "content", SAID, language="xx")


def faults(root: Path, heat: str = HEAT, *, other: str = "") -> list[str]:
    with pytest.raises(InputFaults) as found:
        read(root, heat, other=other)
    return str(found.value).splitlines()


def test_the_words_of_every_room_are_read(tmp_path: Path) -> None:
    assert read(tmp_path) == {"steam": "Steam", "warm-by": "{who} by {much}", "drip": "Drips {when}"}


@pytest.mark.parametrize(
    ("heat", "fault"),
    [
        ("steam: Steam\n", "1:1: file: the words of 'warm-by' are missing; write warm-by: and its words"),
        (HEAT + "cold: Cold\n", f"3:7: cold: 'cold' {UNSAID}; write one of 'steam' and 'warm-by'"),
        (HEAT.replace("steam:", "steem:"), f"1:8: steem: 'steem' {UNSAID}; the nearest is 'steam'"),
        (HEAT.replace("{much}", "much"), f"2:10: warm-by: '{{who}} by much' {UNPLACED}; write the places"),
        (HEAT.replace("{much}", "{mch}"), f"2:10: warm-by: '{{who}} by {{mch}}' {UNPLACED}; write the places"),
        (HEAT.replace("Steam", "'{Steam'"), f"1:8: steam: '{{Steam' {UNPLACED}; write no braces"),
        (HEAT.replace(" Steam", ""), "1:7: steam: this has no value; write a text"),
    ],
    ids=["missing", "not used", "misspelt", "a value without place", "a place without value", "a brace", "empty"],
)
def test_an_entry_at_fault_has_its_place(tmp_path: Path, heat: str, fault: str) -> None:
    (said,) = faults(tmp_path, heat)
    assert said.startswith(f"content/words/figures/heat.yaml:{fault}")


def test_a_file_that_nothing_reads_is_refused(tmp_path: Path) -> None:
    read(tmp_path)
    (tmp_path / "content" / "words" / "figures" / "haet.yaml").write_text("steam: Steam\n", encoding="utf-8")
    assert faults(tmp_path) == [
        "content/words/figures/haet.yaml:1:1: file: no words are read from this file; "
        "one of 'heat' and 'flow', or remove it"
    ]


def test_another_language_stands_over_the_english_entry_by_entry(tmp_path: Path) -> None:
    texts = read(tmp_path, other="warm-by: 'um {much} durch {who}'\n")
    assert texts == {"steam": "Steam", "warm-by": "um {much} durch {who}", "drip": "Drips {when}"}


def test_an_entry_of_another_language_at_fault_has_its_place(tmp_path: Path) -> None:
    file = "content/xx/words/figures/heat.yaml"
    assert faults(tmp_path, other="warm-by: 'durch {who}'\nstaem: Dampf\n") == [
        f"{file}:1:10: warm-by: 'durch {{who}}' {UNPLACED}; write the places {{who}}, {{much}}",
        f"{file}:2:8: staem: 'staem' {UNSAID}; the nearest is 'steam'",
    ]

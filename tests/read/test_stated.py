"""A value that the text states has a unit and a source."""

from pathlib import Path

import pytest

from generator.errors import InputFaults
from generator.read.content.stated import read_stated

TEXT = "values:\n  - {id: purge, label: purging, value: 3 min, bound: at_least, source: common practice}\n"


def test_a_stated_value_is_held_in_si(tmp_path: Path) -> None:
    (tmp_path / "stated.yaml").write_text(TEXT, encoding="utf-8")
    shown = read_stated(tmp_path)["purge"].shown
    assert (shown.value, shown.kind, shown.side) == (180.0, "time", "up")


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("3 min", "3", "has no unit"),
        ("3 min", "3 moments", "has no unit of this handbook"),
        (", source: common practice", "", "missing"),
        (TEXT, TEXT + TEXT.partition("\n")[2], "stated twice"),
    ],
)
def test_a_value_without_unit_or_source_is_refused(tmp_path: Path, old: str, new: str, words: str) -> None:
    (tmp_path / "stated.yaml").write_text(TEXT.replace(old, new), encoding="utf-8")
    with pytest.raises(InputFaults, match=words):
        read_stated(tmp_path)

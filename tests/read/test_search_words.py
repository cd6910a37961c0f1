"""Words that the search takes for the same stand in one list, once."""

from pathlib import Path

import pytest

from generator.errors import InputFaults
from generator.read.content.search_words import read_search_words


def test_lists_without_a_word_are_empty(tmp_path: Path) -> None:
    (tmp_path / "search.yaml").write_text("same:\n  - [breaker, circuit breaker]\n", encoding="utf-8")
    found = read_search_words(tmp_path / "search.yaml")
    assert (found.same, found.units, found.common) == ((("breaker", "circuit breaker"),), (), ())


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("same: [[breaker]]", "same"),
        ("same: [[breaker, Circuit Breaker]]", "'Circuit Breaker' has a capital letter"),
        ("same: [[wire, cable], [cable, cord]]", "'cable' stands here twice"),
        ("alike: [[wire, cable]]", "alike"),
    ],
)
def test_a_word_in_no_list_or_in_two_is_refused(tmp_path: Path, text: str, wrong: str) -> None:
    (tmp_path / "search.yaml").write_text(f"{text}\n", encoding="utf-8")
    with pytest.raises(InputFaults, match=r"search\.yaml:1:\d+: .*" + wrong):
        read_search_words(tmp_path / "search.yaml")

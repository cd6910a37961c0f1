"""The code at the head of a card, as a person may type it."""

import pytest

from generator.assemble.revision_code import revision_code
from generator.model.register.card_codes import read_code


@pytest.mark.parametrize("typed", ["7KQM-2F9D", "7kqm2f9d", " 7kqm 2f9d", "7KQM2F9D"])
def test_a_code_is_read_however_it_is_typed(typed: str) -> None:
    assert read_code(typed) == "7KQM-2F9D"


def test_signs_that_the_codes_do_not_use_are_read_as_those_they_are_taken_for() -> None:
    assert read_code("OIL0-U111") == "0110-V111"


@pytest.mark.parametrize("typed", ["7KQM-2F9", "7KQM-2F9DD", "7KQM-2F9*", ""])
def test_what_cannot_be_a_code_is_none(typed: str) -> None:
    assert read_code(typed) is None


def test_a_code_made_is_a_code_read() -> None:
    """SHA-256 of "abc" begins ba7816bf 8f (FIPS 180-4, example): by fives in the alphabet Q9W1-DFWF."""
    assert revision_code(b"abc") == read_code("q9w1dfwf") == "Q9W1-DFWF"

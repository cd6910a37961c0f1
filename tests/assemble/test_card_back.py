"""What the steps on the back of a card must reach, by the side to which it rounds."""

from __future__ import annotations

from generator.build import Loaded
from generator.model.documents.walk import walk
from generator.model.figures import Sentence


def test_what_a_test_must_reach_rounds_up(loaded: Loaded) -> None:
    """Water runs, pressure stands and insulation resists at least so much: less would pass what does not."""
    wanted = {"purge_time", "leak_test_time", "insulation_least"}
    sentences = [sentence for card in loaded.cards.values() for sentence in walk(card, Sentence)]
    sides = {(value.symbol, value.side) for one in sentences for value in one.values if value.symbol in wanted}
    assert sides == {(symbol, "up") for symbol in wanted}

"""What compute says gets its words wherever it stands in a tree, and what says nothing stays as it is."""

from __future__ import annotations

import pytest

from generator.assemble.worded_figures import Speaker
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.said import because, say

WORDS = {"rain": "Rain in {month}", "june": "June", "times": "{n} times", "yes": "ja"}
SPEAKER = Speaker(WORDS, {"dry": "it is dry"})


def test_values_are_texts_and_numbers_and_what_is_said_itself() -> None:
    assert SPEAKER.worded(say("rain", month=say("june"))) == "Rain in June"
    assert SPEAKER.worded(say("rain", month="{n}")) == "Rain in {n}"  # a name that a writer gave is no template
    assert SPEAKER.worded(say("rain", month=because("dry"))) == "Rain in it is dry"
    assert [SPEAKER.worded(say("times", n=n)) for n in (2, 2.0, 2.5)] == ["2 times", "2 times", "2.5 times"]


def test_a_text_without_words_is_refused() -> None:
    with pytest.raises(KeyError, match="snow"):
        SPEAKER.worded(say("snow"))


def test_every_text_of_a_tree_is_said() -> None:
    june = say("june")
    step = Step(june, (Value(june, 1.0, "count"),), Value("x", say("yes"), "text"), june, june)
    cell = Figure("id", say("rain", month=june), 1.0, "count", "at_least", (step,), "ok", june)
    head = Value("x", june, "text")
    table = FigureTable("id", june, june, (head,), ((head, (cell,)),), june, (Value(june, 1.0, "count"),))
    worded = SPEAKER.worded({"tables": (table,)})["tables"][0]
    said = Step("June", (Value("June", 1.0, "count"),), Value("x", "ja", "text"), "June", "June")
    row = (Value("x", "June", "text"), (Figure("id", "Rain in June", 1.0, "count", "at_least", (said,), "ok", "June"),))
    conditions = (Value("June", 1.0, "count"),)
    assert worded == FigureTable("id", "June", "June", (row[0],), (row,), "June", conditions)


def test_what_says_nothing_is_not_copied() -> None:
    plain = (Figure("id", "label", 1.0, "count"), {"key": (Value("x", 1.0, "count"),)})
    assert SPEAKER.worded(plain) is plain

"""Stored numbers in print: the texts that a change report compares and shows."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from generator.model.content.change_words import ChangeWord
from generator.model.content.words import Style
from generator.model.documents.results_file import StoredFigure, StoredSentence, StoredValue
from generator.model.state import State
from generator.render.format import MINUS, NBSP, parts, row_names, show_quantity

_DIFFERENCE_UNITS = {"°C": "K"}  # what a difference is named in


@dataclass(frozen=True, slots=True)
class Printed:
    """Prints stored numbers in the handbook's units and words."""

    style: Style

    def value(self, value: StoredValue) -> str:
        """Return a value's text."""
        return show_quantity(value.value, value.kind, value.rounds, units=self.style.units)

    def sentence(self, sentence: StoredSentence) -> str:
        """Return a sentence with its values put in."""
        values = {value.symbol: self.value(value) for value in sentence.values}
        return re.sub(r"\{(\w+)\}", lambda place: values[place[1]], sentence.template)

    def state(self, state: State) -> str:
        """Return the word for a state."""
        return self.style.words.states[state]

    def change(self, word: ChangeWord, **values: str) -> str:
        """Return what is said of a change, with its values."""
        return self.style.words.changes[word].format(**values)

    def row(self, symbol: str) -> str:
        """Return what the head of a row stands for."""
        return row_names(symbol, self.style.words)

    def figure(self, figure: StoredFigure) -> str:
        """Return a figure's text with the state that qualifies it; a figure without value as its state."""
        if figure.value is None:
            return self.state(figure.state)
        text = show_quantity(figure.value, figure.kind, figure.rounds, units=self.style.units)
        return text if figure.state == "ok" else f"{text}, {self.state(figure.state)}"

    def difference(self, old: StoredFigure, new: StoredFigure) -> str:
        """Return by how much the printed numbers of two figures differ, in each unit in which they do.

        Empty for texts, and where they are printed in different units.
        """
        if old.kind != new.kind or not isinstance(old.value, float) or not isinstance(new.value, float):
            return ""
        was = parts(old.value, old.kind, old.rounds, units=self.style.units)
        now = parts(new.value, new.kind, new.rounds, units=self.style.units)
        texts = [text for pair in zip(was, now, strict=False) if (text := _difference(*pair))]
        return " ".join([*texts[:1], *(f"({text})" for text in texts[1:])])


def _difference(old: str, new: str) -> str:
    """Return what is between two printed numbers of one unit, with its sign; empty where it is none."""
    (was, _, unit), (now, _, other) = (text.replace(MINUS, "-").partition(NBSP) for text in (old, new))
    moved = Decimal(now) - Decimal(was)
    if unit != other or not moved:
        return ""
    sign = "+" if moved > 0 else MINUS
    return f"{sign}{abs(moved)}{NBSP}{_DIFFERENCE_UNITS.get(unit, unit)}".removesuffix(NBSP)

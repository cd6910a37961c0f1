"""Stored numbers in print: the texts that a change report compares and shows."""

from __future__ import annotations

import re
from dataclasses import dataclass

from generator.model.results_file import StoredFigure, StoredValue
from generator.model.state import State
from generator.model.words import ChangeWord, Style
from generator.render.format import MINUS, parts, show_quantity

_DIFFERENCE_KINDS = {"temperature": "temperature_difference"}


@dataclass(frozen=True, slots=True)
class Printed:
    """Prints stored numbers in the handbook's units and words."""

    style: Style

    def value(self, value: StoredValue) -> str:
        """Return a value's text."""
        return show_quantity(value.value, value.kind, "nearest", units=self.style.units)

    def state(self, state: State) -> str:
        """Return the word for a state."""
        return self.style.words.states[state]

    def change(self, word: ChangeWord, **values: str) -> str:
        """Return what is said of a change, with its values."""
        return self.style.words.changes[word].format(**values)

    def figure(self, figure: StoredFigure) -> str:
        """Return a figure's text with the state that qualifies it; a figure without value as its state."""
        if figure.value is None:
            return self.state(figure.state)
        text = show_quantity(figure.value, figure.kind, figure.rounds, units=self.style.units)
        return text if figure.state == "ok" else f"{text}, {self.state(figure.state)}"

    def difference(self, old: StoredFigure, new: StoredFigure) -> str:
        """Return the printed difference of two figures; empty for texts, and where it is too small to print.

        A unit in which it is too small is left out.
        """
        if old.kind != new.kind or not isinstance(old.value, float) or not isinstance(new.value, float):
            return ""
        moved = new.value - old.value
        kind = _DIFFERENCE_KINDS.get(new.kind, new.kind)
        texts = [
            text for text in parts(abs(moved), kind, "nearest", units=self.style.units) if re.search("[1-9]", text)
        ]
        if not texts:
            return ""
        return f"{'+' if moved > 0 else MINUS}{texts[0]}{''.join(f' ({text})' for text in texts[1:])}"

"""Numbers and words of a drawing: in the first unit of its page, rounded to the safe side, in the reader's language."""

from __future__ import annotations

from dataclasses import dataclass

from generator.model.content.drawing_words import DrawingWord
from generator.model.content.words import Style
from generator.model.figures import SIDES, BoundKind, Figure, Value
from generator.render.format import NBSP, in_first_unit, or_more, parts


@dataclass(frozen=True, slots=True)
class Speech:
    """What a drawing says, in the style of its page."""

    style: Style

    def show(self, item: Figure | Value) -> str:
        """Return a figure or value with its unit; a figure without value as its state."""
        if item.value is None:
            assert isinstance(item, Figure)
            return self.style.words.states[item.state]
        text = parts(item.value, item.kind, item.side, units=self.style.units)[0]
        return text + or_more(item, self.style)

    def number(self, item: Figure | Value) -> str:
        """Return it without its unit."""
        return self.show(item).split(NBSP)[0]

    def quantity(self, value: float, kind: str, bound: BoundKind = "neither") -> str:
        """Return a number of the data with its unit."""
        return parts(value, kind, SIDES[bound], units=self.style.units)[0]

    def word(self, entry: DrawingWord, **values: object) -> str:
        """Return a text of content/words/drawings.yaml with its values put in."""
        return self.style.words.drawings[entry].format(**values)

    def sign(self, kind: str) -> str:
        """Return the sign of the unit of a kind."""
        return in_first_unit(0.0, kind, self.style.units)[1]

    def at(self, value: float, kind: str) -> float:
        """Return an SI number in that unit, unrounded: where it stands on an axis."""
        return in_first_unit(value, kind, self.style.units)[0]

"""The form of the card's back (content/print/card_form.yaml): parts in working order, with what must be seen."""

from __future__ import annotations

import re
from typing import Literal, Self

from pydantic import Field, model_validator

from generator.model.scalars import Identifier, Strict, Text, refuse

# When a line is on a card: always, or at a site of which the word is true.
Condition = Literal[
    "always",
    "stopped",
    "no-window",
    "selector",
    "no-selector",
    "bounded",
    "freezing",
    "no-valve",
    "mixing-valve",
    "one-circuit",
    "several-circuits",
    "found-circuit",
    "new-circuit",
    "residual-current-device",
    "no-residual-current-device",
    "loop",
]
Content = Literal["steps", "stages", "hottest", "stops"]

# The value places that a text may hold.
PLACES = (
    "breakers",
    "circuits",
    "sizes",
    "wire",
    "length",
    "found",
    "leads",
    "torque",
    "rest",
    "ground_ohms",
    "trip_time",
    "loop",
    "least_volts",
    "greatest_volts",
    "stage",
    "flow",
    "least",
    "greatest",
    "turn_on",
    "limit",
    "below",
    "above",
    "voltage",
    "residual",
    "purge_time",
    "leak_test_time",
    "insulation_voltage",
    "insulation_least",
)


def known_places(key: str, text: str | None) -> None:
    """Refuse a text with a place that no value stands in."""
    for place in re.findall(r"\{(\w*)\}", text or ""):
        if place not in PLACES:
            raise refuse(f"'{{{place}}}' has no value here", f"one of {', '.join(PLACES)}", key)


class FormStep(Strict):
    """One action, when it is on the card, and what must be seen."""

    id: Identifier
    text: Text
    expected: Text | None = None
    when: Condition = "always"

    @model_validator(mode="after")
    def _places(self) -> Self:
        known_places("text", self.text)
        known_places("expected", self.expected)
        return self


class FormPart(Strict):
    """A part of the back: its title, who does it, when it is there, and its steps."""

    id: Identifier
    title: Text
    who: Text
    when: Condition = "always"
    content: Content = "steps"
    steps: tuple[FormStep, ...] = ()

    @model_validator(mode="after")
    def _places(self) -> Self:
        known_places("title", self.title)
        return self


class FormText(Strict):
    """A text of the card, and when it is on it."""

    text: Text
    when: Condition = "always"

    @model_validator(mode="after")
    def _places(self) -> Self:
        known_places("text", self.text)
        return self


class FormLine(FormText):
    """What to do about a fault or an accident."""

    id: Identifier
    name: Text


class FormCaution(FormText):
    """A safety notice in the few words that a card has room for, and when they are the ones."""

    notice: Identifier


class CardForm(Strict):
    """The cautions of the card, most important first, and its backs: to start a heater, and to clear what forbids it.

    Of the entries of one notice the first whose `when` is true of a site is shown there.
    """

    cautions: tuple[FormCaution, ...] = Field(min_length=1)
    start_up: tuple[FormPart, ...] = Field(min_length=1)
    faults: tuple[FormLine, ...] = Field(min_length=1)
    clear: tuple[FormPart, ...] = Field(min_length=1)
    accidents: tuple[FormLine, ...] = Field(min_length=1)

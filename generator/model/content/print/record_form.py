"""The form of the commissioning and service record (content/print/record_form.yaml), over that of the card's back."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from generator.model.content.print.card_form import CardForm, Condition, FormPart, known_places
from generator.model.scalars import Identifier, Strict, Text, refuse

RecordContent = Literal["fields", "stages", "hottest", "valves", "stops"]


class RecordField(Strict):
    """A field: a step of the card's part, or a text of its own with an id; `item`: what the site's record expects."""

    step: Identifier | None = None
    id: Identifier | None = None
    text: Text | None = None
    item: Identifier | None = None
    expected: Text | None = None
    when: Condition = "always"

    @model_validator(mode="after")
    def _one_text(self) -> Self:
        if (self.step is None) == (self.id is None or self.text is None):
            raise refuse("the field has no text, or two", "step: a step of the card, or id and text")
        known_places("text", self.text)
        known_places("expected", self.expected)
        return self


class RecordPart(Strict):
    """A part of the card's back, by id, with the fields that the record has in it."""

    part: Identifier
    content: RecordContent = "fields"
    fields: tuple[RecordField, ...] = ()


class RecordForm(Strict):
    """The parts of a record: to start a heater, and to clear what forbids it."""

    start_up: tuple[RecordPart, ...] = Field(min_length=1)
    clear: tuple[RecordPart, ...] = Field(min_length=1)


def card_parts(form: CardForm, part: str) -> tuple[FormPart, ...]:
    """Return the parts of the card with this id."""
    return tuple(one for one in (*form.start_up, *form.clear) if one.id == part)


def strays(form: RecordForm, card: CardForm) -> list[tuple[tuple[str | int, ...], str, str]]:
    """Return (key path, what is wrong, what is expected) for every part and step that the card does not have."""
    found: list[tuple[tuple[str | int, ...], str, str]] = []
    for key, parts in (("start_up", form.start_up), ("clear", form.clear)):
        for place, part in enumerate(parts):
            own = [one for one in getattr(card, key) if one.id == part.part]
            steps = {step.id for one in own for step in one.steps}
            if not own:
                known = ", ".join(dict.fromkeys(one.id for one in getattr(card, key)))
                found.append(((key, place, "part"), f"'{part.part}' is no part of the card", f"one of {known}"))
            for number, field in enumerate(part.fields):
                if own and field.step is not None and field.step not in steps:
                    wrong = f"'{field.step}' is no step of the part '{part.part}' of the card"
                    found.append(((key, place, "fields", number, "step"), wrong, f"one of {', '.join(sorted(steps))}"))
    return found

"""What a person decided of a finding of a site (`decisions` in site_data/sites/*.yaml)."""

from __future__ import annotations

from typing import Annotated, Self

from pydantic import AfterValidator, Field, model_validator

from generator.model.figures import DecisionKind
from generator.model.quantity import AnyQuantity
from generator.model.scalars import Date, Strict, Text, refuse

LEAST_WORDS = 4


def _words(text: str) -> str:
    if len(text.split()) < LEAST_WORDS:
        raise refuse(f"'{text}' is no reason", f"say in a sentence of at least {LEAST_WORDS} words why")
    return text


class Authority(Strict):
    """The authority having jurisdiction that waives a rule: its name, and the document in which it does."""

    name: Text
    document: Text


class Decision(Strict):
    """What a person decided of a finding: the owner accepts a stop or settles an attention, an authority waives a stop.

    `at` and `case` are what the finding shows: the decision lapses when that grows worse. `date`: the day on which it
    was made; `until`: its last day.
    """

    finding: Text
    kind: DecisionKind
    by: Annotated[str, Field(min_length=2, max_length=40)]
    why: Annotated[str, Field(max_length=160), AfterValidator(_words)]
    date: Date
    until: Date
    case: Text | None = None
    at: dict[str, AnyQuantity] = Field(default_factory=dict)
    authority: Authority | None = None

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if self.until < self.date:
            raise refuse(f"{self.until.isoformat()} is before the date of the decision", "a later day", "until")
        if self.kind == "waived" and self.authority is None:
            raise refuse("nobody is named who waives it", "authority: {name: …, document: …}", "kind")
        if self.kind != "waived" and self.authority is not None:
            raise refuse(f"what is {self.kind} names no authority", "kind: waived, or leave authority out", "authority")
        return self

"""Values that the text states and nothing computes (content/stated.yaml): a standard's, or a practice of the trade.

Templates never hold a bare number with a unit: they show one of these, and the page of sources lists them all.
"""

from __future__ import annotations

from typing import Self

from pydantic import model_validator

from generator.model.figures import BoundKind, Value
from generator.model.quantity import QuantityField, kind_of_unit
from generator.model.scalars import Identifier, Strict, Text, refuse


class Stated(Strict):
    """One stated value: what it is, the quantity with its unit, what it bounds, and who says so."""

    id: Identifier
    label: Text
    value: Text
    bound: BoundKind = "neither"
    source: Text

    @model_validator(mode="after")
    def _a_quantity(self) -> Self:
        _parsed(self.value)
        return self

    @property
    def shown(self) -> Value:
        """The value in SI, as the formatter takes it."""
        kind, value_si = _parsed(self.value)
        return Value(self.label, value_si, kind, self.bound)


class StatedFile(Strict):
    """The file of stated values."""

    values: tuple[Stated, ...]

    @model_validator(mode="after")
    def _once_each(self) -> Self:
        seen: set[str] = set()
        for index, stated in enumerate(self.values):
            if stated.id in seen:
                raise refuse(f"'{stated.id}' is stated twice", "each id once", "values", index, "id")
            seen.add(stated.id)
        return self


def _parsed(text: str) -> tuple[str, float]:
    """Return (kind, SI value) of a quantity of any kind; PydanticCustomError for anything else."""
    kind = kind_of_unit(text.partition(" ")[2])
    if kind is None:
        raise refuse(
            f"'{text}' has no unit of this handbook", "a number, one space and a unit, such as 20 min", "value"
        )
    value_si = QuantityField(kind, f"0 {_unit(text)}", f"1000000 {_unit(text)}").parse(text)
    return kind, value_si


def _unit(text: str) -> str:
    return text.partition(" ")[2]

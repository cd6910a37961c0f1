"""Between what the values of models and sites usually lie (site_data/usual.yaml)."""

from __future__ import annotations

import types
from collections.abc import Iterator
from functools import cache
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import BaseModel, model_validator

from generator.model.heater import HeaterModel
from generator.model.quantity import AnyQuantity, QuantityField
from generator.model.scalars import Strict, Text, refuse
from generator.model.site import Site

KeyPath = tuple[str | int, ...]
ITEMS = "[]"  # after a key: every item of its list


class UsualRange(Strict):
    """From where to where a value usually lies, and why it does."""

    least: AnyQuantity
    greatest: AnyQuantity
    why: Text

    @model_validator(mode="after")
    def _in_order(self) -> UsualRange:
        if self.least.kind != self.greatest.kind or float(self.least.value) >= float(self.greatest.value):
            raise refuse("the two ends are out of order", "two figures of one kind, the lower one as least", "least")
        return self


class Usual(Strict):
    """The file usual.yaml: the usual range of values, by their key, of models and of sites."""

    models: dict[str, UsualRange]
    sites: dict[str, UsualRange]

    @model_validator(mode="after")
    def _each_of_a_quantity(self) -> Usual:
        for part, kind, ranges in (("models", HeaterModel, self.models), ("sites", Site, self.sites)):
            for key, usual in ranges.items():
                found = kind_at(kind, key.split("."))
                if found != usual.least.kind:
                    wrong = f"{key} is {f'a {found}' if found else 'no quantity'} of a {kind.__name__}"
                    raise refuse(
                        wrong, f"the key of a {usual.least.kind}, such as mass or stages[].opens_at", part, key
                    )
        return self


def kind_at(kind: type[BaseModel], path: list[str]) -> str | None:
    """Return what kind of quantity stands at a key path of an input; None where none does."""
    name, *rest = path
    found = next(
        (one for key, one in kind.model_fields.items() if (one.alias or key) == name.removesuffix(ITEMS)), None
    )
    if found is None:
        return None
    inner = Annotated[found.annotation, *found.metadata] if found.metadata else found.annotation
    for leaf in _leaves(inner):
        if isinstance(leaf, QuantityField) and not rest:
            return leaf.kind
        if isinstance(leaf, type) and issubclass(leaf, BaseModel) and rest:
            return kind_at(leaf, rest)
    return None


def _leaves(annotation: Any) -> Iterator[Any]:
    """Yield the types and the quantities that an annotation is made of."""
    if get_origin(annotation) in (Annotated, Union, types.UnionType, tuple):
        for part in get_args(annotation):
            yield from _leaves(part)
    else:
        yield annotation


@cache
def _field(kind: type[BaseModel], key: str) -> str:
    """Return what the type calls the field of a key."""
    return next(field for field, one in kind.model_fields.items() if (one.alias or field) == key)


def values_at(item: Any, path: tuple[str, ...], at: KeyPath = ()) -> Iterator[tuple[KeyPath, float]]:
    """Yield the values at a key path of an input, each with its own path; none where nothing is stated."""
    if item is None:
        return
    if not path:
        yield at, float(item)
        return
    name, rest = path[0], path[1:]
    key = name.removesuffix(ITEMS)
    kind: type[BaseModel] = type(item)
    value = getattr(item, _field(kind, key))
    if name == key:
        yield from values_at(value, rest, (*at, key))
    else:
        for index, one in enumerate(value or ()):
            yield from values_at(one, rest, (*at, key, index))

"""Taking the values out of figures that must not be used."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from re import Pattern
from typing import Any, TypeVar

from generator.compute.circuit.values import unusable
from generator.model.figures import Figure

Thing = TypeVar("Thing")


def blanked(thing: Thing, reason: str, kept: Pattern[str] | None = None) -> Thing:
    """Return a tree of dataclasses and tuples with no value in its figures, save those whose id `kept` matches.

    What nobody thought of is blank: a figure that may stand is named, not one that may not.
    """
    changed: Thing = _blanked(thing, reason, kept)
    return changed


def _blanked(node: Any, reason: str, kept: Pattern[str] | None) -> Any:
    if isinstance(node, Figure):
        return node if kept and kept.search(node.id) else unusable(node, reason)
    if isinstance(node, tuple):
        return tuple(_blanked(one, reason, kept) for one in node)
    if is_dataclass(node) and not isinstance(node, type):
        inside = {field.name: getattr(node, field.name) for field in fields(node)}
        changed = {name: new for name, old in inside.items() if (new := _blanked(old, reason, kept)) != old}
        return replace(node, **changed) if changed else node
    return node

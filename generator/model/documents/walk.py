"""All of one type inside what the stages hand on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from generator.model.documents.pocket_tables import PocketTables
from generator.model.figures import Figure, Sentence

_PLAIN = {str, float, int, bool, type(None)}  # nothing stands inside them: looked at first, for they are most
_CLOSED = {Figure, Sentence, PocketTables}


def walk(node: Any, wanted: type[Any]) -> Iterator[Any]:
    """Return every instance of `wanted` inside a tree of dataclasses, tuples and mappings, in order.

    It does not look inside what it finds, nor inside what holds no figure: figures, sentences, tables to look up.
    """
    found: list[Any] = []
    _gather(node, wanted, found)
    return iter(found)


def _gather(node: Any, wanted: type[Any], found: list[Any]) -> None:
    kind = type(node)
    if kind is wanted:
        found.append(node)
    elif isinstance(node, tuple | list):
        for part in node:
            if type(part) not in _PLAIN:
                _gather(part, wanted, found)
    elif kind is dict:
        for part in node.values():
            _gather(part, wanted, found)
    elif kind not in _CLOSED and kind not in _PLAIN:
        for name in getattr(kind, "__dataclass_fields__", ()):
            part = getattr(node, name)
            if type(part) not in _PLAIN:
                _gather(part, wanted, found)

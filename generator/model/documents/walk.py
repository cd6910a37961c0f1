"""All of one type inside what the stages hand on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from generator.model.documents.pocket_tables import PocketTables
from generator.model.figures import Figure, Sentence

_PLAIN = {str, float, int, bool, type(None)}  # nothing stands inside them: looked at first, for they are most
_CLOSED = {Figure, Sentence, PocketTables}


def walk(node: Any, wanted: type[Any]) -> Iterator[Any]:
    """Yield every instance of `wanted` inside a tree of dataclasses, tuples and mappings, in order.

    It does not look inside what it yields, nor inside what holds no figure: figures, sentences, tables to look up.
    """
    kind = type(node)
    if kind in _PLAIN:
        return
    if isinstance(node, wanted):
        yield node
    elif kind in _CLOSED:
        return
    elif isinstance(node, tuple | list):
        for part in node:
            yield from walk(part, wanted)
    elif kind is dict:
        for part in node.values():
            yield from walk(part, wanted)
    else:
        for name in getattr(kind, "__dataclass_fields__", ()):
            yield from walk(getattr(node, name), wanted)

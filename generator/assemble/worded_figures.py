"""Puts the words of content/words/figures in the place of every text that compute says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass, replace
from operator import is_
from typing import Any, TypeVar

from generator.model.said import REASON, Said

_Node = TypeVar("_Node")
_PLAIN = {str, float, int, bool, type(None)}  # nothing is said in them: looked at first, for they are most


class Speaker:
    """Says texts in the words of one language, each once."""

    def __init__(self, words: Mapping[str, str], reasons: Mapping[str, str]) -> None:
        """Take the words by key, and those of the reasons by code."""
        self._words = {**words, **{f"{REASON}{code}": word for code, word in reasons.items()}}
        self._texts: dict[Said, str] = {}
        self._fields: dict[type[Any], tuple[str, ...]] = {}

    def worded(self, node: _Node) -> _Node:
        """Return a tree of dataclasses, tuples and mappings in words; what holds no such text is not copied."""
        worded: _Node = self._worded(node)
        return worded

    def text(self, said: Said) -> str:
        """Return a text in words. KeyError for one that has none."""
        if said not in self._texts:
            values = {name: self._shown(value) for name, value in said.values.items()}
            self._texts[said] = self._words[said.key].format_map(values)
        return self._texts[said]

    def _shown(self, value: str | float) -> str:
        if isinstance(value, Said):
            return self.text(value)
        return value if isinstance(value, str) else f"{value:g}"

    def _worded(self, node: Any) -> Any:
        kind = type(node)
        if kind is Said:
            return self.text(node)
        if kind is tuple:
            parts = tuple(map(self._worded, node))
            return node if all(map(is_, parts, node)) else parts
        if kind is dict:
            items = dict(zip(node, map(self._worded, node.values()), strict=True))
            return node if all(map(is_, items.values(), node.values())) else items
        if kind not in self._fields:
            self._fields[kind] = tuple(one.name for one in fields(kind)) if is_dataclass(kind) else ()
        moved = {}
        for name in self._fields[kind]:
            old = getattr(node, name)
            if type(old) not in _PLAIN and (new := self._worded(old)) is not old:
                moved[name] = new
        return replace(node, **moved) if moved else node

"""A JSON Schema with what each key means and an example of it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, get_args

from pydantic import BaseModel

from generator.read.content.key_words import KeyWords

Schema = dict[str, Any]


def described(model: type[BaseModel], schema: Schema, words: KeyWords) -> Schema:
    """Return the schema of `model` with what its keys mean and an example of each; keys without words stay bare."""
    defs: Mapping[str, Schema] = schema.get("$defs", {})
    lineages = {one.__name__: tuple(parent.__name__ for parent in one.__mro__) for one in _types(model)}
    examples = _Examples(defs, lineages, words)

    def node(name: str, found: Schema) -> Schema:
        if "anyOf" in found:
            return {**found, "anyOf": [node(name, branch) for branch in found["anyOf"]]}
        if "properties" not in found:
            return found
        said = {key: _said(examples, name, key, node=value) for key, value in found["properties"].items()}
        return {**found, "properties": said}

    told = node(model.__name__, schema)
    return {**told, "$defs": {name: node(name, found) for name, found in defs.items()}} if defs else told


class _Examples:
    """Examples of keys: as stated, else made of what the key holds."""

    def __init__(self, defs: Mapping[str, Schema], lineages: Mapping[str, tuple[str, ...]], words: KeyWords) -> None:
        self._defs, self._lineages, self._words = defs, lineages, words

    def word(self, name: str, key: str) -> tuple[str, Any] | None:
        word = self._words.of(self._lineages.get(name, (name,)), key)
        return None if word is None else (word.says, word.example)

    def of(self, name: str, key: str, node: Schema) -> Any:
        word = self.word(name, key)
        stated = word[1] if word else None
        return self._made(node) if stated is None else self._typed(stated, node)

    def _made(self, node: Schema) -> Any:
        """Return an example of a value: of an object its needed keys, of a list one item."""
        name, node = self._resolved(node)
        if "enum" in node or "const" in node:
            return node["const"] if "const" in node else node["enum"][0]
        if node.get("type") == "array":
            return [self._made(node["items"])]
        properties = node.get("properties", {})
        keys = node.get("required") or list(properties)[:1]
        return {key: self.of(name, key, properties[key]) for key in keys}

    def _typed(self, value: Any, node: Schema) -> Any:
        """Return an example, whose scalars are texts, as an editor's YAML reader sees it: numbers as numbers."""
        _, node = self._resolved(node)
        if isinstance(value, list):
            return [self._typed(one, node.get("items", {})) for one in value]
        if isinstance(value, dict):
            known, other = node.get("properties", {}), node.get("additionalProperties", {})
            rest = other if isinstance(other, dict) else {}
            return {key: self._typed(one, known.get(key, rest)) for key, one in value.items()}
        kinds = {node.get("type"), *(branch.get("type") for branch in node.get("anyOf", ()))}
        if kinds & {"integer", "number"} or 1 in node.get("enum", ()):
            try:
                return int(value) if str(value).isdigit() else float(value)
            except ValueError:
                return value
        return value

    def _resolved(self, node: Schema) -> tuple[str, Schema]:
        """Return the name and the schema of what a node refers to; of several the first that is not null."""
        branches = [one for one in node.get("anyOf", ()) if one != {"type": "null"}]
        if len(branches) == 1 or any("$ref" in one for one in branches):
            return self._resolved(next((one for one in branches if "$ref" in one), branches[0]))
        if "$ref" in node:
            name = node["$ref"].rpartition("/")[2]
            return name, self._resolved(self._defs[name])[1]
        return "", node


def _said(examples: _Examples, name: str, key: str, *, node: Schema) -> Schema:
    """Return a key's schema with its words before what its type says of units and range, and with its example."""
    word = examples.word(name, key)
    if word is None:
        return node
    of_type = _of_type(node)
    text = f"{word[0]} {of_type[0].upper()}{of_type[1:]}." if of_type else word[0]
    return {**node, "description": text, "examples": [examples.of(name, key, node)]}


def _of_type(node: Schema) -> str:
    """Return what the type of a value, or of the items of a list, says of it; empty for nothing."""
    inner = [node, *node.get("anyOf", ()), node.get("items", {})]
    return next((one["description"] for one in inner if "description" in one), "")


def _types(model: type[BaseModel]) -> Iterator[type[BaseModel]]:
    """Yield a type and those of all that it holds."""
    seen, left = {model}, [model]
    while left:
        yield (one := left.pop())
        held = {type_ for field in one.model_fields.values() for type_ in _held(field.annotation)} - seen
        seen |= held
        left += held


def _held(annotation: Any) -> Iterator[type[BaseModel]]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    for inner in get_args(annotation):
        yield from _held(inner)

"""A validation error in words a writer understands: what is wrong, and what would be right."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterable
from typing import Any

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from generator.read.yaml.shapes import is_scalar, keys_of

_SHOWN = 60  # characters of a writer's text that a message repeats
# A key of older files -> the key that holds it now, and how.
_REPLACED = {
    "accepts": (
        "decisions",
        "decisions: [{finding, kind: accepted, by, why, date, until, at: {the figures that the finding shows}}]",
    ),
    "earthing": ("system", "system: TN-S"),
}
_ABOUT_SHAPE = {"model_type", "tuple_type", "dict_type"}
# What would be right, by pydantic's type of error; the braces name what pydantic tells of it.
_EXPECTED = {
    "quantity": "{expected}",
    "entry": "{expected}",
    "literal_error": "write {expected}",
    "string_type": "write a text",
    "string_too_short": "write a text",
    "tuple_type": "write a list, each item on a line that starts with '- '",
    "dict_type": "write one 'name: value' a line",
    "too_short": "write at least {min_length}",
    "too_long": "write at most {max_length}",
    "greater_than_equal": "write at least {ge}",
    "less_than_equal": "write at most {le}",
}


def words(error: ErrorDetails, shape: Any) -> tuple[str, str]:
    """Return (wrong, expected) for a pydantic error about a value of type `shape`."""
    value = error["input"]
    if value == "":
        wrong = "this has no value"
    elif isinstance(value, list | dict) and (is_scalar(shape) or error["type"] in _ABOUT_SHAPE):
        wrong = f"a {'list' if isinstance(value, list) else 'mapping'} stands here"
    else:
        wrong = _clipped(_wrong(error), value)
    return wrong, _expected(error, shape)


def unknown_key(key: str, shape: Any) -> tuple[str, str]:
    """Return (wrong, expected) for a key that the mapping at `shape` does not have."""
    known = keys_of(shape)
    now, form = _REPLACED.get(key, ("", ""))
    if now in known:
        return f"'{key}' is written '{now}' now", f"write {form}"
    near = nearest(key, known)
    expected = f"the nearest known key is '{near}'" if near else f"the keys here are {listed(known)}"
    return _clipped(f"'{key}' is no key here", key), expected


def missing_key(shape: Any) -> tuple[str, str]:
    """Return (wrong, expected) for a key that must be there and is not."""
    return "this key is missing", f"add it: {_asked_for(shape)}"


def unknown(word: str, what: str, known: Collection[str]) -> tuple[str, str]:
    """Return (wrong, expected) for a word that names none of the `known` ones, each of which is `what`."""
    near = nearest(word, known)
    return f"'{word}' is not {what}", f"the nearest is '{near}'" if near else f"write one of {listed(known)}"


def nearest(word: str, known: Iterable[str]) -> str | None:
    """Return the known word that a writer most likely meant, or None when none is near."""
    near = difflib.get_close_matches(word[:_SHOWN], list(known), n=1, cutoff=0.6)
    return near[0] if near else None


def listed(names: Iterable[str]) -> str:
    """Return names as a list in words: 'a', 'b' and 'c'."""
    quoted = [f"'{name}'" for name in names] or ["none"]
    return quoted[0] if len(quoted) == 1 else f"{', '.join(quoted[:-1])} and {quoted[-1]}"


def _wrong(error: ErrorDetails) -> str:
    kind, value = error["type"], error["input"]
    if kind in ("quantity", "entry"):
        return str(error["ctx"]["wrong"])
    if kind in ("too_short", "too_long"):
        return "there is 1 item here" if len(value) == 1 else f"there are {len(value)} items here"
    if kind == "literal_error":
        return f"'{value}' is not one of the words for this"
    if kind in _ABOUT_SHAPE:
        return f"the text '{value}' stands here"
    return f"'{value}' is not allowed here"


def _expected(error: ErrorDetails, shape: Any) -> str:
    if error["type"] == "model_type":
        return f"write the keys {listed(keys_of(shape))}"
    template = _EXPECTED.get(error["type"])
    return template.format_map(error.get("ctx", {})) if template else error["msg"]


def _asked_for(shape: Any) -> str:
    """Return what a key of this type asks for: what its type says of an empty value."""
    try:
        TypeAdapter(shape).validate_python("")
    except ValidationError as error:
        return _expected(error.errors(include_url=False)[0], shape)
    return "write its value"


def _clipped(words: str, value: Any) -> str:
    if not isinstance(value, str) or (len(value) <= _SHOWN and value.isprintable()):
        return words
    shown = value if len(value) <= _SHOWN else f"{value[:_SHOWN]}…"
    return words.replace(value, "".join(char if char.isprintable() else "␣" for char in shown))

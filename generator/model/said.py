"""Texts for readers that compute names and leaves to the words of content/words/figures."""

from __future__ import annotations

from collections.abc import Mapping

REASON = "because-"  # before the code of a reason, in the key of its text


class Said(str):
    """A text by the key of its words, with the values for their places. Stands where any text may until it is worded.

    Equal where key and values are. It cannot be written into another text: its words are not known yet.
    """

    __slots__ = ("key", "values")
    key: str
    values: Mapping[str, str | float]

    def __new__(cls, key: str, values: Mapping[str, str | float]) -> Said:
        """Return the text of this key with these values."""
        said = super().__new__(cls, "".join((key, *(f" {name}={_given(value)}" for name, value in values.items()))))
        said.key, said.values = key, values
        return said

    def __str__(self) -> str:
        """TypeError."""
        raise TypeError(f"the words of '{self.key}' are not put in yet")

    def __format__(self, _spec: str) -> str:
        """TypeError."""
        return str(self)


def _given(value: str | float) -> str:
    """Return a value with its length. Not quoted: quotes in quotes would double at every level of texts in texts."""
    return "".join((f"{len(value)}:", value)) if isinstance(value, str) else repr(value)


def say(key: str, /, **values: str | float) -> str:
    """Return the text of this key. A value is a name, a number that is shown as it stands, or such a text itself.

    The key is written out in the call, for `generator/said.py` reads there which texts are said.
    """
    return Said(key, values)


def because(code: str) -> str:
    """Return the text of the reason with this code, one of those that findings give too (content/findings/_shared)."""
    return Said(f"{REASON}{code}", {})

"""The words that readers see beside the prose of the pages: content/words, one file a kind, each with a closed list.

A file holds one text an entry. The entries are the fields of its class here, hyphens for underscores: what is missing,
misspelt or not used is refused.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from pydantic import ConfigDict, create_model

from generator.model.scalars import Strict, Text
from generator.model.state import STATES, State

Units = Literal["us", "si", "both"]


def _entry(field: str) -> str:
    return field.replace("_", "-")


class Entries(Strict):
    """Base of the files: an entry bears the name of its field, with hyphens."""

    model_config = ConfigDict(alias_generator=_entry)


class FigureWords(Entries):
    """Words that stand with a figure, on pages and cards alike."""

    or_more: Text


_OF_STATES: dict[str, Any] = {state.replace("-", "_"): (Text, ...) for state in STATES}

# The kinds of file, `<kind>.yaml`, each with its entries.
FILES: Mapping[str, type[Entries]] = {
    "states": create_model("StateWords", __base__=Entries, **_OF_STATES),
    "figures": FigureWords,
}


@dataclass(frozen=True, slots=True)
class Words:
    """The words of every kind, in the handbook's language."""

    states: Mapping[State, str]
    figures: FigureWords


@dataclass(frozen=True, slots=True)
class Style:
    """How a handbook shows figures to its readers: in which units, and in which words."""

    units: Units
    words: Words

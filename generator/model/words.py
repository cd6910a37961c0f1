"""The words that readers see beside the prose of the pages: content/words, one file a kind, each with a closed list.

A file holds one text an entry: what is missing, misspelt or not used is refused, and so is a text without one of the
places for values that its entry has, or with another.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Annotated, Any, Literal, get_args

from pydantic import AfterValidator, Field, create_model

from generator.model.scalars import Strict, Text, refuse
from generator.model.state import STATES, State

Units = Literal["us", "si", "both"]

FigureWord = Literal["or-more"]
DecisionWord = Literal[
    "owner",
    "authority",
    "owner-short",
    "authority-short",
    "accepted",
    "settled",
    "waived",
    "lapsed",
    "worse",
    "another",
    "late",
]
CardWord = Literal[
    "ground-nfpa70",
    "ground-iec60364",
    "supply",
    "phases",
    "single-phase",
    "three-phase",
    "length",
    "disconnect",
    "disconnect-in-sight",
    "disconnect-lockable",
    "disconnect-none",
    "torque",
    "basis",
    "terminals-rated",
    "lines-1-neutral",
    "lines-2",
    "lines-2-neutral",
    "lines-3",
    "lines-3-neutral",
    "earthing",
    "residual-current-device",
    "coldest-inlet",
    "warmest-inlet",
    "inlet-in",
    "current",
    "clamp-on",
    "amps",
    "window",
    "window-or-more",
    "left-out-some-checks",
    "left-out-a-reading",
    "left-out-checks",
    "left-out-damage",
    "left-out-some-flows",
    "left-out-remedies",
    "left-out-some-points",
    "left-out-units",
    "left-out-points",
    "left-out-consequences",
    "left-out-flows-between",
    "left-out-outlets",
    "left-out-stages",
    "left-out-stop-remedies",
]
ChangeWord = Literal[
    "new",
    "gone",
    "changed",
    "was",
    "now",
    "window-closed",
    "window-opened",
    "stepped-up",
    "stepped-down",
    "another-size",
    "new-since",
    "changed-since",
    "marked",
    "what-moved",
]
# The places for values that an entry has, none where it is not named.
_PLACES: Mapping[str, tuple[str, ...]] = {
    "terminals-rated": ("terminals",),
    "coldest-inlet": ("inlet",),
    "warmest-inlet": ("inlet",),
    "inlet-in": ("units",),
    "clamp-on": ("feeds",),
    "window": ("least", "greatest"),
    "window-or-more": ("least",),
    "was": ("text",),
    "now": ("text",),
    "new-since": ("release", "date"),
    "changed-since": ("release", "date"),
    "marked": ("sign",),
    "owner": ("by", "date", "why", "until"),
    "authority": ("authority", "document", "date", "why", "until"),
    "owner-short": ("by", "date", "until"),
    "authority-short": ("authority", "date", "until"),
}


def _with_places(places: tuple[str, ...], text: str) -> str:
    found = re.findall(r"\{(\w+)\}", text)
    if sorted(found) != sorted(places) or re.search(r"[{}]", re.sub(r"\{\w+\}", "", text)):
        expected = f"the places {', '.join(f'{{{place}}}' for place in places)}" if places else "a text without braces"
        raise refuse(f"'{text}' does not have the places for its values", f"write {expected}")
    return text


def _file(kind: str, entries: Iterable[str]) -> type[Strict]:
    fields: dict[str, Any] = {
        entry.replace("-", "_"): (
            Annotated[Text, AfterValidator(partial(_with_places, _PLACES.get(entry, ())))],
            Field(alias=entry),
        )
        for entry in entries
    }
    return create_model(f"{kind.capitalize()}Words", __base__=Strict, **fields)


# The kinds of file, `<kind>.yaml`, each with its entries.
FILES: Mapping[str, type[Strict]] = {
    "states": _file("states", STATES),
    "figures": _file("figures", get_args(FigureWord)),
    "card": _file("card", get_args(CardWord)),
    "changes": _file("changes", get_args(ChangeWord)),
    "decisions": _file("decisions", get_args(DecisionWord)),
}


@dataclass(frozen=True, slots=True)
class Words:
    """The words of every kind, in the handbook's language."""

    states: Mapping[State, str]
    figures: Mapping[FigureWord, str]
    card: Mapping[CardWord, str]
    changes: Mapping[ChangeWord, str]
    decisions: Mapping[DecisionWord, str]


@dataclass(frozen=True, slots=True)
class Style:
    """How a handbook shows figures to its readers: in which units, and in which words."""

    units: Units
    words: Words

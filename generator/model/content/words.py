"""The words that readers see beside the prose of the pages: content/words, one file a kind, each with a closed list.

A file holds one text an entry: what is missing, misspelt or not used is refused, and so is a text without one of the
places for values that its entry has, or with another.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import partial
from typing import Annotated, Any, Literal, get_args

from pydantic import Field, TypeAdapter, create_model
from pydantic_core import core_schema

from generator.model.content.calculator_words import CALCULATOR_PLACES, CalculatorWord
from generator.model.content.card_words import CARD_PLACES, CardWord
from generator.model.content.change_words import CHANGE_PLACES, ChangeWord
from generator.model.content.check_words import CHECK_PLACES, CheckWord
from generator.model.content.choice_words import CHOICES
from generator.model.content.comparison_words import COMPARED_PLACES, COMPARISONS, ComparedWord, Comparison
from generator.model.content.drawing_words import DRAWING_PLACES, DrawingWord
from generator.model.content.print.print_words import PRINT_PLACES
from generator.model.content.register_words import REGISTER_PLACES, RegisterWord
from generator.model.outlet_flows import SWITCHING, RowWord
from generator.model.scalars import Strict, Text, refuse
from generator.model.state import STATES, State

Units = Literal["us", "si", "both"]

FigureWord = Literal["or-more"]
# What stands on a page beside the prose of its template.
PageWord = Literal["page-code", "issue", "unreviewed", "in-english", "unreviewed-sheet"]
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
RecordWord = Literal[
    "head",
    "between",
    "at-least",
    "at-most",
    "over-inlet",
    "holds-at",
    "card",
    "is-yes",
    "expected",
    "interrupting",
    "lower-by",
    "flow",
    "result",
    "day",
    "proves",
]
StatusEntry = Literal["stop", "not-commissioned", "commissioned", "overdue"]
# The places for values that an entry has, none where it is not named.
_DECISION_PLACES: Mapping[DecisionWord, tuple[str, ...]] = {
    "owner": ("by", "date", "why", "until"),
    "authority": ("authority", "document", "date", "why", "until"),
    "owner-short": ("by", "date", "until"),
    "authority-short": ("authority", "date", "until"),
}
_RECORD_PLACES: Mapping[RecordWord, tuple[str, ...]] = {
    "head": ("site", "heater"),
    "between": ("least", "greatest"),
    "at-least": ("least",),
    "at-most": ("greatest",),
    "expected": ("value", "limits"),
    "over-inlet": ("limits",),
    "lower-by": ("fall",),
    "holds-at": ("limits", "at"),
}
_STATUS_PLACES: Mapping[StatusEntry, tuple[str, ...]] = {"commissioned": ("date", "due"), "overdue": ("due",)}
_PAGE_PLACES: Mapping[PageWord, tuple[str, ...]] = {
    "page-code": ("code",),
    "issue": ("publisher", "revision", "date"),
}


def _with_places(places: tuple[str, ...], text: str) -> str:
    found = re.findall(r"\{(\w+)\}", text)
    if sorted(found) != sorted(places) or re.search(r"[{}]", re.sub(r"\{\w+\}", "", text)):
        expected = f"the places {', '.join(f'{{{place}}}' for place in places)}" if places else "a text without braces"
        raise refuse(f"'{text}' does not have the places for its values", f"write {expected}")
    return text


def _on_paper(places: tuple[str, ...], text: str) -> str:
    if text.count("*") % 2:
        raise refuse(f"'{text}' has an asterisk without another", "put one before and one behind what is bold")
    return _with_places(places, text)


# What every entry is checked by, worked out once: for each of six hundred anew it took a tenth of a card's time.
_TEXT = TypeAdapter(Text).core_schema


@dataclass(frozen=True, slots=True)
class _Sound:
    """A text that is checked by a function besides."""

    check: Callable[[str], str]

    def __get_pydantic_core_schema__(self, _source: object, _handler: object) -> core_schema.CoreSchema:
        return core_schema.no_info_after_validator_function(self.check, _TEXT)


def _file(
    kind: str,
    entries: Iterable[str],
    places: Mapping[Any, tuple[str, ...]] | None = None,
    *,
    sound: Callable[[tuple[str, ...], str], str] = _with_places,
) -> type[Strict]:
    fields: dict[str, Any] = {
        re.sub(r"\W+", "_", entry): (
            Annotated[str, _Sound(partial(sound, (places or {}).get(entry, ())))],
            Field(alias=entry),
        )
        for entry in entries
    }
    return create_model(f"{kind.capitalize()}Words", __base__=Strict, **fields)


def _print() -> type[Strict]:
    """Return the file of print: the entries of a template under its name, with what stands between asterisks bold."""
    fields: dict[str, Any] = {
        template: (_file(template, places, places, sound=_on_paper), ...) for template, places in PRINT_PLACES.items()
    }
    return create_model("PrintWords", __base__=Strict, **fields)


# The kinds of file, `<kind>.yaml`, each with its entries.
FILES: Mapping[str, type[Strict]] = {
    "states": _file("states", STATES),
    "figures": _file("figures", get_args(FigureWord)),
    "pages": _file("pages", get_args(PageWord), _PAGE_PLACES),
    "rows": _file("rows", get_args(RowWord), {word: ("stage",) for word in SWITCHING}),
    "card": _file("card", get_args(CardWord), CARD_PLACES),
    "comparisons": _file("comparisons", COMPARISONS),
    "compared": _file("compared", get_args(ComparedWord), COMPARED_PLACES),
    "changes": _file("changes", get_args(ChangeWord), CHANGE_PLACES),
    "register": _file("register", get_args(RegisterWord), REGISTER_PLACES),
    "check": _file("check", get_args(CheckWord), CHECK_PLACES),
    "choices": _file("choices", CHOICES),
    "decisions": _file("decisions", get_args(DecisionWord), _DECISION_PLACES),
    "status": _file("status", get_args(StatusEntry), _STATUS_PLACES),
    "record": _file("record", get_args(RecordWord), _RECORD_PLACES),
    "drawings": _file("drawings", get_args(DrawingWord), DRAWING_PLACES),
    "calculator": _file("calculator", get_args(CalculatorWord), CALCULATOR_PLACES),
    "print": _print(),
}


@dataclass(frozen=True, slots=True)
class Words:
    """The words of every kind, in the handbook's language; `rules`: the title of each rule of findings."""

    states: Mapping[State, str]
    figures: Mapping[FigureWord, str]
    pages: Mapping[PageWord, str]
    rows: Mapping[RowWord, str]
    card: Mapping[CardWord, str]
    comparisons: Mapping[Comparison, str]
    compared: Mapping[ComparedWord, str]
    changes: Mapping[ChangeWord, str]
    check: Mapping[CheckWord, str]
    register: Mapping[RegisterWord, str]
    choices: Mapping[str, str]
    decisions: Mapping[DecisionWord, str]
    status: Mapping[StatusEntry, str]
    record: Mapping[RecordWord, str]
    drawings: Mapping[DrawingWord, str]
    calculator: Mapping[CalculatorWord, str]
    print: Mapping[str, Mapping[str, str]]
    rules: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Style:
    """How a handbook shows figures to its readers: in which units, and in which words."""

    units: Units
    words: Words

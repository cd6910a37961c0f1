"""Computed figures and how they carry their working.

A `Figure` is one number (or word, such as a conductor size) that a reader may act on, in SI, with the steps that led
to it and what it bounds, which decides the side it rounds to. A figure with no value says why in `reason`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Literal

from generator.model.said import Said
from generator.model.state import State
from generator.units import KINDS

_PLACE = re.compile(r"\{(\w+)\}")

Side = Literal["up", "down", "nearest"]
# What a number bounds: one must allow for at least so much (a demand, a load, the hottest water, a least flow), can
# count on at most so much (an allowance, what is left, the coldest water, a greatest flow), or neither.
BoundKind = Literal["at_least", "at_most", "neither"]
# The side that each rounds to when shown, which is the safe one: stated here and nowhere else.
SIDES: Mapping[BoundKind, Side] = {"at_least": "up", "at_most": "down", "neither": "nearest"}

# Kinds besides those of units.KINDS: a plain count, a text such as "8 AWG", a number without unit, a code of
# the YAML whose word stands in content/words/choices.yaml.
PLAIN_KINDS = ("count", "text", "number", "choice")
_KNOWN_KINDS = {*KINDS, *PLAIN_KINDS}


@dataclass(frozen=True, slots=True)
class Value:
    """A named number or text inside a sentence or a step: SI value of `kind`, and what it bounds."""

    symbol: str
    value: float | str
    kind: str
    bound: BoundKind = "neither"

    def __post_init__(self) -> None:
        _require_known(self.kind, self.bound)

    @property
    def side(self) -> Side:
        """The side that it rounds to when shown."""
        return SIDES[self.bound]


def _require_known(kind: str, bound: str) -> None:
    if kind not in _KNOWN_KINDS:
        raise ValueError(f"unknown kind of quantity {kind!r}")
    if bound not in SIDES:
        raise ValueError(f"unknown kind of bound {bound!r}")


# The values of one of several things that a sentence names, by symbol.
Row = Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class Step:
    """One line of working: the formula in symbols, the numbers put in, the result, and who says so."""

    formula: str
    inputs: tuple[Value, ...]
    result: Value
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class Figure:
    """A computed figure: stable `id` (dotted, unique in the results), `label` for readers, SI `value` of `kind`.

    `state` is "ok", or the code of why the value must not be used as it stands; `reason` puts it in words. `band`: the
    least and the greatest it can be over the band in which a sound heater works, where that is judged.
    """

    id: str
    label: str
    value: float | str | None
    kind: str
    bound: BoundKind = "neither"
    steps: tuple[Step, ...] = ()
    state: State = "ok"
    reason: str = ""
    band: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        _require_known(self.kind, self.bound)

    @property
    def side(self) -> Side:
        """The side that it rounds to when shown."""
        return SIDES[self.bound]


@dataclass(frozen=True, slots=True)
class FigureTable:
    """A table of figures: heads of rows and columns as values, cells as figures.

    `conditions` are the values that hold for the whole table, such as its inlet temperature, named for readers.
    """

    id: str
    title: str
    corner: str
    columns: tuple[Value, ...]
    rows: tuple[tuple[Value, tuple[Figure, ...]], ...]
    note: str = ""
    conditions: tuple[Value, ...] = ()


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence with places for values: `template` holds `{symbol}` for each of `values`.

    Compute names the shared sentence that it is to `say`, and leaves the template to the words. What a writer of the
    data wrote is a value, never part of the template: ValueError for a place without a value, and a brace that is none.
    """

    template: str
    values: tuple[Value, ...] = ()
    say: str = ""

    def __post_init__(self) -> None:
        if isinstance(self.template, Said):
            return
        unfilled = set(_PLACE.findall(self.template)) - {value.symbol for value in self.values}
        if unfilled or re.search(r"[{}]", _PLACE.sub("", self.template)):
            raise ValueError(f"a place without a value, or a brace that is none, in {self.template!r}")

    def filled(self, show: Callable[[Value], str]) -> tuple[tuple[str, bool], ...]:
        """Return the sentence piece by piece: its own words, and what `show` makes of its values (True)."""
        shown = {value.symbol: show(value) for value in self.values}
        pieces = _PLACE.split(self.template)
        return tuple((shown[piece], True) if place % 2 else (piece, False) for place, piece in enumerate(pieces))


Severity = Literal["ok", "attention", "stop"]


DecisionKind = Literal["accepted", "settled", "waived"]
Lapse = Literal["worse", "another", "late"]


@dataclass(frozen=True, slots=True)
class Decided:
    """What a person decided of a finding: who (a role or initials), why, since and until when (ISO dates), and what was
    found then: its case and the figures by name. A waiver names the authority and its document.

    `lapsed`: why it holds no longer; None where it does.
    """

    kind: DecisionKind
    by: str
    why: str
    date: str
    until: str
    case: str
    at: tuple[Value, ...]
    authority: str = ""
    document: str = ""
    lapsed: Lapse | None = None


@dataclass(frozen=True, slots=True)
class Finding:
    """A judgement: stable `id` (`<subject>.<rule>`), severity, both numbers, why, what to do, who says so.

    `subject` is the id of a site, or `model.<id>`.

    `line` says what was found in a line, `short` why it matters and what to do; both are empty of what passed. `act`
    says in a line what to do about a stop.
    `case` is what the rule found, with its `values` and `lists` of values: what compute asks a finding for. `title` (of
    the rule), `found`, `why` and `do` are its words, put in after compute. `decision` is what a person decided of it.
    """

    id: str
    rule: str
    severity: Severity
    subject: str
    found: Sentence
    why: Sentence
    do: Sentence
    source: str
    decision: Decided | None = None
    line: Sentence = Sentence("")
    short: Sentence = Sentence("")
    act: Sentence = Sentence("")
    case: str = ""
    values: tuple[Value, ...] = ()
    lists: Mapping[str, tuple[Row, ...]] = field(default_factory=dict)
    title: str = ""

    @property
    def decided(self) -> bool:
        """Whether a decision about it holds."""
        return self.decision is not None and self.decision.lapsed is None

    @property
    def standing(self) -> str:
        """The severity, and behind it the kind of the decision that holds, or that one has lapsed."""
        if self.decision is None:
            return self.severity
        return f"{self.severity}, {self.decision.kind if self.decided else 'lapsed'}"

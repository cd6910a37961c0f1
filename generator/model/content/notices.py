"""Safety notices as data (content/notices/*.yaml): what a notice says, when it applies and where it must appear.

Signal words, the three elements (hazard, consequence, avoidance) and the four forms of message follow ANSI Z535.6-2011
(from memory): DANGER will, WARNING could kill or seriously injure; CAUTION could injure less; NOTICE is about damage,
never about injury, and never carries the safety alert symbol.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any, Literal, Self

from pydantic import Field, field_validator, model_validator

from generator.model.figures import Sentence
from generator.model.scalars import Identifier, Strict, Text, refuse

Signal = Literal["danger", "warning", "caution", "notice"]
SIGNALS: tuple[Signal, ...] = ("danger", "warning", "caution", "notice")
Form = Literal["supplemental", "grouped", "section", "embedded"]

# The shape of each symbol drawn for the notices, after ISO 7010: a warning sign stands for an injury.
SYMBOLS = {
    "general": "warning",
    "electricity": "warning",
    "hot-water": "warning",
    "hot-surface": "warning",
    "freezing": "warning",
    "read-manual": "mandatory",
    "disconnect": "mandatory",
    "earth": "mandatory",
    "no-pvc": "prohibition",
}

# What a trigger may ask, and what the answer depends on; compute/verdict/notice_facts.py answers each,
# compute/active_notices.py words it.
FACTS: dict[str, Literal["model", "site"]] = {
    "always": "model",
    "several-feeds": "model",
    "several-ratings": "model",
    "three-phase-model": "model",
    "neutral-lead": "model",
    "stage-selector": "model",
    "indoor-enclosure": "model",
    "freezing-place": "site",
    "outdoor-place": "site",
    "wet-place": "site",
    "bathing-place": "site",
    "public-fixture": "site",
    "aluminum-conductor": "site",
    "three-phase-supply": "site",
    "check-valve": "site",
    "us-basis": "site",
    "iec-basis": "site",
    "disconnect-out-of-sight": "site",
    "no-disconnect": "site",
    "existing-circuit": "site",
    "hard-water": "site",
    "flow-window": "site",
    "limit-below-hottest": "site",
}

# Value places that a `because` sentence may hold, by what they depend on.
MODEL_VALUES = frozenset(
    {"model", "feeds", "ratings", "cut_out", "greatest_inlet", "greatest_outlet", "working_least", "working_greatest"}
)
SITE_VALUES = MODEL_VALUES | {
    "site",
    "hottest",
    "limit",
    "target",
    "voltage",
    "winter_inlet",
    "summer_inlet",
    "static_pressure",
    "hardness",
    "circuits",
    "place",
}

INJURY = re.compile(
    r"\b(injur\w*|kill\w*|death|die[sd]?|scald\w*|electrocut\w*|shocks?|burns? (skin|people)|hurts?)\b", re.I
)
GRAVE = re.compile(r"\b(kill|death|fatal\w*|serious(ly)? (injur\w*|burn\w*))\b", re.I)
LIGHT = re.compile(r"\b(minor|moderate)\b", re.I)
_PLACE = re.compile(r"\{(\w*)\}")


def known_fact(fact: str) -> str:
    """Return the name of a fact; refuse one that no facts hold."""
    if fact not in FACTS:
        raise refuse(f"'{fact}' is not a fact", f"one of {', '.join(FACTS)}")
    return fact


class Trigger(Strict):
    """One condition under which a notice applies: a fact, or a finding's rule at one of some severities.

    `because` is the sentence that says so at the site, with `{value}` places filled there.
    """

    fact: Text | None = None
    finding: Identifier | None = None
    severities: tuple[Literal["ok", "attention", "stop"], ...] = ()
    because: str = ""

    @field_validator("fact")
    @classmethod
    def _known_fact(cls, fact: str | None) -> str | None:
        return fact if fact is None else known_fact(fact)

    @model_validator(mode="after")
    def _one_condition(self) -> Self:
        if (self.fact is None) == (self.finding is None):
            raise refuse("the trigger names not exactly one condition", "either `fact` or `finding`", "fact")
        if self.finding is not None and not self.severities:
            raise refuse("the finding has no severities", "one or more of ok, attention, stop", "severities")
        if self.fact != "always" and not self.because:
            raise refuse("the reader is not told why the notice applies", "a sentence in `because`", "because")
        return self

    @model_validator(mode="after")
    def _known_places(self) -> Self:
        allowed = MODEL_VALUES if self.needs == "model" else SITE_VALUES
        for name in self.places:
            if name not in allowed:
                raise refuse(f"'{{{name}}}' has no value here", f"one of {', '.join(sorted(allowed))}", "because")
        return self

    @property
    def needs(self) -> Literal["model", "site"]:
        """What must be known before the trigger can be judged."""
        return FACTS[self.fact] if self.fact is not None else "site"

    @property
    def places(self) -> tuple[str, ...]:
        """The names of the value places in `because`, each once, in order."""
        return tuple(dict.fromkeys(_PLACE.findall(self.because)))


class AvoidanceWhere(Strict):
    """A way to avoid the hazard that only some heaters or sites offer: what to do, and the fact it depends on."""

    fact: Text
    do: Text

    @field_validator("fact")
    @classmethod
    def _known_fact(cls, fact: str) -> str:
        return known_fact(fact)


class Brief(Strict):
    """A notice in one line, for where it is not told in full.

    `part`: which part of the first page of a site or heater holds the work it guards.
    """

    part: Literal["wire", "water", "heat", "start"] | None = None
    line: Text


class Notice(Strict):
    """One safety notice.

    `appears` maps a page to the form the notice must take there: a page's id, or `site`, `model`, `symptom`, `card`.
    `avoidance_where` are told after `avoidance`, except where their fact is known not to hold. `brief` says the
    same in one line.
    """

    id: Identifier
    signal: Signal
    symbol: Text | None = None
    hazard: Text
    consequence: Text
    avoidance: tuple[Text, ...] = Field(min_length=1)
    avoidance_where: tuple[AvoidanceWhere, ...] = ()
    brief: Brief
    appears: dict[str, Form] = Field(min_length=1)
    when: tuple[Trigger, ...] = Field(min_length=1)
    source: Text

    @field_validator("when", mode="before")
    @classmethod
    def _always(cls, when: Any) -> Any:
        return ({"fact": "always"},) if when == "always" else when

    @field_validator("symbol")
    @classmethod
    def _known_symbol(cls, symbol: str | None) -> str | None:
        if symbol is not None and symbol not in SYMBOLS:
            raise refuse(f"'{symbol}' is not a symbol", f"one of {', '.join(SYMBOLS)}")
        return symbol

    @model_validator(mode="after")
    def _part_of_a_page(self) -> Self:
        if bool({"site", "model"} & self.appears.keys()) != (self.brief.part is not None):
            expected = "`part` where `site` or `model` is among `appears`, and only there"
            raise refuse("the notice's part and the pages it appears on do not agree", expected, "brief", "part")
        return self

    @model_validator(mode="after")
    def _signal_fits(self) -> Self:
        for key, wrong, expected in self._misfits():
            raise refuse(wrong, expected, key)
        return self

    def _misfits(self) -> Iterator[tuple[str, str, str]]:
        """Yield (key, what is wrong, what is expected) for words or symbols that do not fit the signal word."""
        words = {"hazard": self.hazard, "consequence": self.consequence, "avoidance": " ".join(self.avoidance)}
        words["avoidance_where"] = " ".join(entry.do for entry in self.avoidance_where)
        words["brief"] = self.brief.line
        if self.signal == "notice":
            if self.symbol is not None and SYMBOLS[self.symbol] == "warning":
                yield "symbol", "a NOTICE carries a warning sign", "no symbol, or a mandatory or prohibition sign"
            for key, text in words.items():
                if found := INJURY.search(text):
                    yield key, f"a NOTICE speaks of injury ('{found.group()}')", "damage only, or another signal word"
            return
        yield from self._consequence_misfits()

    def _consequence_misfits(self) -> Iterator[tuple[str, str, str]]:
        text, signal = self.consequence, self.signal
        if signal in ("danger", "warning") and not GRAVE.search(text):
            yield "consequence", f"a {signal.upper()} names no death or serious injury", "what can happen to a person"
        if signal == "danger" and not re.search(r"\bwill\b", text):
            yield "consequence", "a DANGER does not say 'will'", "what will happen if it is not avoided"
        if signal != "danger" and re.search(r"\bwill\b", text):
            yield "consequence", f"a {signal.upper()} says 'will'", "'could', or the signal word DANGER"
        if signal == "caution" and (GRAVE.search(text) or not LIGHT.search(text)):
            yield "consequence", "a CAUTION must name a minor or moderate injury", "a minor or moderate injury only"

    @property
    def alert_symbol(self) -> bool:
        """Whether the safety alert symbol stands before the signal word: never with NOTICE."""
        return self.signal != "notice"

    @property
    def rank(self) -> int:
        """Place in the order of signal words, the most severe first."""
        return SIGNALS.index(self.signal)


@dataclass(frozen=True, slots=True)
class ActiveNotice:
    """A notice that applies somewhere, the form it takes there, and the sentence that says why (may be empty)."""

    notice: Notice
    form: Form
    because: Sentence = Sentence("")


class NoticeFile(Strict):
    """One file of notices about one subject, the most severe first."""

    title: Text
    notices: tuple[Notice, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _most_severe_first(self) -> Self:
        for index in range(1, len(self.notices)):
            if self.notices[index].rank < self.notices[index - 1].rank:
                wrong = f"a {self.notices[index].signal.upper()} stands below a less severe notice"
                raise refuse(wrong, "the most severe notices first", "notices", index, "signal")
        return self

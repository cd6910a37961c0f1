"""Fault finding as data (content/faults/*.yaml): symptoms, their causes in order, checks, remedies and when to stop.

Causes stand by least risk and then by least time, so that the first yes is the cheapest to find and the safest.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal, Self

from pydantic import Field, field_validator, model_validator

from generator.model.content.comparison_words import QUESTION_VALUES, Comparison
from generator.model.content.notices import known_fact
from generator.model.figures import Sentence, Value
from generator.model.scalars import Count, Identifier, Strict, Text, YesNo, refuse

Effort = Literal["hands", "tools", "cover off"]
Who = Literal["anyone", "instructed person", "licensed plumber", "licensed electrician"]
_EFFORTS: tuple[Effort, ...] = ("hands", "tools", "cover off")


# The safe state for hands in the panel, whose bars stay live while only the heater's own device is off.
PANEL_DEAD = "panel-dead"
# Words of a step that has hands in the panel: the panel, its bars, or the device as a place to work at.
IN_THE_PANEL = re.compile(
    r"\b(panel(board)?|distribution board|(ground|neutral|bus) ?bars?|bars?"
    r"|(at|from|in|into|inside|of|off|to) the (overcurrent )?(device|breaker))\b",
    re.IGNORECASE,
)
_PLACE = re.compile(r"\{(\w*)\}")
_SAID_DEAD = re.compile(r"\bpanel locked out and proven dead\b", re.IGNORECASE)


class StateStep(Strict):
    """A step on the way to a safe state, and what must be seen before the next one."""

    do: Text
    expected: Text


class SafeState(Strict):
    """A state in which a check may be made, the steps that lead there, and another way where these cannot be done.

    `running`: the heater is switched on in it.
    """

    id: Identifier
    title: Text
    running: YesNo = False
    steps: tuple[StateStep, ...] = Field(min_length=1)
    second_way: tuple[StateStep, ...] = ()


class Cause(Strict):
    """A cause: a question whose yes names it, how to check, what to compare with, and the remedy.

    `here` is the question with places for figures of the heater or site, put where all of them are known. `minutes` is
    how long the answer takes; `where` are facts, of which one must hold for the cause to be possible at all.
    `safe_state` stands where the check needs another state than the symptom's own.
    """

    id: Identifier
    question: Text
    here: Text | None = None
    minutes: Count
    effort: Effort
    who: Who
    where: tuple[Text, ...] = ()
    safe_state: Identifier | None = None
    check: tuple[Text, ...] = Field(min_length=1)
    compare: tuple[Comparison, ...] = ()
    remedy: tuple[Text, ...] = Field(min_length=1)

    @field_validator("question", "here")
    @classmethod
    def _asks(cls, question: str | None) -> str | None:
        if question is not None and not question.endswith("?"):
            raise refuse(f"'{question}' is not a question", "a question whose answer is yes if this is the cause")
        return question

    @field_validator("question")
    @classmethod
    def _holds_everywhere(cls, question: str) -> str:
        if re.search(r"[{}]", question):
            raise refuse(f"'{question}' has a place for a figure", "a question for every heater; figures go in `here`")
        return question

    @field_validator("here")
    @classmethod
    def _names_figures(cls, here: str | None) -> str | None:
        named = _PLACE.findall(here or "")
        unknown = [name for name in named if name not in QUESTION_VALUES]
        if unknown or re.search(r"[{}]", _PLACE.sub("", here or "")):
            raise refuse(f"'{here}' has a place for no figure", f"places for {', '.join(QUESTION_VALUES)}")
        if here is not None and not named:
            raise refuse(f"'{here}' names no figure", "one or more {places}; without a figure leave `here` out")
        return here

    @field_validator("where")
    @classmethod
    def _known_facts(cls, where: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(map(known_fact, where))

    @model_validator(mode="after")
    def _cover_off_is_licensed(self) -> Self:
        if self.effort == "cover off" and self.who != "licensed electrician":
            raise refuse(f"the cover comes off for '{self.who}'", "licensed electrician", "who")
        if self.effort == "cover off" and self.safe_state is None:
            raise refuse("the cover comes off without a safe state", "the safe state for work inside", "safe_state")
        return self

    @model_validator(mode="after")
    def _panel_is_dead(self) -> Self:
        for key, index, text in self._worked():
            if IN_THE_PANEL.search(text) and not _SAID_DEAD.search(text):
                named = f"'{self.safe_state}'" if self.safe_state else "the safe state of the symptom"
                wrong = f"hands in the panel, whose bars stay live under {named}"
                right = f"safe_state: {PANEL_DEAD}, or in the step: with the panel locked out and proven dead"
                raise refuse(wrong, right, key, index)
        return self

    def _worked(self) -> Iterator[tuple[str, int, str]]:
        """Yield (key, place, text) of every step done with tools while the panel may be live."""
        if self.effort != "hands" and self.safe_state != PANEL_DEAD:
            yield from (("check", index, text) for index, text in enumerate(self.check))
            yield from (("remedy", index, text) for index, text in enumerate(self.remedy))

    @property
    def rank(self) -> tuple[int, int]:
        """Place in the order of asking: least risk first, and then least time."""
        return _EFFORTS.index(self.effort), self.minutes

    @property
    def places(self) -> tuple[str, ...]:
        """The figures that `here` names, each once, in order."""
        return tuple(dict.fromkeys(_PLACE.findall(self.here or "")))


class Symptom(Strict):
    """What a person sees, in the words they would use; the safe state to be in first; the causes in order.

    `while_off`: it can be looked into at a heater that must stay off.
    """

    id: Identifier
    title: Text
    order: Count
    also: tuple[Text, ...] = Field(min_length=1)
    safe_state: Identifier
    while_off: YesNo = False
    notices: tuple[Identifier, ...] = ()
    causes: tuple[Cause, ...] = Field(min_length=1)
    stop: tuple[Text, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _causes_in_order(self) -> Self:
        seen: set[str] = set()
        for index, cause in enumerate(self.causes):
            if cause.id in seen:
                raise refuse(f"the cause '{cause.id}' stands twice", "each id once in a symptom", "causes", index, "id")
            seen.add(cause.id)
            if index and cause.rank < self.causes[index - 1].rank:
                wrong = f"the cause '{cause.id}' takes less risk or less time than the one above it"
                raise refuse(
                    wrong, "by hand, then with tools, then cover off; in each the shortest first", "causes", index
                )
        return self


class SafeStates(Strict):
    """The file of safe states (content/faults/_safe_states.yaml)."""

    safe_states: tuple[SafeState, ...] = Field(min_length=1)


@dataclass(frozen=True, slots=True)
class Compared:
    """What a check is compared with: values named by their symbols, or why there are none."""

    values: tuple[Value, ...] = ()
    why: Sentence | None = None


@dataclass(frozen=True, slots=True)
class Asked:
    """A cause as it is asked about somewhere: its question there, and by key what its check is compared with."""

    cause: Cause
    question: Sentence
    compared: Mapping[str, Compared] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class AskedSymptom:
    """A symptom with the questions that are asked somewhere."""

    symptom: Symptom
    asked: tuple[Asked, ...]


@dataclass(frozen=True, slots=True)
class SymptomBook:
    """All of fault finding: the symptoms in reading order, and the safe states they and their causes name."""

    symptoms: tuple[Symptom, ...]
    safe_states: Mapping[str, SafeState]

    def everywhere(self, symptom: Symptom) -> AskedSymptom:
        """Return a symptom as it is asked about without a heater: every cause, without a figure."""
        return AskedSymptom(symptom, tuple(Asked(cause, Sentence(cause.question)) for cause in symptom.causes))

    def while_off(self) -> tuple[Symptom, ...]:
        """Return the symptoms of a heater that must stay off, with the causes that need no power to be found."""
        found = (
            one.model_copy(update={"causes": tuple(cause for cause in one.causes if not self._runs(one, cause))})
            for one in self.symptoms
            if one.while_off
        )
        return tuple(one for one in found if one.causes)

    def _runs(self, symptom: Symptom, cause: Cause) -> bool:
        return self.safe_states[cause.safe_state or symptom.safe_state].running

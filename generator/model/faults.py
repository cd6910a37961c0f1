"""Fault finding as data (content/faults/*.yaml): symptoms, their causes in order, checks, remedies and when to stop."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Literal, Self

from pydantic import Field, field_validator, model_validator

from generator.model.figures import Sentence, Value
from generator.model.scalars import Count, Identifier, Strict, Text, refuse

# What a check may be compared with, by key, and its label: of the heater as it is built ...
OF_MODEL = {
    "ratings": "Rated voltage and power",
    "supply-range": "Supply voltage of the ordinary range",
    "element-insulation": "Insulation of an element to ground",
    "closes-at": "Flow at which each stage closes",
    "opens-at": "Flow at which each stage opens again",
    "working-pressure": "Flowing pressure at the inlet",
    "head-loss": "Pressure loss through the heater, screen clean",
    "greatest-inlet": "Greatest inlet temperature",
    "greatest-outlet": "Greatest outlet temperature",
    "cut-out": "Temperature at which the cut-out opens",
    "maximum-device": "Greatest overcurrent device marked on the heater",
    "torque": "Tightening torque of the supply terminals",
}
# ... and of the heater where it hangs: its supply, its water and its limit differ from site to site.
AT_SITE = {
    "flow-window": "Flow window",
    "limit": "Limit temperature at the tap",
    "inlet": "Inlet temperature",
    "supply-voltage": "Supply voltage",
    "voltage-drop": "Voltage drop of the circuit, every stage closed",
    "stage-current": "Current with stages 1 to n closed",
    "lost-supply": "What is left with one line open or one feed off",
    "element-resistance": "Resistance of one stage's element",
}
COMPARISONS = OF_MODEL | AT_SITE

Likelihood = Literal["likely", "possible", "rare"]
Effort = Literal["hands", "tools", "cover off"]
Who = Literal["anyone", "instructed person", "licensed plumber", "licensed electrician"]
_LIKELIHOODS: tuple[Likelihood, ...] = ("likely", "possible", "rare")
_EFFORTS: tuple[Effort, ...] = ("hands", "tools", "cover off")


# The safe state for hands in the panel, whose bars stay live while only the heater's own device is off.
PANEL_DEAD = "panel-dead"
# Words of a step that has hands in the panel: the panel, its bars, or the device as a place to work at.
IN_THE_PANEL = re.compile(
    r"\b(panel(board)?|distribution board|(ground|neutral|bus) ?bars?|bars?"
    r"|(at|from|in|into|inside|of|off|to) the (overcurrent )?(device|breaker))\b",
    re.IGNORECASE,
)
_SAID_DEAD = re.compile(r"\bpanel locked out and proven dead\b", re.IGNORECASE)


class SafeState(Strict):
    """A state in which a check may be made, the steps that lead there, and another way where these cannot be done."""

    id: Identifier
    title: Text
    steps: tuple[Text, ...] = Field(min_length=1)
    second_way: tuple[Text, ...] = ()


class Cause(Strict):
    """A likely cause: a question whose yes names it, how to check, what to compare with, and the remedy.

    `safe_state` stands where the check needs another state than the symptom's own.
    """

    id: Identifier
    question: Text
    likelihood: Likelihood
    effort: Effort
    who: Who
    safe_state: Identifier | None = None
    check: tuple[Text, ...] = Field(min_length=1)
    compare: tuple[Text, ...] = ()
    remedy: tuple[Text, ...] = Field(min_length=1)

    @field_validator("question")
    @classmethod
    def _asks(cls, question: str) -> str:
        if not question.endswith("?"):
            raise refuse(f"'{question}' is not a question", "a question whose answer is yes if this is the cause")
        return question

    @field_validator("compare")
    @classmethod
    def _known_figures(cls, keys: tuple[str, ...]) -> tuple[str, ...]:
        for key in keys:
            if key not in COMPARISONS:
                raise refuse(f"'{key}' is not a figure of a heater", f"one of {', '.join(COMPARISONS)}")
        return keys

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
    def rank(self) -> int:
        """Place in the order of asking: likely and easy first."""
        return _LIKELIHOODS.index(self.likelihood) + _EFFORTS.index(self.effort)


class Symptom(Strict):
    """What a person sees, in the words they would use; the safe state to be in first; the causes, best first."""

    id: Identifier
    title: Text
    order: Count
    also: tuple[Text, ...] = Field(min_length=1)
    safe_state: Identifier
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
                wrong = f"the cause '{cause.id}' is likelier or easier than the one above it"
                raise refuse(wrong, "likely and easy causes first", "causes", index, "likelihood")
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
class FaultBook:
    """All of fault finding: the symptoms in reading order, and the safe states they and their causes name."""

    symptoms: tuple[Symptom, ...]
    safe_states: Mapping[str, SafeState]

    @property
    def labels(self) -> Mapping[str, str]:
        """What a check may be compared with, by key: the words that stand over it."""
        return COMPARISONS

    @property
    def at_site(self) -> Collection[str]:
        """The keys of what differs from site to site."""
        return AT_SITE.keys()

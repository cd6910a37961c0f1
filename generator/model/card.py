"""What stands on a printed card and on labels: chosen and ordered, every number still a figure in SI."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from typing import Literal, Self

from pydantic import Field, model_validator

from generator.model.faults import Compared
from generator.model.figures import Figure, FigureTable, Finding, Sentence, Value
from generator.model.scalars import Strict, Text, refuse
from generator.model.words import CardWord

# When a step is on a card: always, or at a site of which the word is true. Steps of a blocking condition stand alone.
StepCondition = Literal[
    "always", "selector", "higher-stage", "freezing", "no-valve", "mixing-valve", "no-window", "stopped"
]
BLOCKING: tuple[StepCondition, ...] = ("stopped", "no-window")

# The value places that a step's text may hold.
STEP_PLACES = ("least_volts", "greatest_volts", "least", "greatest", "stage", "torque", "limit", "current", "failed")
STATED_PLACES = {"purge_time": "purge-time", "leak_test_time": "leak-test-time"}  # place -> id of the stated value


class CardStep(Strict):
    """One action of a procedure and, where there is something to see, its expected result."""

    text: Text
    when: StepCondition = "always"

    @model_validator(mode="after")
    def _known_places(self) -> Self:
        for place in re.findall(r"\{(\w*)\}", self.text):
            if place not in (known := (*STEP_PLACES, *STATED_PLACES)):
                raise refuse(f"'{{{place}}}' has no value here", f"one of {', '.join(known)}", "text")
        return self


class CardSteps(Strict):
    """The procedures of the card (content/print/card_steps.yaml)."""

    start_up: tuple[CardStep, ...] = Field(min_length=1)
    shut_down: tuple[CardStep, ...] = Field(min_length=1)


@dataclass(frozen=True, slots=True)
class Worded:
    """One of the words of content/words/card.yaml, to be put in the handbook's language."""

    word: CardWord


@dataclass(frozen=True, slots=True)
class Fact:
    """A labelled fact of the circuit: a text of the inputs, a word, a value, or a figure."""

    label: CardWord
    value: str | Worded | Value | Figure


@dataclass(frozen=True, slots=True)
class CardCircuit:
    """One branch circuit as it is read off at the panel: computed, or, of an existing circuit, as it was found."""

    name: str
    device: Figure | Value
    poles: Figure | Value
    conductor: Figure | Value
    ground: Figure | Value
    load_current: Figure


@dataclass(frozen=True, slots=True)
class CardWire:
    """What a conductor's size holds for: metal and insulation, wiring method, and the least rating of the terminals.

    `conductors`: how many of that size are pulled beside the one to ground, and whether a neutral is among them.
    """

    metal: str
    insulation: str
    method: str
    terminals: Value
    conductors: CardWord


@dataclass(frozen=True, slots=True)
class CardStage:
    """Stages 1 to `number` closed: power at the site, the flow they close at, and the flow window.

    `currents`: what a clamp on each feed shows then, after the voltage drop, feed by feed, as
    CircuitResult.line_currents has them.
    `why_empty` says why no flow is in the window.
    """

    number: Value
    power: Figure
    currents: tuple[tuple[Figure, ...], ...]
    closes_at: Figure
    least: Figure | None
    greatest: Figure | None
    why_empty: Sentence | None = None


@dataclass(frozen=True, slots=True)
class CardCheck:
    """A symptom, the state to bring the heater into first, the first question and check, and what to compare with.

    `compare` holds labels with their values, or why there are none; with neither, they stand in the table of stages.
    """

    symptom: str
    state: str
    question: str
    check: str
    compare: tuple[tuple[str, Compared], ...]


@dataclass(frozen=True, slots=True)
class CardNotice:
    """A safety notice in short: signal word, whether the alert symbol stands before it, and the three elements."""

    id: str
    signal: str
    alert_symbol: bool
    hazard: str
    consequence: str
    avoidance: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CardHead:
    """Whose card it is: the site and heater, the handbook that made it, and where the site's page is.

    `page` is the path of the page without ending, such as sites/potting-shed; `address` its full address, if served.
    """

    site_id: str
    site: str
    heater: str
    heater_revision: str
    publisher: str
    contact: str
    handbook: str
    revision: str
    date: datetime.date
    language: str
    page: str
    address: str | None


@dataclass(frozen=True, slots=True)
class CardWater:
    """What the heater does with the water: flow window, hottest water, outlet tables, readings allowed, stages.

    `clamp`: the name of each feed with the lines that carry currents of their own, none where they carry the same.
    """

    window: CardStage
    hottest: Figure
    hottest_top: Figure | None
    hottest_above_limit: bool
    winter_inlet: Figure
    summer_inlet: Figure
    outlet_winter: FigureTable
    outlet_summer: FigureTable
    allowed: FigureTable | None
    stages: tuple[CardStage, ...]
    clamp: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True)
class Card:
    """A quick card with all that it may show; the print leaves out, in a fixed order, what its page does not hold.

    `stops` holds the failed checks for which the heater stays off, `decided` those that no longer forbid it.
    `circuits` is empty where a failed check voids their sizes, `water` None where the supply does not fit the heater.
    `feeds`: how many circuits feed the heater. `existing` is the circuit that is there already; `circuit_shown` says
    whose sizes stand as the heater's: those of one that fails its checks never do.
    """

    head: CardHead
    stops: tuple[Finding, ...]
    decided: tuple[Finding, ...]
    attentions: tuple[Finding, ...]
    circuits: tuple[CardCircuit, ...]
    feeds: int
    existing: CardCircuit | None
    circuit_shown: Literal["new", "as found", "to install", "none"]
    wire: CardWire
    ground_word: CardWord
    circuit_facts: tuple[Fact, ...]
    limit: Figure
    target: Figure
    water: CardWater | None
    start_up: tuple[Sentence, ...]
    shut_down: tuple[Sentence, ...]
    checks: tuple[CardCheck, ...]
    notices: tuple[CardNotice, ...]
    basis: str
    deferral: str

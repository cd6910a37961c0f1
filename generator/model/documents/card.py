"""What stands on a printed card and on labels: chosen and ordered, every number still a figure in SI."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import Literal

from generator.model.content.card_words import CardWord
from generator.model.content.notices import Signal
from generator.model.content.print.card_form import Content
from generator.model.content.words import Units
from generator.model.documents.drawings import WiringDrawing
from generator.model.figures import Figure, FigureTable, Finding, Sentence, Value
from generator.model.records import Status


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
class CardNotice:
    """A safety notice in the few words that a card has room for, and whether the alert symbol stands before it."""

    id: str
    signal: Signal
    alert_symbol: bool
    text: Sentence


@dataclass(frozen=True, slots=True)
class HeatRow:
    """A flow of the front's table: stages on, outlets at the coldest and the warmest inlet, what the flow stands for.

    `winter` is None where the table of the coldest inlet has no row for the flow, `summer` where the warmest has none.
    """

    flow: Value
    stages: int
    winter: Figure | None
    summer: Figure | None
    mark: CardWord | None


@dataclass(frozen=True, slots=True)
class StageRow:
    """A stage of the record: its feed, what a clamp shows on it once the stage is on, and the rise over the inlet [K].

    `currents` has one current, `between` which a sound heater's lies, or one a line where they differ. `rise` is None
    where the stage is not on at the flow that is set.
    """

    number: int
    feed: str
    currents: tuple[Value, ...]
    between: tuple[Value, Value] | None
    rise: Value | None


@dataclass(frozen=True, slots=True)
class CardRow:
    """A line of the record: what to do, and what must be seen; `expected` is None where a table says it."""

    id: str
    text: Sentence
    expected: Sentence | None


@dataclass(frozen=True, slots=True)
class CardPart:
    """A part of the back, in working order: its title, who does it, and its lines.

    `content` says what else it holds: the table of stages, of readings allowed, or the failed checks.
    """

    id: str
    title: Sentence
    who: str
    content: Content
    rows: tuple[CardRow, ...]


@dataclass(frozen=True, slots=True)
class CardLine:
    """What to do about a fault, or an accident: its name, and the text."""

    id: str
    name: str
    text: Sentence


@dataclass(frozen=True, slots=True)
class CardHead:
    """Whose card it is: the site and heater, the handbook that made it, and where the site's page is.

    `page` is the path of the page without ending, such as sites/potting-shed; `address` its full address, if served,
    and `pocket` that of its pocket page, to which the QR code leads; `logo`: a picture of content/assets.
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
    pocket: str | None
    logo: str | None = None


@dataclass(frozen=True, slots=True)
class CardWater:
    """What the heater does with the water.

    `selector`: the stage that the selector is set to, where there is one. `flow` is the working flow where it lies in
    the flow window, `behind_valve` whether a mixing valve alone keeps the limit; `clamp`: the lines that a clamp tells
    apart on every feed, none where they carry the same.
    """

    window: CardStage
    selector: Value | None
    flow: Figure | None
    hottest: Figure
    hottest_top: Figure | None
    met: Value | None
    hottest_above_limit: bool
    behind_valve: bool
    winter_inlet: Figure
    summer_inlet: Figure
    heat: tuple[HeatRow, ...]
    stages: tuple[StageRow, ...]
    allowed: FigureTable | None
    clamp: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CardPlace:
    """Where and whom: what a hand must find in a hurry. None is a line to fill by hand.

    `circuit_numbers`: the number in the panel of each circuit that feeds the heater. `notes` of the site, as written.
    """

    power_off: str | None = None
    water_off: str | None = None
    emergency: str | None = None
    maintenance: str | None = None
    serial: str | None = None
    permit: str | None = None
    panel: str | None = None
    circuit_numbers: tuple[str | None, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CardSince:
    """The card of the last release that this one takes the place of, and the figures on it that moved: old, new."""

    replaces: str
    moved: tuple[tuple[CardWord, str, str], ...]


@dataclass(frozen=True, slots=True)
class Card:
    """A quick card, front and back.

    `stops` holds the failed checks for which the heater stays off, `decided` those that no longer forbid it,
    `measured` those that rest on a record alone.
    `circuits` is empty where a failed check voids their sizes, `water` None where the supply does not fit the heater.
    `existing` is the circuit that is there already; `circuit_shown` says whose sizes stand as the heater's: those of
    one that fails its checks never do. `start_up`: whether the back holds the start-up, or what must be cleared first.
    `units`: those of the site's code. `feeds` names the circuits that feed the heater. `wiring` draws each of them.
    `code`: the one that it bears where that is not its own, as one in English beside another language.
    """

    head: CardHead
    units: Units
    status: Status
    place: CardPlace
    stops: tuple[Finding, ...]
    decided: tuple[Finding, ...]
    measured: tuple[Finding, ...]
    circuits: tuple[CardCircuit, ...]
    feeds: tuple[str, ...]
    existing: CardCircuit | None
    circuit_shown: Literal["new", "as found", "to install", "none"]
    wire: CardWire
    ground_word: CardWord
    circuit_facts: tuple[Fact, ...]
    wiring: tuple[WiringDrawing, ...]
    limit: Figure
    water: CardWater | None
    start_up: bool
    parts: tuple[CardPart, ...]
    lines: tuple[CardLine, ...]
    notices: tuple[CardNotice, ...]
    basis: str
    since: CardSince | None = field(default=None)
    code: str = ""

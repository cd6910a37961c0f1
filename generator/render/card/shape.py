"""The shape of a card as texts: the data of content/print/cards.typ, every number already text."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal, TypedDict

from generator.model.content.card_words import CardWord
from generator.render.by_language import Direction
from generator.render.card.qr_code import QrCode


class HeadTexts(TypedDict):
    """Whose card it is."""

    site: str
    heater: str
    heater_revision: str
    publisher: str
    contact: str
    handbook: str
    revision: str
    date: str
    page: str
    address: str | None
    logo: str | None


class StatusTexts(TypedDict):
    """Whether the heater stays off, nobody has proved it, or a record has; and the words for it."""

    kind: Literal["stop", "not-commissioned", "commissioned"]
    words: str


class PlaceTexts(TypedDict):
    """Where and whom; None is a line to fill by hand."""

    power_off: str | None
    water_off: str | None
    emergency: str | None
    maintenance: str | None
    serial: str | None
    permit: str | None
    panel: str | None
    circuit_numbers: list[str | None]
    notes: list[str]


class SinceTexts(TypedDict):
    """The code that the card replaces, and what moved: [name, old, new]."""

    replaces: str
    moved: list[list[str]]


class CircuitTexts(TypedDict):
    """The row of one circuit; breaker and wire also as [number, unit], for they are set large."""

    name: str
    device: str
    poles: str
    conductor: str
    ground: str
    device_parts: list[str]
    conductor_parts: list[str]


class WireTexts(TypedDict):
    """What the size of a conductor holds for."""

    kind: str
    conductors: str
    terminals: str
    method: str


class StopTexts(TypedDict):
    """A failed check: what was found and what to do, in brief, and who decided what about it."""

    title: str
    found: str
    do: str
    decision: str
    decision_short: str
    lapsed: str


class HeatTexts(TypedDict):
    """A row of the front's table; `mark` says what its flow stands for."""

    flow: str
    stages: str
    winter: str
    summer: str
    above: bool
    mark: str


class StageTexts(TypedDict):
    """A stage of the record: the amperes of each line, and the rise over the inlet, empty where it is not on."""

    number: str
    feed: str
    amps: list[str]
    rise: str


class WindowTexts(TypedDict):
    """The flow window, and its unit."""

    text: str
    unit: str


class AllowedTexts(TypedDict):
    """The table of readings allowed."""

    corner: str
    volts: list[str]
    rows: list[list[str]]


class WaterTexts(TypedDict):
    """What the heater does with the water; flow and hottest water as [number, unit]."""

    window: WindowTexts | None
    selector: str
    flow: list[str] | None
    hottest: list[str]
    met: bool
    or_more: str
    top: str
    above: bool
    behind_valve: bool
    worst: str
    winter: str
    summer: str
    flow_unit: str
    degree: str
    heat: list[HeatTexts]
    stages: list[StageTexts]
    clamp: list[str]
    allowed: AllowedTexts | None


class PartTexts(TypedDict):
    """A part of the back; `rows`: [what to do, what must be seen]."""

    id: str
    title: str
    who: str
    content: str
    rows: list[list[str]]


class NoticeTexts(TypedDict):
    """A safety notice in the words of the card."""

    signal: str
    alert_symbol: bool
    text: str


class CardTexts(TypedDict):
    """Everything that a card says; `facts`: [label, text] by name, `lines`: [name, text]."""

    head: HeadTexts
    status: StatusTexts
    measured: bool
    place: PlaceTexts
    since: SinceTexts | None
    stops: list[StopTexts]
    decided: list[StopTexts]
    feeds: list[str]
    circuits: list[CircuitTexts]
    circuit_shown: str
    existing: CircuitTexts | None
    wire: WireTexts
    ground_word: str
    facts: dict[CardWord, list[str]]
    limit: str
    water: WaterTexts | None
    start_up: bool
    parts: list[PartTexts]
    lines: list[list[str]]
    notices: list[NoticeTexts]
    basis: str


class PrintTexts(CardTexts):
    """A card with its revision code, and the QR code to its page."""

    code: str
    qr: QrCode | None


class DrawingTexts(TypedDict):
    """A drawing, and what is written in it; `ems`, `ems_high`: its size in sizes of its text."""

    svg: str
    alt: str
    said: list[str]
    ems: float
    ems_high: float


class SheetTexts(PrintTexts):
    """A card with the drawings that its back has where there is room."""

    wiring: list[DrawingTexts]


class Described(TypedDict):
    """What a printed file says of itself, and the words that its template sets; `keywords`: the codes of its cards."""

    title: str
    author: str
    description: str
    keywords: list[str]
    language: str
    direction: Direction
    words: Mapping[str, Mapping[str, str]]

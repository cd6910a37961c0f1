"""What stands on a printed commissioning and service record, beside what its site's card holds already."""

from __future__ import annotations

from dataclasses import dataclass

from generator.model.content.print.record_form import RecordContent
from generator.model.documents.card import Card
from generator.model.figures import Sentence, Value
from generator.model.records import Expected


@dataclass(frozen=True, slots=True)
class SheetField:
    """A field: what to do, and what is expected: a sentence, or the rows of the site's record, one a blank."""

    id: str
    text: Sentence
    expected: Sentence | None
    rows: tuple[Expected, ...] = ()


@dataclass(frozen=True, slots=True)
class SheetPart:
    """A part in working order: its title, who does it, its fields; `content`: which table it holds besides."""

    id: str
    title: Sentence
    who: str
    content: RecordContent
    fields: tuple[SheetField, ...]


@dataclass(frozen=True, slots=True)
class SheetStage:
    """With stages 1 to `number` on: the amps of each line of each feed, the rise (None where it is not on at the flow
    that is set), and the flows at which the stage switches."""

    number: int
    amps: tuple[Expected, ...]
    rise: Expected | None
    turns_on: Expected | None
    drops_out: Expected | None


@dataclass(frozen=True, slots=True)
class SheetValve:
    """The limiting valve of a fixture: its standard and setting, water at full and at least flow, that it shuts off."""

    fixture: str
    standard: Expected
    setting: Expected
    full_flow: Expected
    least_flow: Expected
    shuts_off: Expected


@dataclass(frozen=True, slots=True)
class RecordSheet:
    """A record to fill in: the card of its site, the parts, and the tables.

    `flow`: at which it is taken, None where none can be set; `bucket`: how long a bucket takes to fill at it. `stages`
    and `valves` are empty while the heater must not be started.
    """

    card: Card
    parts: tuple[SheetPart, ...]
    flow: Value | None
    bucket: Expected | None
    stages: tuple[SheetStage, ...]
    valves: tuple[SheetValve, ...]

"""What is read back of a results.json, another run's or a release's: as much of it as a comparison needs.

The file itself is written by assemble/results_json.py and described in DEVELOPERS.md; keys that are not named here are
passed over.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Literal

from pydantic import Field, TypeAdapter

from generator.model.figures import Severity, Side

FORMAT = "handbook-results"
FORMAT_VERSION = 1

Finite = Annotated[float, Field(allow_inf_nan=False)]


@dataclass(frozen=True, slots=True)
class StoredValue:
    """A named number or text: SI value of `kind`."""

    symbol: str
    value: Finite | str
    kind: str


@dataclass(frozen=True, slots=True)
class StoredFigure:
    """A computed figure without its working: SI value of `kind`, the side it rounds to, its state and the reason."""

    label: str
    value: Finite | str | None
    kind: str
    rounds: Side
    state: str
    reason: str


@dataclass(frozen=True, slots=True)
class StoredRow:
    """A row of a table: its head, and the ids of its figures."""

    head: StoredValue
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StoredTable:
    """A table of figures: what it is called and the heads of its columns and rows."""

    title: str
    columns: tuple[StoredValue, ...]
    rows: tuple[StoredRow, ...]


@dataclass(frozen=True, slots=True)
class StoredFinding:
    """A judgement as it stood: severity, the site it is about, and the owner's words where it was accepted."""

    severity: Severity
    subject: str
    accepted: str


@dataclass(frozen=True, slots=True)
class StoredCard:
    """What a quick card showed: the ids of its figures, and its words line by line."""

    figures: tuple[str, ...]
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StoredHandbook:
    """Which handbook it was: revision, date, and the units it showed."""

    revision: str
    date: datetime.date
    units: Literal["us", "si", "both"]


@dataclass(frozen=True, slots=True)
class StoredResults:
    """The results of one run. `codes`: {"card": {site id: code}, "page": {page id: code}}; a page or card without
    code was not made. `inputs`: {file: {dotted key: text}}. Tables are left out of a release."""

    format: str
    format_version: int
    generator: str
    handbook: StoredHandbook
    codes: Mapping[str, Mapping[str, str]]
    cards: Mapping[str, StoredCard]
    inputs: Mapping[str, Mapping[str, str]]
    figures: Mapping[str, StoredFigure]
    findings: Mapping[str, StoredFinding]
    tables: Mapping[str, StoredTable] = field(default_factory=dict)


RESULTS = TypeAdapter(StoredResults)

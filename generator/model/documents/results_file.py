"""The public results file, results.json: what stands in it, as another program may read it and as it is read back here.

It is written by assemble/results_json.py; the JSON Schema that `handbook schema` writes is made from these types. Keys
that are not named here are passed over. Values are SI, each with the name of its unit. What a release leaves out, to be
small, is optional.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from pydantic import Field, TypeAdapter

from generator.model.figures import DecisionKind, Severity, Side
from generator.model.state import State

FORMAT = "handbook-results"
FORMAT_VERSION = 2

Finite = Annotated[float, Field(allow_inf_nan=False)]


@dataclass(frozen=True, slots=True)
class StoredValue:
    """A named number or text: SI value of `kind`, in `unit`, and the side it rounds to."""

    symbol: str
    value: Finite | str
    unit: str
    kind: str
    rounds: Side = "nearest"


@dataclass(frozen=True, slots=True)
class StoredSentence:
    """A sentence with `{symbol}` in the place of each of its values."""

    template: str
    values: tuple[StoredValue, ...]


@dataclass(frozen=True, slots=True)
class StoredStep:
    """A line of working: formula, numbers put in, result, who says so, and what is to be noted."""

    formula: str
    inputs: tuple[StoredValue, ...]
    result: StoredValue
    source: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class StoredBand:
    """Both ends of what a figure can be over the band of supply, inlet and switching flows [SI]."""

    low: Finite
    high: Finite


@dataclass(frozen=True, slots=True)
class StoredFigure:
    """A computed figure: SI value of `kind`, in `unit`, the side it rounds to, the code of its state and the reason.

    A `state` other than ok says why the value must not be used as it stands.
    """

    label: str
    value: Finite | str | None
    unit: str
    kind: str
    rounds: Side
    state: State
    reason: str
    band: StoredBand | None = None
    working: tuple[StoredStep, ...] = ()


@dataclass(frozen=True, slots=True)
class StoredRow:
    """A row of a table: its head, and the ids of its figures."""

    head: StoredValue
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StoredTable:
    """A table of figures: what it is called, the heads of its columns and rows, and the values that hold for all."""

    title: str
    corner: str
    conditions: tuple[StoredValue, ...]
    columns: tuple[StoredValue, ...]
    rows: tuple[StoredRow, ...]
    note: str


@dataclass(frozen=True, slots=True)
class StoredAuthority:
    """The authority having jurisdiction that waives a rule, and the document in which it does."""

    name: str
    document: str


@dataclass(frozen=True, slots=True)
class StoredDecision:
    """What a person decided of a finding: who, why, since when, until when, at which case and figures.

    `lapsed` says why it holds no longer, null where it does. Whether its last day has passed is for the reader to
    judge. What an older format did not tell is null or empty; `authority` is null but for a waiver.
    """

    finding: str
    kind: DecisionKind
    by: str | None
    why: str
    date: datetime.date | None
    until: datetime.date | None
    case: str
    at: tuple[StoredValue, ...]
    authority: StoredAuthority | None
    lapsed: Literal["worse", "another"] | None

    @property
    def holds(self) -> bool:
        """Whether it holds."""
        return self.lapsed is None


@dataclass(frozen=True, slots=True)
class StoredFinding:
    """A judgement: the rule, which of its cases, how grave, and what was found; `line` says it in a line.

    `subject` is the id of a site, or `model.<id>`.

    `decision` is what a person decided of it, whether it holds or has lapsed. `case` is null where the rule names none.
    """

    rule: str
    case: str | None
    severity: Severity
    subject: str
    found: StoredSentence
    decision: StoredDecision | None

    @property
    def standing(self) -> str:
        """The severity, and behind it the kind of the decision that holds, or that one has lapsed."""
        if self.decision is None:
            return self.severity
        return f"{self.severity}, {self.decision.kind if self.decision.holds else 'lapsed'}"

    why: StoredSentence = StoredSentence("", ())
    do: StoredSentence = StoredSentence("", ())
    line: StoredSentence = StoredSentence("", ())
    source: str = ""


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
    """The results of one run. `codes`: {"card": {site id: code}, "page": {page id: code}}; a page or card without code
    was not made. `inputs`: {file: {dotted key: text}}, of site_data/ and of what the field reads of content/, where a
    key begins with the id of the notice, symptom or stated value. `records` (what was measured) and `decisions` are
    lists by site. Tables are left out of a release."""

    format: Literal["handbook-results"]
    format_version: Literal[2]
    generator: str
    handbook: StoredHandbook
    codes: Mapping[str, Mapping[str, str]]
    cards: Mapping[str, StoredCard]
    inputs: Mapping[str, Mapping[str, str]]
    figures: Mapping[str, StoredFigure]
    findings: Mapping[str, StoredFinding]
    records: Mapping[str, tuple[Mapping[str, Any], ...]]
    decisions: Mapping[str, tuple[StoredDecision, ...]]
    tables: Mapping[str, StoredTable] = field(default_factory=dict)


RESULTS = TypeAdapter(StoredResults)

"""What the records of a site come to: each visit as judged, and the status of the site."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Literal, get_args

from generator.model.figures import Value

RecordPart = Literal["water", "circuit", "start", "stages", "hottest", "valves", "end"]
StatusWord = Literal["stop", "not-commissioned", "commissioned"]
# Why a reading is doubtful, by code.
DOUBTS = ("calibration", "outlet-below-inlet", "range", "range-full-load", "range-hottest")
ProofLapse = Literal["worse", "another"]


@dataclass(frozen=True, slots=True)
class Expected:
    """What a field of a record is expected to hold.

    `item`: its code; `of`: what it is of, by the symbols feed, line, pair, stage and fixture; `value`: what is
    expected; `least` and `greatest`: between what it passes; `at`: what that holds for. `asked`: a commissioning needs
    it. A yes has the value 1. An outlet is given as the rise over the inlet of the day. `marked`: the texts of which
    one must be on a plate.
    """

    item: str
    part: RecordPart
    source: str
    of: tuple[Value, ...] = ()
    value: Value | None = None
    least: Value | None = None
    greatest: Value | None = None
    at: tuple[Value, ...] = ()
    asked: bool = True
    marked: tuple[str, ...] = ()

    def named(self, symbol: str) -> str:
        """Return what the field is of by its symbol, empty where it is of no such thing."""
        return next((str(value.value) for value in self.of if value.symbol == symbol), "")


@dataclass(frozen=True, slots=True)
class Lapsed:
    """A figure of a site that a record proved and that is worse or another now."""

    figure: str
    why: ProofLapse


@dataclass(frozen=True, slots=True)
class Doubt:
    """What makes a reading doubtful: one of DOUBTS, of which instrument (its key), at which point (from 1)."""

    code: str
    instrument: str = ""
    point: int | None = None


CauseCode = Literal[
    "power", "stage", "stage-off", "feed-off", "line-open", "supply", "flow-meter", "thermometer", "voltmeter", "clamp"
]

CAUSES: tuple[CauseCode, ...] = get_args(CauseCode)


@dataclass(frozen=True, slots=True)
class Cause:
    """One thing that could be otherwise than stated; `of`: which stage, feed or line it is."""

    code: CauseCode
    of: str = ""


@dataclass(frozen=True, slots=True)
class Estimate:
    """What a cause comes to by the readings, with its standard uncertainty: a ratio, of a thermometer an offset [K].

    Of power, stage and supply the true one over the stated one, of a flow meter the true flow over the one read, of a
    voltmeter the true volts over those read, of a clamp the amps read over the true ones, of a thermometer the rise
    read less the true one.
    """

    cause: Cause
    value: float
    deviation: float


@dataclass(frozen=True, slots=True)
class Explanation:
    """What may explain the readings of a visit: `causes`, none where all agrees, what they come to, and the fit.

    `agreement`: how often readings whose errors are as stated lie at least as far off. `scales` and `deviations`: by
    stage its power over the nameplate's, with the standard uncertainty; `whole` and `whole_deviation`: of all stages;
    `volts`: the true voltage over the one that the readings were predicted with; `flow`: the true flow over the one
    read; `offset_k`: the rise read less the true one [K].
    """

    causes: tuple[Cause, ...]
    estimates: tuple[Estimate, ...]
    chi2: float
    freedom: int
    agreement: float
    scales: tuple[float, ...]
    deviations: tuple[float, ...]
    whole: float
    whole_deviation: float
    volts: float
    flow: float
    offset_k: float


DecidingReading = Literal["volts-amps", "amps-by-stage", "bucket", "second-thermometer", "second-voltmeter", "none"]
DECIDING: tuple[DecidingReading, ...] = get_args(DecidingReading)


@dataclass(frozen=True, slots=True)
class Measured:
    """A quantity: its best estimate [SI] with the combined standard uncertainty."""

    best: float
    deviation: float

    @property
    def spread(self) -> float:
        """The expanded uncertainty: twice the standard one, about 95 in 100 (JCGM 100:2008, 6.2.1)."""
        return 2.0 * self.deviation


@dataclass(frozen=True, slots=True)
class PointResult:
    """One point as judged: number of stages on, flow [m3/s], inlet and outlet [K], the outlet that the nameplate
    predicts there [K], the power by flow and rise, and by volts and amps where they were read [W], and the one
    predicted [W]. `sound`: whether it is fitted."""

    stages: int
    flow: Measured
    inlet: Measured
    outlet: Measured
    predicted_k: float
    heat_w: Measured
    electric_w: Measured | None
    predicted_w: float
    sound: bool


@dataclass(frozen=True, slots=True)
class Visit:
    """One record as judged.

    `people`: the part, role and licence of each; `proves`: figures by name, `lapsed`: those of them that no longer
    stand as proved; `failed`: what did not pass, by the item of its row, or that the heater was found not fit;
    `missing`: what a commissioning asks for and this record does not hold; `doubts`: what makes its readings doubtful;
    `explanations`: those kept, `decides`: the one further reading that would tell them apart.
    """

    date: datetime.date
    kind: Literal["commissioning", "service"]
    next_check: datetime.date
    people: tuple[tuple[str, str, str], ...]
    proves: tuple[str, ...]
    lapsed: tuple[Lapsed, ...] = ()
    failed: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    points: tuple[PointResult, ...] = ()
    explanations: tuple[Explanation, ...] = ()
    decides: DecidingReading = "none"


@dataclass(frozen=True, slots=True)
class Status:
    """Where a site stands: STOP; or not commissioned; or commissioned on a day, its next check due on another.

    `findings`: the ids of what says so, the gravest first.
    """

    word: StatusWord
    findings: tuple[str, ...] = ()
    commissioned: datetime.date | None = None
    due: datetime.date | None = None

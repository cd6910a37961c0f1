"""What each drawing shows: values of the results and of the data, chosen in assemble/drawings, none worded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from generator.model.figures import Figure, Value
from generator.model.heater import LeadRole
from generator.model.water_results import Curve, PressurePlace

Shown = Figure | Value


@dataclass(frozen=True, slots=True)
class Switching:
    """A stage with the flows at which it turns on and below which it drops out."""

    stage: int
    turns_on: Shown
    drops_out: Shown


@dataclass(frozen=True, slots=True)
class OutletDrawing:
    """The outlet of a site against the flow.

    `curves`: by stages on, at the coldest and at the warmest inlet. `hottest`: the hottest water and its flow;
    `window`: its ends, none while no flow may be set; `at_work`: the flow of the fixtures, outlet in winter and summer.
    """

    curves: tuple[Curve, ...]
    switching: tuple[Switching, ...]
    inlets: tuple[Figure, Figure]
    limit: Figure
    target: Figure
    hottest: tuple[Figure, Figure] | None
    window: tuple[Figure | None, Figure | None]
    at_work: tuple[Figure, Figure, Figure] | None


Role = LeadRole  # of a conductor: the lead of the heater that it goes to


@dataclass(frozen=True, slots=True)
class DrawnWire:
    """A conductor: the lead it goes to with that lead's colour, its own colour by the basis ("": by none), its size,
    and whether the breaker opens it."""

    role: Role
    lead_colour: str
    colour: str
    size: Shown
    switched: bool


@dataclass(frozen=True, slots=True)
class DrawnElement:
    """The element of a stage, and the conductors it stands across: two, or all three lines."""

    stage: int
    across: tuple[Role, ...]


Guard = Literal["stated", "to fit", "ask", "none", "too large"]
CircuitState = Literal["new", "as found", "to install", "nameplate"]


@dataclass(frozen=True, slots=True)
class WiringDrawing:
    """A feed from its breaker to the elements.

    `feed`: its name, empty where the heater has one. `guard`: what is known of a residual-current or ground-fault
    device, with its rating where one is stated. `disconnect`: as the site states it. `panel`, `breaker`: what stands on
    the panel's door, and the numbers of the feed's circuit there, empty where nobody has stated them.
    """

    feed: str
    state: CircuitState
    american: bool
    device: Shown
    poles: Shown
    wires: tuple[DrawnWire, ...]
    elements: tuple[DrawnElement, ...]
    torque: Figure
    guard: Guard
    guard_rating: str
    disconnect: Literal["in sight", "lockable", "none"]
    panel: str = ""
    breaker: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read over what was predicted, with its expanded uncertainty; whether by volts and amps."""

    electric: bool
    share: float
    spread: float


@dataclass(frozen=True, slots=True)
class ReadingsDrawing:
    """A visit's points by the stages on at each. `band`: between which parts a sound one lies, where stated."""

    date: str
    points: tuple[tuple[int, tuple[Reading, ...]], ...]
    band: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class LinesDrawing:
    """Curves that share their axes, with a level that they are held against and its name, where there is one."""

    title: str
    curves: tuple[Curve, ...]
    level: Value | None = None


@dataclass(frozen=True, slots=True)
class RiseDrawing:
    """The rise of a model over the flow at one line of its nameplate."""

    title: str
    curves: tuple[Curve, ...]
    switching: tuple[Switching, ...]


@dataclass(frozen=True, slots=True)
class RangeDrawing:
    """Which model serves which rise at which flow: by the model's title, its curves at the first line of its
    nameplate, and the flow [m3/s] at which each of its stages turns on."""

    models: tuple[tuple[str, tuple[Curve, ...], tuple[float, ...]], ...]


@dataclass(frozen=True, slots=True)
class YearDrawing:
    """The inlet of each month [K], and the hottest water that it gives, against the limit."""

    months: tuple[str, ...]
    inlet_k: tuple[float, ...]
    hottest_k: tuple[float, ...]
    limit: Figure
    coldest: Figure
    warmest: Figure
    hottest: Figure


@dataclass(frozen=True, slots=True)
class BurnDrawing:
    """How soon hot water burns, as published: by document what it describes, and its rows (temperature [K], time [s]);
    and the hottest water of a site, as stated and at the top of the band."""

    tables: tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
    hottest: Figure
    top: Figure | None


@dataclass(frozen=True, slots=True)
class PressureDrawing:
    """The pressure along the way of the water, and between which pressures the flow switches work."""

    along: tuple[PressurePlace, ...]
    least: Value
    greatest: Value
    working_flow: Figure
    at_work: Figure
    at_rest: Figure


PartKind = Literal[
    "supply",
    "pipe",
    "shutoff",
    "turn-down",
    "union",
    "screen",
    "check",
    "meter",
    "backflow",
    "softener",
    "filter",
    "hose",
    "regulator",
    "test-point",
    "drain",
    "expansion",
    "relief",
    "heater",
    "mixing",
    "fixture",
]


@dataclass(frozen=True, slots=True)
class PipePart:
    """A part of the pipework, `branch`: on the way to which fixture, 0 while all water runs through it. `named`: what
    the data call it, or its size; `count`: how many alike stand there; `standing`: there, or asked for by a finding
    that forbids the heater ("to fit") or leaves a question ("ask")."""

    kind: PartKind
    hot: bool
    named: str = ""
    count: int = 1
    length: Value | None = None
    standing: Literal["there", "to fit", "ask"] = "there"
    branch: int = 0


@dataclass(frozen=True, slots=True)
class PipingDrawing:
    """The way of the water from the supply to the fixtures, in the order of flow, then each fixture's own branch."""

    parts: tuple[PipePart, ...]


@dataclass(frozen=True, slots=True)
class MountingDrawing:
    """The outline of a model [m] with the free space that it asks for, and its water connections by their sides."""

    title: str
    outline: tuple[Value, Value, Value]
    above: Value
    below: Value
    sides: Value
    front: Value
    connections: tuple[tuple[bool, str, str], ...]

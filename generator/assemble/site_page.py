"""What the first page of a site shows besides its facts: the outlet row by row, the wires of each feed, open points."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from generator.assemble.facts import SiteFacts
from generator.compute.verdict.set_flow import can_be_set
from generator.compute.verdict.status import status
from generator.model.documents.card import CardCircuit
from generator.model.documents.drawings import Role
from generator.model.documents.walk import walk
from generator.model.figures import Figure, Finding, Value
from generator.model.finding_rules import NOT_JUDGED, STOP_NOT_JUDGED
from generator.model.heater import HeaterModel
from generator.model.outlet_flows import DROPS_OUT, GREATEST, LEAST, TURNS_ON, WORKING, switching
from generator.model.records import Status
from generator.model.results import Conductors, SiteResult

if TYPE_CHECKING:
    from generator.assemble.documents import SiteView

Stand = Literal["turns-on", "drops-out", "working", "least", "greatest"]
# The leads of a heater by the lines that a connection takes, and the names of the lines.
_LEADS: Mapping[int, tuple[Role, ...]] = {
    1: ("line", "line 1"),
    2: ("line 1", "line 2"),
    3: ("line 1", "line 2", "line 3"),
}


@dataclass(frozen=True, slots=True)
class FlowRow:
    """One flow: what it stands for (with the stage that switches there), stages on, outlet in winter and in summer."""

    flow: Value
    stands: tuple[tuple[Stand, int], ...]
    on: Figure
    winter: Figure
    summer: Figure

    @property
    def working(self) -> bool:
        """Whether the fixtures run at this flow."""
        return any(stand == "working" for stand, _ in self.stands)


@dataclass(frozen=True, slots=True)
class Wire:
    """One conductor of a feed: the heater's lead it goes to, that lead's colour, and whether the breaker opens it."""

    lead: Role
    colour: str
    switched: bool


@dataclass(frozen=True, slots=True)
class FeedWires:
    """A feed: its circuit as it is shown, and its conductors in order, the one to ground last."""

    circuit: CardCircuit
    wires: tuple[Wire, ...]


@dataclass(frozen=True, slots=True)
class SitePage:
    """What the page shows. `status`: where the site stands, `measured` what its readings forbid or leave open.
    `figures`: every figure of the site by its id without the site's own part.

    `set_flow`: the flow to set, where the fixtures' own lies in the window that leads; `window_ends` the ends of that
    window; `at_work` the flow of the fixtures with the outlet in winter and in summer; `allowed` the hottest reading
    allowed at the stated voltage, by inlet. `stops` are the failed checks for which it stays off, `decided` no longer
    do, `open` are to be settled, `passed` counts the rest.
    """

    status: Status
    measured: tuple[Finding, ...]
    figures: Mapping[str, Figure]
    rows: tuple[FlowRow, ...]
    set_flow: Figure | None
    window_ends: tuple[Figure | None, Figure | None]
    at_work: tuple[Figure, Figure, Figure] | None
    allowed: tuple[tuple[Value, Figure], ...]
    feeds: tuple[FeedWires, ...]
    stops: tuple[Finding, ...]
    decided: tuple[Finding, ...]
    open: tuple[Finding, ...]
    passed: int

    @property
    def failed(self) -> tuple[Finding, ...]:
        """What the readings forbid."""
        return tuple(found for found in self.measured if found.severity == "stop")


def site_page(view: SiteView) -> SitePage:
    """Return what the first page of a site shows."""
    result, decided = view.result, view.decided
    stops = tuple(sorted(view.stays_off, key=_waits))
    measured = [found for found in result.measured if found.severity != "ok"]
    judged = {found.id for found in (*stops, *decided)}
    rows, window = tuple(_rows(result, bool(stops))), view.window
    rest = tuple(found for found in result.findings if found.severity != "ok" and found.id not in judged)
    return SitePage(
        status=status(result),
        measured=tuple(sorted(measured, key=lambda found: found.severity != "stop")),
        figures={one.id.removeprefix(f"site.{result.id}."): one for one in walk(result, Figure)},
        rows=rows,
        set_flow=None if stops else _set_flow(view),
        window_ends=(window.least, window.greatest) if can_be_set(window) and not stops else (None, None),
        at_work=_at_work(result, rows),
        allowed=tuple(_allowed(result)),
        feeds=tuple(_feeds(view.facts, result, view.heater)),
        stops=stops,
        decided=decided,
        open=tuple(sorted(rest, key=lambda found: (found.decided, _waits(found)))),
        passed=sum(found.severity == "ok" for found in result.findings),
    )


def _waits(found: Finding) -> bool:
    """Whether a finding is judged only when another is settled, which is told first."""
    return found.case in (NOT_JUDGED, STOP_NOT_JUDGED)


def _rows(result: SiteResult, off: bool) -> Iterator[FlowRow]:
    """Yield the rows; while the heater stays off, none that is there for a flow to set alone."""
    table = result.outlet_by_flow
    for head, (on, winter, summer) in table.rows if table else ():
        stands = tuple(_stands(head.symbol, len(result.stages)))
        kept = tuple(one for one in stands if not off or one[0] not in ("least", "greatest"))
        if kept:
            yield FlowRow(head, kept, on, winter, summer)


def _stands(symbol: str, stages: int) -> Iterator[tuple[Stand, int]]:
    names: dict[str, tuple[Stand, int]] = {WORKING: ("working", 0), LEAST: ("least", 0), GREATEST: ("greatest", 0)}
    for number in range(1, stages + 1):
        names[switching(TURNS_ON, number)] = ("turns-on", number)
        names[switching(DROPS_OUT, number)] = ("drops-out", number)
    return (names[name] for name in symbol.split(", ") if name in names)


def _set_flow(view: SiteView) -> Figure | None:
    window, water = view.window, view.result.water
    if water is None or not can_be_set(window):
        return None
    least, flow, greatest = (one.value for one in (window.least, water.working_flow, window.greatest))
    if not isinstance(least, float) or not isinstance(flow, float):
        return None
    return water.working_flow if least <= flow <= (greatest if isinstance(greatest, float) else flow) else None


def _at_work(result: SiteResult, rows: tuple[FlowRow, ...]) -> tuple[Figure, Figure, Figure] | None:
    if result.water is None:
        return None
    flow = result.water.working_flow
    return next(((flow, row.winter, row.summer) for row in rows if row.working), None)


def _allowed(result: SiteResult) -> Iterator[tuple[Value, Figure]]:
    for head, cells in result.allowed.rows if result.allowed else ():
        yield from ((head, cell) for cell in cells if cell.id.endswith(".volts-stated"))


def _feeds(facts: SiteFacts, result: SiteResult, heater: HeaterModel) -> Iterator[FeedWires]:
    shown = (facts.existing,) if facts.circuit_shown == "as found" else facts.circuits
    for circuit, computed in zip(shown, result.circuits, strict=False):
        if circuit is not None:
            poles = circuit.poles.value
            wires = wires_of(
                heater, computed.conductors, poles=0 if poles is None or isinstance(poles, str) else int(poles)
            )
            yield FeedWires(circuit, tuple(wires))


def wires_of(heater: HeaterModel, conductors: Conductors, *, poles: int) -> Iterator[Wire]:
    """Yield the conductors of a feed in order, the one to ground last; `poles`: how many the breaker opens."""
    colours: dict[Role, str] = {lead.role: lead.colour for lead in heater.electrical.leads}
    lines = [role for role in _LEADS[conductors.lines] if role in colours][: conductors.lines]
    roles: list[Role] = [*lines, "neutral"] if conductors.neutral else lines
    for place, role in enumerate(roles):
        yield Wire(role, colours.get(role, ""), place < poles)
    yield Wire("ground", colours.get("ground", ""), False)

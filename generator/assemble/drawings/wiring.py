"""The wiring of each feed: of a site as its circuit is shown there, of a model by each line of its nameplate."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from generator.assemble.documents import ModelView, SiteView
from generator.assemble.site_page import Wire, wires_of
from generator.model.documents.drawings import CircuitState, DrawnElement, DrawnWire, Guard, Role, Shown, WiringDrawing
from generator.model.figures import Figure, Finding
from generator.model.heater import HeaterModel, Rating
from generator.model.results import CircuitResult, Conductors
from generator.model.tables.basis_header import BasisHeader

GUARDS = ("ground-fault-protection", "residual-current-protection")
# What the cases of these rules come to: a device asked for outright, or to be asked about; else none is named.
ASKED: Mapping[str, Guard] = {
    "asked": "to fit",
    "asked-perhaps": "ask",
    "building-not-stated": "ask",
    "local": "ask",
    "neither-stated": "ask",
    "system-not-stated": "ask",
    "device-not-stated": "ask",
    "it-system": "ask",
    "too-large": "too large",
}
PAIRS: Mapping[str, tuple[Role, ...]] = {
    "L1-L2": ("line 1", "line 2"),
    "L2-L3": ("line 2", "line 3"),
    "L3-L1": ("line 3", "line 1"),
}
LINES: tuple[Role, ...] = ("line 1", "line 2", "line 3")


def site_wiring(view: SiteView) -> tuple[WiringDrawing, ...]:
    """Return a drawing a feed; none where no circuit may be built."""
    result, heater, header = view.result, view.heater, view.basis.header
    device, asked = view.spec.supply.residual_current_device, _guard(result.findings)
    states: Mapping[str, CircuitState] = {"as found": "as found", "to install": "to install"}
    high_leg = view.spec.supply.system == "high-leg delta"
    drawn = []
    for feed, circuit in zip(view.first_page.feeds, result.circuits, strict=False):
        shown = feed.circuit
        sizes = shown.conductor, shown.ground
        drawn.append(
            WiringDrawing(
                feed=circuit.name if len(result.circuits) > 1 else "",
                state=states.get(view.facts.circuit_shown, "new"),
                american=header.family == "nfpa70",
                device=shown.device,
                poles=shown.poles,
                wires=tuple(_drawn(feed.wires, sizes, header, high_leg=high_leg)),
                elements=tuple(_elements(heater, circuit.name, circuit.conductors)),
                torque=result.torque,
                guard="stated" if device and asked != "too large" else asked,
                guard_rating=device or "",
                disconnect=view.spec.place.disconnect,
                panel=view.spec.supply.panel.label or "",
                breaker=view.spec.circuit_numbers.get(circuit.name, ""),
            )
        )
    return tuple(drawn)


def model_wiring(view: ModelView) -> tuple[tuple[Rating, tuple[WiringDrawing, ...]], ...]:
    """Return the drawings of its feeds by each line of the nameplate for which a circuit was computed."""
    count = len(view.spec.electrical.feeds)
    by_rating = (
        (rating, view.result.circuits[place * count : (place + 1) * count])
        for place, rating in enumerate(view.spec.ratings)
    )
    drawn = (
        (rating, tuple(_of_model(view, one) for one in circuits if one.device.value is not None))
        for rating, circuits in by_rating
    )
    return tuple((rating, feeds) for rating, feeds in drawn if feeds)


def _of_model(view: ModelView, circuit: CircuitResult) -> WiringDrawing:
    header, poles = view.basis.header, _count(circuit.poles)
    wires = wires_of(view.spec, circuit.conductors, poles=poles)
    return WiringDrawing(
        feed=circuit.name if len(view.spec.electrical.feeds) > 1 else "",
        state="nameplate",
        american=header.family == "nfpa70",
        device=circuit.device,
        poles=circuit.poles,
        wires=tuple(_drawn(tuple(wires), (circuit.conductor, circuit.ground), header)),
        elements=tuple(_elements(view.spec, circuit.name, circuit.conductors)),
        torque=view.result.torque,
        guard="none",
        guard_rating="",
        disconnect="in sight",
    )


def _count(poles: Figure) -> int:
    return 0 if poles.value is None or isinstance(poles.value, str) else int(poles.value)


def _drawn(
    wires: tuple[Wire, ...], sizes: tuple[Shown, Shown], header: BasisHeader, *, high_leg: bool = False
) -> Iterator[DrawnWire]:
    """Yield the conductors. On a high-leg delta the second of three lines is the high leg; of two either may be, and
    neither is given a colour."""
    colours, leads = header.conductor_colours, {wire.lead for wire in wires}
    either = high_leg and leads >= set(LINES[:2]) and LINES[2] not in leads
    for wire in wires:
        role: Role = wire.lead
        told = None if either and role in LINES else colours
        colour = told.of(role, high_leg=high_leg and role == "line 2") if told else ""
        yield DrawnWire(role, wire.colour, colour, sizes[role == "ground"], wire.switched)


def _elements(heater: HeaterModel, feed: str, on: Conductors) -> Iterator[DrawnElement]:
    numbers = next((one.stages for one in heater.electrical.feeds if one.name == feed), ())
    to_neutral: Role = "line" if any(lead.role == "line" for lead in heater.electrical.leads) else "line 1"
    for number in numbers:
        across = (to_neutral, "neutral") if on.lines == 1 else LINES[: on.lines]
        pair = heater.stages[number - 1].lines
        yield DrawnElement(number, PAIRS[pair] if on.lines == 3 and pair else across)


def _guard(findings: tuple[Finding, ...]) -> Guard:
    cases = (one.case for one in findings if one.rule in GUARDS)
    return next((ASKED[case] for case in cases if case in ASKED), "none")

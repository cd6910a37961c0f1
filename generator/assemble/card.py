"""What one site's quick card may show, chosen and in order; render/card_fit.py settles how much fits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from generator.assemble.card_steps import shut_down, start_up
from generator.assemble.documents import SiteView
from generator.compute.verdict.built import UNFIT_SUPPLY
from generator.model.card import (
    Card,
    CardCheck,
    CardCircuit,
    CardHead,
    CardNotice,
    CardStage,
    CardSteps,
    CardWater,
    CardWire,
    Fact,
)
from generator.model.figures import Figure, FigureTable, Finding, Sentence, Value
from generator.model.notices import ActiveNotice
from generator.model.outlet_flows import Season, holds_reading, is_switching
from generator.model.results import CircuitResult, StageResult
from generator.model.settings import Settings
from generator.model.stated import Stated

FORBIDDEN = Sentence("Do not switch on: a check fails.")
GROUND_WORDS = {"nfpa70": "Ground wire", "iec60364": "Protective conductor"}
DISCONNECTS = {
    "in sight": "within sight of the heater",
    "lockable": "can be locked open",
    "none": "none stated: one is needed before work",
}


def card(
    settings: Settings,
    view: SiteView,
    notices: Iterable[ActiveNotice],
    checks: tuple[CardCheck, ...],
    steps: CardSteps,
    stated: Mapping[str, Stated],
) -> Card:
    """Return a site's card, from the notices and fault checks that apply there.

    Where the supply does not fit the heater it holds no figure computed at that supply, only the stop.
    """
    result, water = view.result, None if view.unfit_supply else card_water(view)
    stops = shown(view, view.stays_off)
    return Card(
        head=head(settings, view),
        stops=stops,
        accepted=shown(view, view.accepted),
        attentions=tuple(f for f in result.findings if f.severity == "attention") if water else (),
        circuits=() if view.must_not_be_built else tuple(map(card_circuit, result.circuits)),
        feeds=len(result.circuits),
        existing=None if view.unfit_supply else existing_circuit(view),
        wire=card_wire(view),
        ground_word=GROUND_WORDS[view.basis.header.family],
        circuit_facts=_circuit_facts(view),
        limit=bare(result.limit),
        target=bare(result.target),
        water=water,
        start_up=start_up(steps, view, stops, water.window if water else None, stated),
        shut_down=shut_down(steps, view),
        checks=checks if water else (),
        notices=tuple(map(card_notice, notices)),
        basis=f"{view.basis.header.document}, {view.basis.header.edition}",
        deferral=view.basis.header.deferral,
    )


def shown(view: SiteView, stops: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the failed checks that a card shows; where the supply does not fit, only that: the others rest on it."""
    return tuple(found for found in stops if not view.unfit_supply or found.rule in UNFIT_SUPPLY)


def card_water(view: SiteView) -> CardWater:
    """Return what the heater does with the water; no flow window while a failed check forbids switching on."""
    result, stages, in_use = view.result, card_stages(view), view.window.number
    return CardWater(
        window=stages[view.window.number - 1],
        hottest=bare(result.hottest),
        hottest_above_limit=view.too_hot,
        winter_inlet=bare(result.winter_inlet),
        summer_inlet=bare(result.summer_inlet),
        outlet_winter=outlets_in_use(result.outlet_winter, "winter", in_use),
        outlet_summer=outlets_in_use(result.outlet_summer, "summer", in_use),
        stages=stages,
        clamp=tuple((circuit.name, circuit.lines) for circuit in result.circuits),
    )


def head(settings: Settings, view: SiteView) -> CardHead:
    """Return whose card or label it is. The page's address points at the site's permanent id."""
    page = f"sites/{view.spec.id}"
    base = settings.base_address
    return CardHead(
        site_id=view.spec.id,
        site=view.spec.title,
        heater=view.heater.title,
        heater_revision=view.heater.revision,
        publisher=settings.publisher,
        contact=settings.contact,
        handbook=settings.title,
        revision=settings.revision,
        date=settings.date,
        language=settings.language,
        page=page,
        address=f"{base.rstrip('/')}/{page}.html" if base else None,
    )


def bare(figure: Figure) -> Figure:
    """Return the figure without its working, which no card has room for."""
    return replace(figure, steps=())


def card_circuit(circuit: CircuitResult) -> CardCircuit:
    """Return what a person at the panel reads off for one circuit."""
    return CardCircuit(
        name=circuit.name,
        device=bare(circuit.device),
        poles=bare(circuit.poles),
        conductor=bare(circuit.conductor),
        ground=bare(circuit.ground),
        load_current=bare(circuit.load_current),
    )


def card_wire(view: SiteView) -> CardWire:
    """Return what the sizes of the circuit hold for: without it, a size invites the cable that carries less."""
    route, method = view.spec.route, view.basis.methods.methods.get(view.spec.route.method)
    terminals_k = min(route.terminations_k, view.heater.electrical.terminals.temperature_k)
    return CardWire(
        metal=route.conductor,
        insulation=route.insulation,
        method=method.title if method else route.method,
        terminals=Value("terminals", terminals_k, "temperature", "down"),
    )


def existing_circuit(view: SiteView) -> CardCircuit | None:
    """Return the circuit that is there already, as the site describes it; None where one is laid new."""
    existing = view.spec.existing_circuit
    if existing is None:
        return None
    return CardCircuit(
        name="as found",
        device=Value("device", existing.device_a, "current"),
        poles=Value("poles", float(existing.poles), "count"),
        conductor=Value("conductor", existing.conductor, "text"),
        ground=Value("ground", existing.ground or "none", "text"),
        load_current=bare(view.result.circuits[0].load_current),
    )


def card_notice(active: ActiveNotice) -> CardNotice:
    """Return a safety notice as the card shows it: embedded, with the first thing to do; in any other form, whole."""
    notice = active.notice
    avoidance = notice.avoidance[:1] if active.form == "embedded" else notice.avoidance
    return CardNotice(notice.id, notice.signal, notice.alert_symbol, notice.hazard, notice.consequence, avoidance)


def card_stages(view: SiteView) -> tuple[CardStage, ...]:
    """Return a line for each number of closed stages, with its flow window where one was computed."""
    windows = {window.number: window for window in view.result.windows}
    forbidden = bool(view.stays_off)

    def line(stage: StageResult) -> CardStage:
        window = None if forbidden else windows.get(stage.number)
        return CardStage(
            number=Value("stages closed", float(stage.number), "count"),
            power=bare(stage.power),
            currents=tuple(tuple(map(bare, one.line_currents[stage.number - 1])) for one in view.result.circuits),
            closes_at=bare(stage.closes_at),
            least=bare(window.least) if window else None,
            greatest=bare(window.greatest) if window else None,
            why_empty=window.why_empty if window else FORBIDDEN,
        )

    return tuple(map(line, view.result.stages))


def outlets_in_use(table: FigureTable, season: Season, stages: int) -> FigureTable:
    """Return an outlet table as a card has room for it: the stages in use, without working.

    Of the switching flows it keeps those between which a reading is on the safe side (model/outlet_flows.py).
    """
    rows = (
        (head, tuple(map(bare, cells[:stages])))
        for head, cells in table.rows
        if not is_switching(head.symbol) or holds_reading(head.symbol, season, stages)
    )
    return replace(table, columns=table.columns[:stages], rows=tuple(rows))


def _circuit_facts(view: SiteView) -> tuple[Fact, ...]:
    route, supply = view.spec.route, view.spec.supply
    phases = "three-phase" if supply.phases == 3 else "single-phase"
    return (
        Fact("Supply", Value(f"{phases} supply", supply.voltage_v, "voltage")),
        Fact("Phases", phases),
        Fact("Length", Value("one way", route.length_m, "length", "up")),
        Fact("Disconnect", DISCONNECTS[view.spec.place.disconnect]),
        Fact("Terminal torque", view.result.torque),
        Fact("Basis", f"{view.basis.header.document} {view.basis.header.edition}"),
    )

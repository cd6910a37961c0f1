"""What one site's quick card may show, chosen and in order; render/card_fit.py settles how much fits."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from generator.assemble.card_steps import shut_down, start_up
from generator.assemble.documents import SiteView
from generator.assemble.facts import bare
from generator.compute.verdict.built import UNFIT_SUPPLY
from generator.compute.verdict.set_flow import selected_stage
from generator.model.card import (
    Card,
    CardCheck,
    CardHead,
    CardNotice,
    CardSteps,
    CardWater,
    Fact,
    Worded,
)
from generator.model.figures import FigureTable, Finding
from generator.model.notices import ActiveNotice
from generator.model.outlet_flows import Season, holds_reading, is_switching
from generator.model.settings import Settings
from generator.model.stated import Stated
from generator.model.words import CardWord

DISCONNECTS: Mapping[str, CardWord] = {
    "in sight": "disconnect-in-sight",
    "lockable": "disconnect-lockable",
    "none": "disconnect-none",
}
GROUNDS: Mapping[str, CardWord] = {"nfpa70": "ground-nfpa70", "iec60364": "ground-iec60364"}


def card(
    settings: Settings,
    view: SiteView,
    notices: Iterable[ActiveNotice],
    *,
    checks: tuple[CardCheck, ...],
    steps: CardSteps,
    stated: Mapping[str, Stated],
) -> Card:
    """Return a site's card, from the notices and fault checks that apply there.

    Where the supply does not fit the heater it holds no figure computed at that supply, only the stop.
    """
    result, facts, water = view.result, view.facts, card_water(view)
    stops = shown(view, view.stays_off)
    return Card(
        head=head(settings, view),
        stops=stops,
        decided=shown(view, view.decided),
        attentions=tuple(f for f in result.findings if f.severity == "attention") if water else (),
        circuits=facts.circuits,
        feeds=len(result.circuits),
        existing=facts.existing,
        circuit_shown=facts.circuit_shown,
        wire=facts.wire,
        ground_word=GROUNDS[view.basis.header.family],
        circuit_facts=_circuit_facts(view),
        limit=facts.limit,
        target=facts.target,
        water=water,
        start_up=start_up(steps, view, stops, window=water.window if water else None, stated=stated),
        shut_down=shut_down(steps, view),
        checks=checks if water else (),
        notices=tuple(map(card_notice, notices)),
        basis=f"{view.basis.header.document}, {view.basis.header.edition}",
        deferral=view.basis.header.deferral,
    )


def shown(view: SiteView, stops: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the failed checks that a card shows; where the supply does not fit, only that: the others rest on it."""
    return tuple(found for found in stops if not view.unfit_supply or found.rule in UNFIT_SUPPLY)


def card_water(view: SiteView) -> CardWater | None:
    """Return what the heater does with the water; None where the supply does not fit the heater."""
    result, facts, in_use = view.result, view.facts, selected_stage(view.spec, view.heater)
    if facts.window is None or facts.hottest is None:
        return None
    return CardWater(
        window=facts.window,
        hottest=facts.hottest,
        hottest_top=facts.hottest_top,
        hottest_above_limit=facts.too_hot,
        winter_inlet=facts.winter_inlet,
        summer_inlet=facts.summer_inlet,
        outlet_winter=outlets_in_use(result.outlet_winter, "winter", in_use),
        outlet_summer=outlets_in_use(result.outlet_summer, "summer", in_use),
        allowed=None if view.stays_off or view.window.why_empty else result.allowed and _bare_table(result.allowed),
        stages=facts.stages,
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


def card_notice(active: ActiveNotice) -> CardNotice:
    """Return a safety notice as the card shows it: embedded, with the first thing to do; in any other form, whole."""
    notice = active.notice
    avoidance = notice.avoidance[:1] if active.form == "embedded" else notice.avoidance
    return CardNotice(notice.id, notice.signal, notice.alert_symbol, notice.hazard, notice.consequence, avoidance)


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


def _bare_table(table: FigureTable) -> FigureTable:
    return replace(table, rows=tuple((head, tuple(map(bare, cells))) for head, cells in table.rows))


def _circuit_facts(view: SiteView) -> tuple[Fact, ...]:
    supply = view.spec.supply
    phases: CardWord = "three-phase" if supply.phases == 3 else "single-phase"
    protection: tuple[tuple[CardWord, str | None], ...] = (
        ("earthing", supply.earthing),
        ("residual-current-device", supply.residual_current_device),
    )
    return (
        Fact("supply", view.facts.supply),
        Fact("phases", Worded(phases)),
        *(Fact(label, stated) for label, stated in protection if stated is not None),
        Fact("length", view.facts.length),
        Fact("disconnect", Worded(DISCONNECTS[view.spec.place.disconnect])),
        Fact("torque", view.result.torque),
        Fact("basis", f"{view.basis.header.document} {view.basis.header.edition}"),
    )

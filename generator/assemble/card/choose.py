"""What one site's quick card shows, chosen and in order; content/print/card_front.typ settles how large."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from generator.assemble.card.back import Given, cautions, filled, lines, parts
from generator.assemble.card.heat import heat_rows, set_flow, stage_rows
from generator.assemble.documents import SiteView
from generator.assemble.drawings.wiring import site_wiring
from generator.assemble.facts import bare
from generator.compute.verdict.built import UNFIT_SUPPLY
from generator.compute.verdict.status import status
from generator.model.content.card_words import CardWord
from generator.model.content.notices import ActiveNotice
from generator.model.content.words import Units
from generator.model.documents.card import (
    Card,
    CardHead,
    CardPlace,
    CardWater,
    Fact,
    Worded,
)
from generator.model.figures import FigureTable, Finding
from generator.model.settings import Settings

DISCONNECTS: Mapping[str, CardWord] = {
    "in sight": "disconnect-in-sight",
    "lockable": "disconnect-lockable",
    "none": "disconnect-none",
}
TOO_LARGE = "residual-current-protection"  # the rule whose stop says that the device is
GROUNDS: Mapping[str, CardWord] = {"nfpa70": "ground-nfpa70", "iec60364": "ground-iec60364"}


def card(
    settings: Settings,
    view: SiteView,
    *,
    notices: Iterable[ActiveNotice],
    given: Given,
) -> Card:
    """Return a site's card, from the notices that apply there.

    Where the supply does not fit the heater it holds no figure computed at that supply, only the stop.
    """
    result, facts, stops = view.result, view.facts, shown(view, view.stays_off)
    at = filled(view, given)
    return Card(
        head=head(settings, view),
        units=site_units(settings, view),
        status=status(result),
        place=_place(view),
        stops=stops,
        decided=shown(view, view.decided),
        measured=tuple(found for found in result.measured if found.severity == "stop"),
        circuits=facts.circuits,
        feeds=tuple(circuit.name for circuit in result.circuits),
        existing=facts.existing,
        circuit_shown=facts.circuit_shown,
        wire=facts.wire,
        ground_word=GROUNDS[view.basis.header.family],
        circuit_facts=_circuit_facts(view),
        wiring=site_wiring(view),
        limit=facts.limit,
        water=card_water(view),
        start_up=at.starts,
        parts=parts(given.form, at),
        lines=lines(given.form, at),
        notices=cautions(given.form, at, notices),
        basis=f"{view.basis.header.document}, {view.basis.header.edition}",
    )


def site_units(settings: Settings, view: SiteView) -> Units:
    """Return the units of a site's card: the handbook's one kind, or those of the site's code."""
    if settings.units != "both":
        return settings.units
    return "us" if view.basis.header.family == "nfpa70" else "si"


def shown(view: SiteView, stops: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Return the failed checks that a card shows; where the supply does not fit, only that: the others rest on it."""
    return tuple(found for found in stops if not view.unfit_supply or found.rule in UNFIT_SUPPLY)


def card_water(view: SiteView) -> CardWater | None:
    """Return what the heater does with the water; None where the supply does not fit the heater."""
    result, facts = view.result, view.facts
    if facts.window is None or facts.hottest is None:
        return None
    off = bool(view.stays_off)
    unset = off or bool(view.window.why_empty)
    return CardWater(
        window=facts.window,
        selector=facts.window.number if view.heater.stage_selector else None,
        flow=set_flow(view),
        hottest=facts.hottest,
        hottest_top=facts.hottest_top if facts.met is None else None,
        met=facts.met,
        hottest_above_limit=facts.too_hot,
        behind_valve=not off and result.allowed is None,
        winter_inlet=facts.winter_inlet,
        summer_inlet=facts.summer_inlet,
        heat=() if off else heat_rows(view),
        stages=() if unset else stage_rows(view),
        allowed=None if unset else result.allowed and _bare_table(result.allowed),
        clamp=max((circuit.lines for circuit in result.circuits), key=len),
    )


def head(settings: Settings, view: SiteView) -> CardHead:
    """Return whose card or label it is. The page's address points at the site's permanent id."""
    page = f"sites/{view.spec.id}"
    base = settings.base_address and settings.base_address.rstrip("/")
    return CardHead(
        site_id=view.spec.id,
        site=view.spec.title,
        heater=view.heater.title,
        heater_revision=view.heater.revision,
        publisher=settings.imprint,
        contact=settings.contact,
        handbook=settings.title,
        revision=settings.revision,
        date=settings.date,
        language=settings.language,
        page=page,
        address=f"{base}/{page}.html" if base else None,
        pocket=f"{base}/pocket/{view.spec.id}.html" if base else None,
        logo=settings.logo,
    )


def _place(view: SiteView) -> CardPlace:
    spec = view.spec
    return CardPlace(
        power_off=spec.shutoffs.power,
        water_off=spec.shutoffs.water,
        emergency=spec.contacts.emergency,
        maintenance=spec.contacts.maintenance,
        serial=spec.serial_number,
        permit=spec.permit.number if spec.permit else None,
        panel=spec.supply.panel.label,
        circuit_numbers=tuple(spec.circuit_numbers.get(circuit.name) for circuit in view.result.circuits),
        notes=spec.notes,
    )


def _bare_table(table: FigureTable) -> FigureTable:
    return replace(table, rows=tuple((head, tuple(map(bare, cells))) for head, cells in table.rows))


def _circuit_facts(view: SiteView) -> tuple[Fact, ...]:
    supply = view.spec.supply
    phases: CardWord = "three-phase" if supply.phases == 3 else "single-phase"
    too_large = any(one.rule == TOO_LARGE and one.severity == "stop" for one in view.result.findings)
    protection: tuple[tuple[CardWord, str | None], ...] = (
        ("earthing", supply.earthing),
        ("residual-current-too-large" if too_large else "residual-current-device", supply.residual_current_device),
    )
    return (
        Fact("supply", view.facts.supply),
        Fact("phases", Worded(phases)),
        *(Fact(label, stated) for label, stated in protection if stated is not None),
        Fact("disconnect", Worded(DISCONNECTS[view.spec.place.disconnect])),
        Fact("torque", view.result.torque),
    )

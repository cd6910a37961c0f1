"""A card as the texts that Typst sets: every number through the one formatter, nothing left to compute."""

from __future__ import annotations

from dataclasses import replace

from generator.model.content.words import Style
from generator.model.documents.card import (
    Card,
    CardCircuit,
    CardNotice,
    CardPart,
    CardPlace,
    CardSince,
    CardStage,
    CardWater,
    CardWire,
    HeatRow,
    StageRow,
)
from generator.model.figures import Figure, FigureTable, Finding, Value
from generator.render.card.content import card_code
from generator.render.card.qr_code import QrCode
from generator.render.card.shape import (
    AllowedTexts,
    CardTexts,
    CircuitTexts,
    HeatTexts,
    NoticeTexts,
    PartTexts,
    PlaceTexts,
    PrintTexts,
    SinceTexts,
    StageTexts,
    StopTexts,
    WaterTexts,
    WindowTexts,
    WireTexts,
)
from generator.render.check.site_status import status_words
from generator.render.decisions import decision_short, decision_words, lapse_words
from generator.render.format import NBSP, or_more, show, show_quantity
from generator.render.typst_texts import breakable, fact_texts, head_texts, number_and_unit, sentence


def card_texts(card: Card, style: Style) -> CardTexts:
    """Return a card's texts as data for content/print/cards.typ, in the units of the card."""
    own = Style(card.units, style.words)
    return {
        "head": head_texts(card.head),
        "status": {"kind": card.status.word, "words": status_words(card.status, style.words)},
        "measured": bool(card.measured),
        "place": _place(card.place),
        "since": _since(card.since, own) if card.since else None,
        "stops": [_stop(finding, own) for finding in card.stops],
        "decided": [_stop(finding, own) for finding in card.decided],
        "feeds": list(card.feeds),
        "circuits": [circuit_texts(circuit, own) for circuit in card.circuits],
        "circuit_shown": card.circuit_shown,
        "existing": circuit_texts(card.existing, own) if card.existing else None,
        "wire": _wire(card.wire, own),
        "ground_word": own.words.card[card.ground_word],
        "facts": {
            fact.label: fact_texts(fact, _torque_style(own) if fact.label == "torque" else own)
            for fact in card.circuit_facts
        },
        "limit": show(card.limit, own),
        "water": _water(card.water, own) if card.water else None,
        "start_up": card.start_up,
        "parts": [_part(part, own) for part in card.parts],
        "lines": [[line.name, sentence(line.text, own)] for line in card.lines],
        "notices": [_notice(notice, own) for notice in card.notices],
        "basis": card.basis,
    }


def print_texts(card: Card, style: Style) -> PrintTexts:
    """Return a card's texts with their revision code, and the QR code to its pocket page.

    Its address carries the code, so that the page can tell whether the card in hand is still the one that holds.
    """
    code, address = card.code or card_code(card, style), card.head.pocket
    qr = QrCode(f"{address}#card={code}") if address else None
    return {**card_texts(card, style), "code": code, "qr": qr}


def circuit_texts(circuit: CardCircuit, style: Style) -> CircuitTexts:
    """Return one circuit as the texts of its row; breaker and wire as number and unit, for they are set large."""
    device, conductor = show(circuit.device, style), show(circuit.conductor, style)
    return {
        "name": breakable(circuit.name),
        "device": device,
        "poles": show(circuit.poles, style),
        "conductor": conductor,
        "ground": show(circuit.ground, style),
        "device_parts": _parts(device),
        "conductor_parts": _parts(conductor),
    }


def _torque_style(style: Style) -> Style:
    """Return the style of a torque: a wrench used beside inches may be marked in either unit."""
    return replace(style, units="both") if style.units == "us" else style


def _parts(text: str) -> list[str]:
    """Return a text as what is set large, and the unit behind it."""
    return list(text.partition(NBSP)[::2])


def _wire(wire: CardWire, style: Style) -> WireTexts:
    """Return what a size holds for; terminals are marked in degC everywhere."""
    terminals = show_quantity(wire.terminals.value, wire.terminals.kind, wire.terminals.side, units="si")
    return {
        "kind": breakable(f"{wire.metal} {wire.insulation}"),
        "conductors": style.words.card[wire.conductors],
        "terminals": style.words.card["terminals-rated"].format(terminals=terminals),
        "method": breakable(wire.method),
    }


def _place(place: CardPlace) -> PlaceTexts:
    return {
        "power_off": place.power_off and breakable(place.power_off),
        "water_off": place.water_off and breakable(place.water_off),
        "emergency": place.emergency,
        "maintenance": place.maintenance,
        "serial": place.serial and breakable(place.serial),
        "permit": place.permit and breakable(place.permit),
        "panel": place.panel and breakable(place.panel),
        "circuit_numbers": [number and breakable(number) for number in place.circuit_numbers],
        "notes": [breakable(note) for note in place.notes],
    }


def _notice(notice: CardNotice, style: Style) -> NoticeTexts:
    return {"signal": notice.signal, "alert_symbol": notice.alert_symbol, "text": sentence(notice.text, style)}


def _since(since: CardSince, style: Style) -> SinceTexts:
    moved = [[style.words.card[word], old, new] for word, old, new in since.moved]
    return {"replaces": since.replaces, "moved": moved}


def _water(water: CardWater, style: Style) -> WaterTexts:
    top = show(water.hottest_top, style) if water.hottest_top else ""
    leads = water.met or water.hottest
    worst = next((row for row in water.heat if row.mark == "mark-worst"), None)
    return {
        "window": _window(water.window, style),
        "selector": show(water.selector, style) if water.selector else "",
        "flow": _parts(show(water.flow, style)) if water.flow else None,
        "hottest": _parts(show(leads, style).removesuffix(more := or_more(leads, style))),
        "met": water.met is not None,
        "or_more": more.strip(NBSP),
        "top": top,
        "above": water.hottest_above_limit,
        "behind_valve": water.behind_valve,
        "worst": show(worst.flow, style) if worst else "",
        "winter": show(water.winter_inlet, style),
        "summer": show(water.summer_inlet, style),
        "flow_unit": _unit(water.window.closes_at, style),
        "degree": _unit(water.summer_inlet, style),
        "heat": [_heat_row(row, style) for row in water.heat],
        "stages": [_stage_row(row, style) for row in water.stages],
        "clamp": list(water.clamp),
        "allowed": _allowed(water.allowed, style) if water.allowed else None,
    }


def _heat_row(row: HeatRow, style: Style) -> HeatTexts:
    return {
        "flow": _number(row.flow, style),
        "stages": str(row.stages),
        "winter": _outlet(row.winter, style),
        "summer": _outlet(row.summer, style),
        "above": bool(row.summer and row.summer.state != "ok"),
        "mark": style.words.card[row.mark] if row.mark else "",
    }


def _outlet(outlet: Figure | None, style: Style) -> str:
    """Return an outlet without its unit, or that the cut-out opens first; nothing where the flow has none."""
    if outlet is None:
        return ""
    return style.words.card["trips"] if outlet.value is None else _number(outlet, style)


def _stage_row(row: StageRow, style: Style) -> StageTexts:
    return {
        "number": str(row.number),
        "feed": breakable(row.feed),
        "amps": _amps(row, style),
        "rise": show(row.rise, style) if row.rise else "",
    }


def _amps(row: StageRow, style: Style) -> list[str]:
    """Return the current of each line or, of one that stands for all, between which ends it lies; in amperes."""
    if row.between is None:
        return [_number(one, style) for one in row.currents]
    least, greatest = (_number(end, style) for end in row.between)
    return [style.words.card["window"].format(least=least, greatest=greatest)]


def _number(item: Figure | Value, style: Style) -> str:
    """Return a number without its unit, which the head of its column names."""
    return "–" if item.value is None else number_and_unit(item, style)[0]


def _unit(item: Figure | Value, style: Style) -> str:
    return number_and_unit(item, style)[1]


def _window(stage: CardStage, style: Style) -> WindowTexts | None:
    """Return the ends of the flow window and the words for it; nothing where there is none."""
    if not stage.least or not stage.greatest or stage.least.value is None:
        return None
    least, greatest = show(stage.least, style), show(stage.greatest, style)
    bounded = stage.greatest.value is not None
    word = style.words.card["window" if bounded else "window-or-more"]
    ends = {"least": _parts(least)[0]} | ({"greatest": _parts(greatest)[0]} if bounded else {})
    return {"text": word.format(**ends), "unit": _parts(least)[1]}


def _allowed(table: FigureTable, style: Style) -> AllowedTexts:
    """Return the table of readings allowed; its temperatures without units, which its corner names."""
    rows = [[_number(head, style), *(_number(cell, style) for cell in cells)] for head, cells in table.rows]
    corner = style.words.card["inlet-in"].format(units=_unit(table.rows[0][0], style))
    return {"corner": corner, "volts": [show(volts, style) for volts in table.columns], "rows": rows}


def _part(part: CardPart, style: Style) -> PartTexts:
    return {
        "id": part.id,
        "title": sentence(part.title, style),
        "who": part.who,
        "content": part.content,
        "rows": [
            [sentence(row.text, style), sentence(row.expected, style) if row.expected else ""] for row in part.rows
        ],
    }


def _stop(finding: Finding, style: Style) -> StopTexts:
    made = finding.decision
    return {
        "title": finding.title,
        "found": sentence(finding.line if finding.line.template else finding.found, style),
        "do": sentence(finding.short if finding.short.template else finding.do, style),
        "decision": breakable(decision_words(made, style)) if made and finding.decided else "",
        "decision_short": breakable(decision_short(made, style)) if made and finding.decided else "",
        "lapsed": breakable(lapse_words(made, style)) if made else "",
    }

"""A card as the texts that Typst sets: every number through the one formatter, nothing left to compute."""

from __future__ import annotations

import json
from typing import Any

from generator.assemble.revision_code import revision_code
from generator.model.card import Card, CardCheck, CardCircuit, CardNotice, CardStage, CardWater, CardWire
from generator.model.figures import Figure, FigureTable, Finding, Value
from generator.model.outlet_flows import ROUND, Season, holds_reading
from generator.model.words import CardWord, Style
from generator.render.card_drops import drop_words
from generator.render.decisions import decision_short, decision_words, lapse_words
from generator.render.format import NBSP, show, show_quantity
from generator.render.qr_code import qr_svg
from generator.render.typst_texts import STATE_ID, Texts, breakable, fact_texts, head_texts, lines, sentence

READING_ROWS = 2
NO_WATER: Texts = {
    "window": None,
    "hottest": None,
    "outlets": [],
    "allowed": None,
    "stages": [],
    "clamp": [],
    "by_line": False,
    "amps": [],
}


def card_texts(card: Card, style: Style) -> Texts:
    """Return a card's texts as data for content/print/card.typ; `window` is None where the supply does not fit."""
    return {
        "head": head_texts(card.head),
        "stops": [_finding(finding, style) for finding in card.stops],
        "decided": [_finding(finding, style) for finding in card.decided],
        "attentions": [_point(finding, style) for finding in card.attentions],
        "feeds": card.feeds,
        "circuits": [circuit_texts(circuit, style) for circuit in card.circuits],
        "circuit_shown": card.circuit_shown,
        "existing": circuit_texts(card.existing, style) if card.existing else None,
        "wire": _wire(card.wire, style),
        "ground_word": style.words.card[card.ground_word],
        "circuit_facts": [fact_texts(fact, style) for fact in card.circuit_facts],
        "limit": show(card.limit, style),
        "target": show(card.target, style),
        **(_water(card.water, style) if card.water else NO_WATER),
        "start_up": [sentence(step, style) for step in card.start_up],
        "shut_down": [sentence(step, style) for step in card.shut_down],
        "checks": [_check(check, style) for check in card.checks],
        "notices": [_notice(notice) for notice in card.notices],
        "basis": card.basis,
        "deferral": card.deferral,
        "reading_rows": 0 if card.stops else READING_ROWS,
    }


def print_texts(card: Card, style: Style) -> Texts:
    """Return a card's texts with their revision code, the QR code to its page, and what a shorter form leaves out."""
    texts = card_texts(card, style)
    qr = qr_svg(card.head.address) if card.head.address else None
    return texts | {"code": _code(texts), "qr": qr, "drops": drop_words(style.words)}


def card_code(card: Card, style: Style) -> str:
    """Return the revision code of a card: of everything it tells, whenever it was made."""
    return _code(card_texts(card, style))


def told(card: Card, style: Style) -> Texts:
    """Return a card's texts as a reader is told them.

    Without the handbook's revision and date, which say when it was made, and the codes that its words stand for.
    """
    return _told(card_texts(card, style))


def _told(texts: Texts) -> Texts:
    head = {key: text for key, text in texts["head"].items() if key not in ("revision", "date")}
    return {part: _in_words(content) for part, content in (texts | {"head": head}).items()}


def _in_words(content: Any) -> Any:
    if isinstance(content, dict):
        return {key: _in_words(part) for key, part in content.items() if key != STATE_ID}
    return [_in_words(part) for part in content] if isinstance(content, list | tuple) else content


def _code(texts: Texts) -> str:
    return revision_code(json.dumps(_told(texts), sort_keys=True, ensure_ascii=False).encode())


def circuit_texts(circuit: CardCircuit, style: Style) -> Texts:
    """Return one circuit as the texts of its row."""
    return {
        "name": breakable(circuit.name),
        "device": show(circuit.device, style),
        "poles": show(circuit.poles, style),
        "conductor": show(circuit.conductor, style),
        "ground": show(circuit.ground, style),
        "load": show(circuit.load_current, style),
    }


def _wire(wire: CardWire, style: Style) -> Texts:
    """Return what a size holds for; terminals are marked in degC everywhere."""
    terminals = show_quantity(wire.terminals.value, wire.terminals.kind, wire.terminals.side, units="si")
    return {
        "kind": breakable(f"{wire.metal} {wire.insulation}"),
        "conductors": style.words.card[wire.conductors],
        "terminals": style.words.card["terminals-rated"].format(terminals=terminals),
        "method": breakable(wire.method),
    }


def _water(water: CardWater, style: Style) -> Texts:
    top = show(water.hottest_top, style) if water.hottest_top else ""
    hottest = {"reason": water.hottest.reason, "above": water.hottest_above_limit, "top": top}
    return {
        "window": _stage(water.window, style),
        "hottest": lines(water.hottest, style) | hottest,
        "outlets": [
            _outlet("coldest-inlet", "winter", water.winter_inlet, table=water.outlet_winter, style=style),
            _outlet("warmest-inlet", "summer", water.summer_inlet, table=water.outlet_summer, style=style),
        ],
        "allowed": _allowed(water.allowed, style) if water.allowed else None,
        "stages": [_stage(stage, style) for stage in water.stages],
        **_clamp(water, style),
    }


def _clamp(water: CardWater, style: Style) -> Texts:
    """Return the heads of the currents in the table of stages and in the readings: one a feed, or one a line."""
    by_line, several = any(own for _, own in water.clamp), len(water.clamp) > 1
    heads = [
        breakable(" ".join(filter(None, (name if several and line in own[:1] + ("",) else "", line))))
        for name, own in water.clamp
        for line in own or ("",)
    ]
    words, names = style.words.card, " / ".join(name for name, _ in water.clamp)
    one = words["clamp-on"].format(feeds=names) if several else words["current"]
    return {
        "by_line": by_line,
        "clamp": heads if by_line else [breakable(one)],
        "amps": [f"{words['amps']} {head}".strip() for head in heads],
    }


def _stage(stage: CardStage, style: Style) -> Texts:
    return {
        "number": show(stage.number, style),
        "power": show(stage.power, style),
        "currents": _currents(stage, style),
        "closes_at": lines(stage.closes_at, style),
        "window": _window(stage, style),
        "why_empty": sentence(stage.why_empty, style) if stage.why_empty else "",
    }


def _currents(stage: CardStage, style: Style) -> list[str]:
    """Return what a clamp shows: the currents of all feeds in one cell, or a cell a line, in amperes without the unit.

    A line that shares its current with the others of its feed has the one cell of the feed.
    """
    if all(len(row) == 1 for row in stage.currents):
        return [" / ".join("–" if row[0].value is None else show(row[0], style) for row in stage.currents)]
    return ["–" if one.value is None else lines(one, style)["parts"][0][0] for row in stage.currents for one in row]


def _window(stage: CardStage, style: Style) -> list[str]:
    """Return the flow window in each shown unit; nothing where there is none."""
    if not stage.least or not stage.greatest or stage.least.value is None:
        return []
    least = lines(stage.least, style)["parts"]
    if stage.greatest.value is None:
        return [style.words.card["window-or-more"].format(least=f"{number}{NBSP}{unit}") for number, unit in least]
    ends = zip(least, lines(stage.greatest, style)["parts"], strict=True)
    return [style.words.card["window"].format(least=low[0], greatest=f"{high[0]}{NBSP}{high[1]}") for low, high in ends]


def _allowed(table: FigureTable, style: Style) -> Texts:
    """Return the table of readings allowed; its temperatures without units, which its corner names."""
    signs = [unit for _, unit in lines(table.rows[0][0], style)["parts"]]
    rows = [[_numbers(head, style), *(_numbers(cell, style) for cell in cells)] for head, cells in table.rows]
    return {
        "corner": style.words.card["inlet-in"].format(units=" / ".join(signs)),
        "volts": [show(volts, style) for volts in table.columns],
        "rows": rows,
    }


def _numbers(item: Figure | Value, style: Style) -> str:
    shown = lines(item, style)
    return " / ".join(number for number, _ in shown["parts"]) or shown["state"]


def _outlet(name: CardWord, season: Season, inlet: Figure, *, table: FigureTable, style: Style) -> Texts:
    rows = [
        {
            "flow": lines(head, style),
            "cells": [lines(cell, style) for cell in cells],
            "stands_for": _stands_for(head.symbol, season, len(table.columns)),
        }
        for head, cells in table.rows
    ]
    columns = [show(column, style) for column in table.columns]
    return {"title": style.words.card[name].format(inlet=show(inlet, style)), "columns": columns, "rows": rows}


def _stands_for(name: str, season: Season, stages: int) -> str:
    """Return what the row of a flow stands for: the order in which a card leaves rows out goes by it."""
    if holds_reading(name, season, stages):
        return "switching"
    return "round" if name == ROUND else "site"


def _finding(finding: Finding, style: Style) -> Texts:
    made = finding.decision
    return {
        "rule": finding.rule,
        "found": sentence(finding.found, style),
        "do": sentence(finding.do, style),
        "decision": breakable(decision_words(made, style)) if made and finding.decided else "",
        "decision_short": breakable(decision_short(made, style)) if made and finding.decided else "",
        "lapsed": breakable(lapse_words(made, style)) if made else "",
    }


def _point(finding: Finding, style: Style) -> Texts:
    """Return a point to watch; where it is settled, by whom and until when in place of what to do."""
    texts = _finding(finding, style)
    return texts | ({"do": f"{texts['decision_short']}."} if finding.decided else {})


def _check(check: CardCheck, style: Style) -> Texts:
    shown = {"symptom": check.symptom, "state": check.state, "question": check.question, "check": check.check}
    compare = [
        [
            label,
            sentence(it.why, style) if it.why else ", ".join(f"{one.symbol} {show(one, style)}" for one in it.values),
        ]
        for label, it in check.compare
    ]
    return {key: breakable(text) for key, text in shown.items()} | {"compare": compare}


def _notice(notice: CardNotice) -> Texts:
    return {
        "id": notice.id,
        "signal": notice.signal,
        "alert_symbol": notice.alert_symbol,
        "hazard": breakable(notice.hazard),
        "consequence": breakable(notice.consequence),
        "avoidance": [breakable(step) for step in notice.avoidance],
    }

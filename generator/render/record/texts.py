"""A record as the texts that Typst sets: every number through the one formatter, nothing left to compute."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TypedDict

from generator.model.content.words import Style
from generator.model.documents.record_sheet import RecordSheet, SheetField, SheetPart, SheetStage, SheetValve
from generator.model.records import Expected
from generator.render.card.shape import PrintTexts
from generator.render.card.texts import print_texts
from generator.render.format import show
from generator.render.reading_file import expected_words, limits_words
from generator.render.typst_texts import breakable, number_and_unit, sentence


class FieldTexts(TypedDict):
    """A field: what to do, what is expected, and the name of each blank, empty where there is one alone."""

    text: str
    expected: str
    blanks: list[str]


class RecordPartTexts(TypedDict):
    """A part and its fields."""

    id: str
    title: str
    who: str
    content: str
    fields: list[FieldTexts]


class AmpsTexts(TypedDict):
    """The current of a line: expected, and between what it passes, in amperes."""

    expected: str
    limits: str


class RecordStageTexts(TypedDict):
    """A number of stages: the current of each line, the rise over the inlet, the flows at which it switches."""

    number: str
    amps: list[AmpsTexts]
    rise: str
    rise_limits: str
    turns_on: str
    turns_on_limits: str
    drops_out: str
    drops_out_limits: str


class ValveTexts(TypedDict):
    """A limiting valve: its fixture, its standard and setting, the most behind it at full and at least flow."""

    fixture: str
    standard: str
    setting: str
    full_flow: str
    least_flow: str


class RecordTexts(TypedDict):
    """Everything that a record says; `lines`: the feed and line of each column of amps."""

    card: PrintTexts
    parts: list[RecordPartTexts]
    flow: str
    bucket: list[str]
    lines: list[list[str]]
    stages: list[RecordStageTexts]
    valves: list[ValveTexts]


def record_texts(sheet: RecordSheet, style: Style) -> RecordTexts:
    """Return a record's texts as data for content/print/record.typ, in the units of its card."""
    own = Style(sheet.card.units, style.words)
    bucket = sheet.bucket
    return {
        "card": print_texts(sheet.card, style),
        "parts": [_part(part, own) for part in sheet.parts],
        "flow": show(sheet.flow, own) if sheet.flow else "",
        "bucket": [show(value, own) for value in (*bucket.at[1:], bucket.value) if value] if bucket else [],
        "lines": [[row.named("feed"), row.named("line")] for row in sheet.stages[0].amps] if sheet.stages else [],
        "stages": [_stage(stage, own) for stage in sheet.stages],
        "valves": [_valve(valve, own) for valve in sheet.valves],
    }


def _part(part: SheetPart, style: Style) -> RecordPartTexts:
    fields = [_field(field, style) for field in part.fields]
    return {
        "id": part.id,
        "title": sentence(part.title, style),
        "who": part.who,
        "content": part.content,
        "fields": fields,
    }


def _field(field: SheetField, style: Style) -> FieldTexts:
    names = list(_named(field.rows, style))
    several = len(names) > 1
    expected = sentence(field.expected, style) if field.expected else _expected(field.rows, style)
    return {"text": sentence(field.text, style), "expected": expected, "blanks": names if several else [""]}


def _named(rows: Sequence[Expected], style: Style) -> dict[str, Expected]:
    """Return the rows by what tells them apart: feed, pair, or both.

    The feeds alone where all pairs of all feeds expect one thing, for each is asked for the worst of its pairs.
    """
    symbols = [one for one in ("feed", "pair") if len({row.named(one) for row in rows}) > 1] or ["feed"]
    if len(symbols) > 1 and len({expected_words(row, style) for row in rows}) == 1:
        symbols = ["feed"]
    return {" ".join(row.named(one) for one in symbols): row for row in rows}


def _expected(rows: Sequence[Expected], style: Style) -> str:
    """Return what is expected in all blanks where that is one thing, else by the name of each."""
    names: dict[str, list[str]] = {}
    for name, row in _named(rows, style).items():
        names.setdefault(expected_words(row, style), []).append(name)
    if len(names) <= 1:
        return breakable(next(iter(names), ""))
    named = style.words.card["limit-of-circuit"]
    return breakable(", ".join(named.format(name=", ".join(own), limit=text) for text, own in names.items()))


def _stage(stage: SheetStage, style: Style) -> RecordStageTexts:
    rise, turns_on, drops_out = stage.rise, stage.turns_on, stage.drops_out
    return {
        "number": str(stage.number),
        "amps": [_amps(row, style) for row in stage.amps],
        "rise": show(rise.value, style) if rise and rise.value else "",
        "rise_limits": limits_words(rise, style) if rise else "",
        "turns_on": show(turns_on.value, style) if turns_on and turns_on.value else "",
        "turns_on_limits": limits_words(turns_on, style) if turns_on else "",
        "drops_out": show(drops_out.value, style) if drops_out and drops_out.value else "",
        "drops_out_limits": limits_words(drops_out, style) if drops_out else "",
    }


def _amps(row: Expected, style: Style) -> AmpsTexts:
    value, least, greatest = (
        number_and_unit(one, style)[0] if one else "" for one in (row.value, row.least, row.greatest)
    )
    return {"expected": value, "limits": style.words.card["window"].format(least=least, greatest=greatest)}


def _valve(valve: SheetValve, style: Style) -> ValveTexts:
    return {
        "fixture": breakable(valve.fixture),
        "standard": expected_words(valve.standard, style),
        "setting": expected_words(valve.setting, style),
        "full_flow": limits_words(valve.full_flow, style),
        "least_flow": limits_words(valve.least_flow, style),
    }

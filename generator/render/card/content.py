"""What a card tells that matters, whatever the words around it: its revision code, and what is kept of it.

In it are the figures and values as printed, which checks fail, which lines of the form and which cautions are there.
Outside it are the wording of form, findings and cautions, the status, the handbook's revision and date, and what the
card replaces: none of them makes a card that hangs false. Of the wiring, drawn where there is room, that is in it which
stands nowhere else on the card.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

from generator.assemble.revision_code import revision_code
from generator.model.content.words import Style
from generator.model.documents.card import Card, CardLine, CardNotice, CardPart, CardRow
from generator.model.documents.drawings import WiringDrawing
from generator.model.documents.walk import walk
from generator.model.figures import Decided, Figure, Finding, Sentence, Value
from generator.render.format import NBSP, show

OUTSIDE = {"pocket", "code", "status", "measured", "since", "date", "revision", "units", "start_up", "load_current"}
UNNAMED = ("", "head", "place")  # what stands there is named by itself
_Line = tuple[str, bool]  # a line, and whether it is a figure's, which has an id of its own


def card_code(card: Card, style: Style) -> str:
    """Return the revision code of a card: of everything that it tells, whenever and however it says so."""
    return revision_code("\n".join(told(card, style)).encode())


def told(card: Card, style: Style) -> tuple[str, ...]:
    """Return a line for each thing that a card tells."""
    return tuple(line for line, _ in _content(card, style))


def card_record(card: Card, style: Style) -> dict[str, list[str]]:
    """Return what is kept of a card with the results: the ids of its figures, and a line for all else that it tells."""
    figures = dict.fromkeys(figure.id for figure in walk(card, Figure))
    words = dict.fromkeys(line.replace(NBSP, " ") for line, figure in _content(card, style) if not figure)
    return {"figures": list(figures), "words": list(words)}


def _content(card: Card, style: Style) -> Iterator[_Line]:
    yield from _lines(card, "", Style(card.units, style.words))


def _lines(node: Any, label: str, style: Style) -> Iterator[_Line]:
    """Yield the lines of what a card holds; `label` names where they stand."""
    match node:
        case Figure() | Value():
            yield f"{label}: {show(node, style)}", isinstance(node, Figure)
        case CardPart() | CardRow() | CardLine() | CardNotice():
            yield from _named(node, label, style)
        case WiringDrawing():
            yield from _wiring(node, f"{label} {node.feed}".rstrip())
        case Finding():
            yield from _finding(node, label, style)
        case tuple():
            for part in node:
                yield from _lines(part, label, style)
        case Sentence():
            yield from _said(label, node.values, style)
        case _ if is_dataclass(node):
            yield from _fields(node, label, style)
        case _ if node not in (None, ""):
            yield f"{label}: {node}", False


def _fields(node: Any, label: str, style: Style) -> Iterator[_Line]:
    for field in fields(node):
        if field.name not in OUTSIDE:
            name = field.name.replace("_", " ")
            yield from _lines(getattr(node, field.name), name if label in UNNAMED else f"{label}, {name}", style)


def _named(node: CardPart | CardRow | CardLine | CardNotice, label: str, style: Style) -> Iterator[_Line]:
    """Yield that a line of the form is there, with its values, not its words."""
    kind = type(node).__name__.removeprefix("Card").lower()
    texts: tuple[Sentence | None, ...] = (node.title,) if isinstance(node, CardPart) else (node.text,)
    if isinstance(node, CardRow):
        texts += (node.expected,)
    values = tuple(value for text in texts if text for value in text.values)
    yield from _said(f"{kind} {node.id}", values, style)
    if isinstance(node, CardPart):
        yield from _lines(node.rows, label, style)


def _wiring(drawn: WiringDrawing, label: str) -> Iterator[_Line]:
    """Yield what a drawing shows that stands nowhere else: a guard to fit or to ask for, colors, and each element."""
    yield f"{label}, guard: {drawn.guard}", False
    wires = (" ".join(filter(None, (wire.role, wire.lead_colour, wire.colour))) for wire in drawn.wires)
    yield f"{label}, wires: {', '.join(wires)}", False
    elements = (f"{one.stage} {' to '.join(one.across)}" for one in drawn.elements)
    yield f"{label}, elements: {', '.join(elements)}", False


def _said(label: str, values: tuple[Value, ...], style: Style) -> Iterator[_Line]:
    yield ": ".join(filter(None, (label, ", ".join(show(value, style) for value in values)))), False


def _finding(found: Finding, label: str, style: Style) -> Iterator[_Line]:
    """Yield what a check found: its case and values."""
    values = (*found.values, *(value for rows in found.lists.values() for row in rows for value in row.values()))
    yield f"{label}, {found.rule}: {found.case}", False
    for value in values:
        yield f"{label}, {found.rule}, {value.symbol}: {show(value, style)}", False
    made: Decided | None = found.decision
    if made:
        told = (made.kind, made.by, made.why, made.date, made.until, made.authority, made.document, made.lapsed or "")
        yield f"{label}, {found.rule}, decision: {', '.join(filter(None, told))}", False

"""A site in one row of a terminal: where it stands, its circuit, its flow, its hottest water and the limit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from generator.assemble.card.choose import site_units
from generator.assemble.documents import SiteView
from generator.model.content.check_words import CheckWord
from generator.model.content.words import Style
from generator.model.documents.card import CardCircuit
from generator.model.figures import Figure, Value
from generator.model.records import Status
from generator.model.settings import Settings
from generator.render.format import NBSP, show, show_quantity

HEADS: tuple[CheckWord, ...] = (
    "column-site",
    "column-breaker",
    "column-wire",
    "column-flow",
    "column-hottest",
    "column-limit",
)


def site_style(settings: Settings, view: SiteView, style: Style) -> Style:
    """Return how a site's figures are shown in a row: in the one kind of units of its card."""
    return Style(site_units(settings, view), style.words)


def site_rows_text(rows: Iterable[tuple[SiteView, Status]], settings: Settings, style: Style) -> Iterator[str]:
    """Yield the head of the table and a row a site, in plain text."""
    lines = [("", *(style.words.check[word] for word in HEADS))]
    for view, status in rows:
        own = site_style(settings, view, style)
        lines.append((_standing(status, style), view.spec.id, *_cells(view, own, stopped=status.word == "stop")))
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    for line in lines:
        cells = (cell.ljust(width) for cell, width in zip(line, widths, strict=True))
        yield "  ".join(cells).replace(NBSP, " ").rstrip()


def _standing(status: Status, style: Style) -> str:
    if status.commissioned is not None:
        return status.commissioned.isoformat()
    return style.words.check["standing-stop" if status.word == "stop" else "standing-not-commissioned"]


def _cells(view: SiteView, style: Style, *, stopped: bool) -> Iterator[str]:
    facts, words = view.facts, style.words.check
    shown = (facts.existing,) if facts.circuit_shown == "as found" else facts.circuits
    circuits = [circuit for circuit in shown if circuit is not None]
    yield _alike([_breaker(one, style) for one in circuits], style)
    yield _alike([show(one.conductor, style) for one in circuits], style, counted=False)
    yield words["no-flow"] if stopped else _flow(view, style)
    yield _hottest(facts.hottest, style)
    yield show(facts.limit, style)


def _breaker(circuit: CardCircuit, style: Style) -> str:
    return style.words.check["breaker"].format(device=show(circuit.device, style), poles=show(circuit.poles, style))


def _alike(texts: Iterable[str], style: Style, *, counted: bool = True) -> str:
    """Return the texts of several circuits, those that are alike in a row once."""
    words = style.words.check
    runs = [(text, len(list(run))) for text, run in groupby(texts)]
    told = [words["several"].format(count=count, what=text) if counted and count > 1 else text for text, count in runs]
    return ", ".join(told) or words["not-known"]


def _hottest(hottest: Figure | None, style: Style) -> str:
    """Return the hottest water; of what only the cut-out keeps from growing hotter, that it can be more."""
    if hottest is None or not isinstance(hottest.value, float):
        return style.words.check["not-known"]
    text = show_quantity(hottest.value, hottest.kind, hottest.side, units=style.units)
    return text if hottest.state != "at-cut-out" else style.words.check["hottest-or-more"].format(hottest=text)


def _flow(view: SiteView, style: Style) -> str:
    """Return the flows between which the heater is set; where there are none, that."""
    words = style.words.check
    least, greatest = view.first_page.window_ends
    if not _known(least):
        return words["no-flow"]
    assert least is not None
    if not _known(greatest):
        return words["flow-least"].format(least=show(least, style))
    assert greatest is not None
    number = show(least, style).partition(NBSP)[0]
    return words["flow-window"].format(least=number, greatest=show(greatest, style))


def _known(end: Figure | Value | None) -> bool:
    return end is not None and isinstance(end.value, float)

"""The filters and functions a page template may use, and the record they keep of what the page showed."""

from __future__ import annotations

import posixpath
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from jinja2 import pass_context
from jinja2.runtime import Context
from markupsafe import Markup, escape

from generator.assemble.pages import Page
from generator.errors import PageFault
from generator.model.content.words import Style, Units
from generator.model.figures import SIDES, BoundKind, Figure, FigureTable, Finding, Sentence, Step, Value
from generator.model.records import Expected, Status
from generator.model.state import State
from generator.render import format as formatter
from generator.render.check.site_status import status_words
from generator.render.decisions import decision_words, lapse_words
from generator.render.escape import plain_text
from generator.render.pages import drawings, working
from generator.render.pages.marks import mark
from generator.render.reading_file import expected_words
from generator.units import KINDS


@dataclass(slots=True)
class Record:
    """What one page showed so far. `macros` holds the shared macros, bound to this page."""

    page: Page
    page_ids: frozenset[str]
    style: Style
    figures: bool = False
    deferral: bool = False
    notices: set[str] = field(default_factory=set)
    anchors: set[str] = field(default_factory=set)
    macros: Any = None


@pass_context
def show(context: Context, item: Figure | Value) -> str:
    """Return a figure or value as text, with its unit or units."""
    return formatter.show(item, _seen(context, item).style)


@pass_context
def row_names(context: Context, item: Value) -> str:
    """Return what the flow at the head of a row stands for."""
    return formatter.row_names(item.symbol, _record(context).style.words)


@pass_context
def show_si(context: Context, item: Value) -> str:
    """Return a value in SI units alone: ratings of terminals and insulation are named in degC everywhere."""
    _seen(context, item)
    return formatter.show_quantity(item.value, item.kind, item.side, units="si")


@pass_context
def show_both(context: Context, item: Figure | Value) -> str:
    """Return a figure or value in both systems of units, the page's first: a torque tool may be marked in either."""
    record = _seen(context, item)
    us, si = (formatter.show(item, replace(record.style, units=units)) for units in ("us", "si"))
    first, second = (si, us) if record.style.units == "si" else (us, si)
    return first if first == second else f"{first} ({second})"


@pass_context
def parts(context: Context, item: Figure | Value) -> tuple[str, ...]:
    """Return a figure or value as one text a unit; a figure without value as its state."""
    record = _seen(context, item)
    if item.value is None:
        return (formatter.show(item, record.style),)
    return formatter.parts(item.value, item.kind, item.side, units=record.style.units)


@pass_context
def word(context: Context, state: State) -> str:
    """Return the reader's word for a figure's state."""
    return _record(context).style.words.states[state]


@pass_context
def fig(context: Context, figure: Figure) -> Markup:
    """Return a figure as text that opens to its working."""
    return Markup(_seen(context, figure).macros.opened(figure))


@pass_context
def was(context: Context, item: Figure | Finding, name: str = "") -> Markup:
    """Return the mark of a figure or finding that has moved since the last release, with what it was; else nothing.

    `name` is said in the mark where several figures stand together.
    """
    words: str | None = context["history"].was.get(item.id)
    return Markup("") if words is None else mark(words, name)


@pass_context
def quantity(
    context: Context, value: float, kind: str, bound: BoundKind = "neither", *, units: Units | None = None
) -> str:
    """Return an SI number of `kind` from a specification as text, in the handbook's units or those named.

    PageFault for an unknown kind or bound.
    """
    for name, known in ((kind, (*KINDS, "count", "number", "text")), (bound, tuple(SIDES))):
        if name not in known:
            raise PageFault(f"'{name}' is none of {', '.join(known)}")
    return formatter.show_quantity(value, kind, SIDES[bound], units=units or _record(context).style.units)


@pass_context
def say(context: Context, sentence: Sentence, *, units: Units | None = None) -> Markup:
    """Return a sentence with its values put in their places, in the page's units or those named."""
    record = _record(context)
    record.figures = record.figures or bool(sentence.values)
    style = replace(record.style, units=units or record.style.units)
    pieces = sentence.filled(lambda value: formatter.show(value, style))
    return Markup("").join(plain_text(text if shown else formatter.held_together(text)) for text, shown in pieces)


@pass_context
def decision(context: Context, finding: Finding) -> Markup:
    """Return what was decided of a finding, or that a decision has lapsed and why; nothing where none was made."""
    made, style = finding.decision, _record(context).style
    if made is None:
        return Markup("")
    return plain_text(lapse_words(made, style) or f"{decision_words(made, style)}.")


@pass_context
def put_in(context: Context, step: Step) -> str:
    """Return a step's formula with its numbers put in; "" where it names none of them."""
    return working.put_in(step, _record(context).style.units)


@pass_context
def shared_steps(context: Context, table: FigureTable) -> tuple[working.SharedStep, ...]:
    """Return a table's working, cells that share their formulas taken together."""
    _record(context).figures = True
    return working.shared_steps(table)


@pass_context
def expected(context: Context, row: Expected) -> str:
    """Return what a field of a record is expected to hold, and between what it passes."""
    record = _record(context)
    record.figures = True
    return expected_words(row, record.style)


@pass_context
def status_of(context: Context, found: Status) -> str:
    """Return where a site stands, in words."""
    return status_words(found, _record(context).style.words)


@pass_context
def link(context: Context, target: str) -> Markup:
    """Return the address of the page with id `target` (and `#anchor`) for a Markdown link. PageFault if unknown."""
    return _relative(_record(context), target, ".md")


@pass_context
def href(context: Context, target: str) -> Markup:
    """Return the same address for HTML, which the site engine leaves as it is."""
    return _relative(_record(context), target, ".html")


@pass_context
def anchor(context: Context, name: str) -> Markup:
    """Return the id of an element, unless the page has given it: a figure may stand there more than once."""
    given = _record(context).anchors
    if name in given:
        return Markup("")
    given.add(name)
    return Markup(' id="{}"').format(name)


@pass_context
def asset(context: Context, path: str) -> str:
    """Return the address of a file under content/assets, for HTML."""
    return posixpath.relpath(f"assets/{path}", posixpath.dirname(_record(context).page.path) or ".")


@pass_context
def shown_notice(context: Context, notice_id: str) -> str:
    """Record that the page shows a safety notice."""
    _record(context).notices.add(notice_id)
    return ""


@pass_context
def shown_deferral(context: Context) -> str:
    """Record that the page shows the deferral notice."""
    _record(context).deferral = True
    return ""


@pass_context
def unknown_notice(context: Context, notice_id: str) -> str:
    """Refuse a safety notice that does not apply to the page. PageFault, always."""
    known = ", ".join(_record(context).page.notices) or "none"
    raise PageFault(f"the notice '{notice_id}' does not apply to this page; those that do: {known}")


FILTERS = {
    "show": show,
    "show_si": show_si,
    "row_names": row_names,
    "show_both": show_both,
    "parts": parts,
    "word": word,
    "fig": fig,
    "expected": expected,
    "was": was,
    "formula": working.formula_markup,
    "put_in": put_in,
}
FUNCTIONS = {
    "quantity": quantity,
    "say": say,
    "decision": decision,
    "link": link,
    "href": href,
    "anchor": anchor,
    "asset": asset,
    "shared_steps": shared_steps,
    "status_of": status_of,
    "zip": zip,
    "reasons": working.reasons,
    "shown_notice": shown_notice,
    "shown_deferral": shown_deferral,
    "unknown_notice": unknown_notice,
    **drawings.FUNCTIONS,
}


def _record(context: Context) -> Record:
    record: Record = context["record"]
    return record


def _seen(context: Context, item: Figure | Value) -> Record:
    record = _record(context)
    record.figures = record.figures or isinstance(item, Figure)
    return record


_way = lru_cache(maxsize=4096)(posixpath.relpath)  # a page leads to the same others again and again


def _relative(record: Record, target: str, ending: str) -> Markup:
    page_id, mark, anchor = target.partition("#")
    if page_id not in record.page_ids:
        raise PageFault(f"no page has the id '{page_id}'; the pages are {', '.join(sorted(record.page_ids))}")
    path = _way(page_id + ending, posixpath.dirname(record.page.path) or ".")
    return escape(path) + Markup(mark) + escape(anchor)

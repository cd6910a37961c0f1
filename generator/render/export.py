"""What is known as plain tables for other programs: findings, circuits, flows, cards, records and registers.

Numbers stand in columns of their own, whose heads name the unit (the handbook's first); every row has the revision, and
the id of what it is of.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import product
from typing import get_args

from generator.assemble.documents import Book, SiteView
from generator.model.figures import Figure, Finding, Value
from generator.model.inputs import Inputs
from generator.model.register.installed import Installed, What
from generator.model.results import Results
from generator.render.cells import Cell, harmless
from generator.render.check.programs import say
from generator.render.format import MINUS, NBSP, in_first_unit, parts

Row = Mapping[str, Cell]


@dataclass(frozen=True, slots=True)
class Known:
    """What is exported: the book with results as judged on a day, and the inputs."""

    book: Book
    results: Results
    inputs: Inputs


def tables(known: Known) -> dict[str, list[Row]]:
    """Return the tables by name, each row led by the revision of the handbook."""
    made: Mapping[str, Callable[[Known], Iterator[Row]]] = {
        "findings": _findings,
        "circuits": _circuits,
        "flows": _flows,
        "cards": _cards,
        "records": _records,
        "heaters": _heaters,
        "readings": _readings,
        "near-misses": _near_misses,
    }
    revision = known.book.settings.revision
    return {name: [{"revision": revision, **row} for row in rows(known)] for name, rows in made.items()}


def table_csv(rows: Iterable[Row]) -> str:
    """Return a table as comma-separated values, no text of which is a formula to a spreadsheet."""
    kept = list(rows)
    text = io.StringIO()
    writer = csv.DictWriter(text, list(kept[0]) if kept else [], lineterminator="\n", quoting=csv.QUOTE_NONNUMERIC)
    writer.writeheader()
    writer.writerows({key: harmless(cell) for key, cell in row.items()} for row in kept)
    return text.getvalue()


def tables_json(known: Mapping[str, list[Row]]) -> str:
    """Return all tables as one JSON object."""
    return json.dumps({"format": "handbook-export", "format_version": 1, **known}, ensure_ascii=False, indent=1) + "\n"


def _findings(known: Known) -> Iterator[Row]:
    style = known.book.style
    due = {view.spec.id: _next_check(view) for view in known.book.sites}
    for found in known.results.findings:
        made = found.decision
        yield {
            "id": found.id,
            "subject": found.subject,
            "check": found.rule,
            "severity": found.severity,
            "standing": found.standing,
            "trade": known.book.trades[found.rule],
            "owner": made.by if made else None,
            "due": made.until if made else due.get(found.subject),
            **{key: _said(found, key, known) for key in ("line", "short", "found", "why", "do")},
            "source": found.source,
            "units": style.units,
        }


def _said(found: Finding, part: str, known: Known) -> str:
    return say(getattr(found, part), known.book.style).replace(NBSP, " ")


def _next_check(view: SiteView) -> str | None:
    visits = sorted(view.result.visits, key=lambda visit: visit.date)
    return visits[-1].next_check.isoformat() if visits else None


def _circuits(known: Known) -> Iterator[Row]:
    for view in known.book.sites:
        for one in view.result.circuits:
            yield {
                "id": one.device.id.removesuffix(".device"),
                "site": view.spec.id,
                "circuit": one.name,
                **_number("breaker", one.device, known),
                **_number("poles", one.poles, known),
                "wire": _text(one.conductor),
                "ground": _text(one.ground),
                **_number("load", one.load_current, known),
                "state": one.device.state,
            }


def _flows(known: Known) -> Iterator[Row]:
    for view in known.book.sites:
        windows = {window.number: window for window in view.result.windows}
        for stage in view.result.stages:
            window = windows.get(stage.number)
            yield {
                "id": stage.closes_at.id.removesuffix(".closes-at"),
                "site": view.spec.id,
                "stages": stage.number,
                **_number("power", stage.power, known),
                **_number("turns on", stage.closes_at, known),
                **_number("drops out", stage.opens_at, known),
                **_number("min flow", window.least if window else None, known, kind="flow"),
                **_number("max flow", window.greatest if window else None, known, kind="flow"),
                "state": window.least.state if window else None,
            }


def _number(name: str, item: Figure | Value | None, known: Known, *, kind: str = "") -> Row:
    """Return a column for a number, named with its unit and rounded as it is printed; empty where it has no value."""
    of, units = (item.kind if item else kind), known.book.settings.units
    _, sign = in_first_unit(1.0, of, units)
    head = f"{name} [{sign}]" if sign else name
    if item is None or item.value is None or isinstance(item.value, str):
        return {head: None}
    printed = parts(item.value, of, item.side, units=units)[0].partition(NBSP)[0]
    return {head: float(printed.replace(MINUS, "-"))}


def _text(figure: Figure) -> str | None:
    return str(figure.value) if figure.value is not None else None


def _cards(known: Known) -> Iterator[Row]:
    """Yield the card of every site, and each label on record: all three bear the code of the card."""
    for (site, code), what in product(known.book.card_codes.items(), get_args(What)):
        hangs = known.inputs.installed.get(site, Installed()).hung(what)
        if hangs is None and what != "card":
            continue
        yield {
            "site": site,
            "what": what,
            "code": code,
            "hangs": hangs.code if hangs else None,
            "since": hangs.since.isoformat() if hangs else None,
            "exchange": "yes" if hangs and hangs.code != code else "no" if hangs else None,
        }


def _records(known: Known) -> Iterator[Row]:
    for view in known.book.sites:
        for visit in view.result.visits:
            yield {
                "site": view.spec.id,
                "date": visit.date.isoformat(),
                "kind": visit.kind,
                "next check": visit.next_check.isoformat(),
                "failed": ", ".join(visit.failed),
                "missing": ", ".join(visit.missing),
                "proves": ", ".join(visit.proves),
                "lapsed": ", ".join(one.figure for one in visit.lapsed),
            }


def _heaters(known: Known) -> Iterator[Row]:
    for site, register in known.inputs.installed.items():
        for unit in register.heaters:
            yield {
                "site": site,
                "model": unit.model,
                "serial": unit.serial,
                "since": unit.since.isoformat(),
                "until": unit.until.isoformat() if unit.until else None,
                "replaced by": unit.replaced_by,
            }


def _readings(known: Known) -> Iterator[Row]:
    for site, register in known.inputs.installed.items():
        for one in register.readings:
            yield {
                "site": site,
                "date": one.date.isoformat(),
                "stages": one.stages,
                **_number("flow", _value(one.flow_m3_s, "flow"), known, kind="flow"),
                **_number("inlet", _value(one.inlet_k, "temperature"), known, kind="temperature"),
                **_number("outlet", _value(one.outlet_k, "temperature"), known, kind="temperature"),
                **_number("volts", _value(one.volts, "voltage"), known, kind="voltage"),
                **_number("pressure", _value(one.pressure_pa, "pressure"), known, kind="pressure"),
            }


def _value(number: float | None, kind: str) -> Value | None:
    return None if number is None else Value("", number, kind)


def _near_misses(known: Known) -> Iterator[Row]:
    for site, register in known.inputs.installed.items():
        for one in register.near_misses:
            closed = one.closed.isoformat() if one.closed else None
            yield {"site": site, "date": one.date.isoformat(), "what": one.what, "closed": closed}

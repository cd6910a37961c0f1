"""The public results file: every figure, table, finding and input of a run, as plain data.

Its format is that of model/documents/results_file.py. Tables name their cells by figure id. Keys are sorted by the
order of computing, so that the same input gives the same bytes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict
from typing import Any

from generator.errors import dotted
from generator.model.documents.results_file import FORMAT, FORMAT_VERSION
from generator.model.documents.walk import walk
from generator.model.figures import Decided, Figure, FigureTable, Finding, Sentence, Step, Value
from generator.model.inputs import Inputs
from generator.model.records import Visit
from generator.model.results import Results
from generator.model.tables.fleet import TABLES
from generator.units import KINDS


def results_document(
    inputs: Inputs,
    results: Results,
    codes: Mapping[str, Mapping[str, str]],
    *,
    cards: Mapping[str, Mapping[str, list[str]]],
    generator_version: str,
    working: bool = True,
) -> dict[str, Any]:
    """Return the results as data ready for JSON, the figures with their `working` or without.

    `codes`: {"card": {site id: code}, "page": {page id: code}}. `cards`: {site id: {"figures": ids of the figures on
    the card, "words": its lines of words}}. ValueError when two figures share an id.
    """
    settings = inputs.settings
    return {
        "format": FORMAT,
        "format_version": FORMAT_VERSION,
        "generator": generator_version,
        "handbook": {"revision": settings.revision, "date": settings.date.isoformat(), "units": settings.units},
        "codes": codes,
        "cards": cards,
        "inputs": input_texts(inputs),
        "figures": _figures(results, working),
        "tables": {table.id: _table(table) for table in walk(results, FigureTable)},
        "findings": {finding.id: _finding(finding) for finding in results.findings},
        "records": {site.id: list(map(_visit, site.visits)) for site in results.sites},
        "decisions": {site.id: list(_decisions(site.findings)) for site in results.sites},
    }


def input_texts(inputs: Inputs) -> dict[str, dict[str, str]]:
    """Return the texts of all input values: {file: {dotted key: text}}; those of a row of a table by its site."""
    texts: dict[str, dict[str, str]] = {}
    for (kind, id_, *path), place in inputs.places.items():
        if place.text:
            file = f"{place.file}/{kind}s/{id_}" if place.file.endswith(TABLES) else place.file
            texts.setdefault(file, {})[dotted(path)] = place.text
    return texts


def _figures(results: Results, working: bool) -> dict[str, Any]:
    figures: dict[str, Any] = {}
    seen: dict[str, Figure] = {}
    for figure in walk(results, Figure):
        if seen.setdefault(figure.id, figure) != figure:
            raise ValueError(f"two different figures share the id {figure.id}")
        if figure.id not in figures:
            figures[figure.id] = _figure(figure) | ({"working": list(map(_step, figure.steps))} if working else {})
    return figures


def _figure(figure: Figure) -> dict[str, Any]:
    band = {} if figure.band is None else {"band": dict(zip(("low", "high"), figure.band, strict=True))}
    return {
        "label": figure.label,
        "value": figure.value,
        "unit": unit_of(figure.kind),
        "kind": figure.kind,
        "rounds": figure.side,
        "state": figure.state,
        "reason": figure.reason,
    } | band


def unit_of(kind: str) -> str:
    """Return the SI unit of a kind of quantity; empty for counts, texts and plain numbers."""
    return KINDS[kind][0] if kind in KINDS else ""


def _value(value: Value) -> dict[str, Any]:
    named = {"symbol": value.symbol, "value": value.value, "unit": unit_of(value.kind), "kind": value.kind}
    return named if value.side == "nearest" else named | {"rounds": value.side}


def _step(step: Step) -> dict[str, Any]:
    inputs = [_value(value) for value in step.inputs]
    document = {"formula": step.formula, "inputs": inputs, "result": _value(step.result), "source": step.source}
    return document | ({"note": step.note} if step.note else {})


def _table(table: FigureTable) -> dict[str, Any]:
    return {
        "title": table.title,
        "corner": table.corner,
        "conditions": [_value(value) for value in table.conditions],
        "columns": [_value(value) for value in table.columns],
        "rows": [{"head": _value(head), "cells": [cell.id for cell in cells]} for head, cells in table.rows],
        "note": table.note,
    }


def _sentence(sentence: Sentence) -> dict[str, Any]:
    return {"template": sentence.template, "values": [_value(value) for value in sentence.values]}


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "rule": finding.rule,
        "case": finding.case or None,
        "severity": finding.severity,
        "subject": finding.subject,
        "found": _sentence(finding.found),
        "decision": _decision(finding.id, finding.decision) if finding.decision else None,
        "why": _sentence(finding.why),
        "do": _sentence(finding.do),
        "line": _sentence(finding.line),
        "source": finding.source,
    }


def _visit(visit: Visit) -> dict[str, Any]:
    return {
        "date": visit.date.isoformat(),
        "kind": visit.kind,
        "next_check": visit.next_check.isoformat(),
        "people": [{"part": part, "role": role, "licence": licence} for part, role, licence in visit.people],
        "proves": list(visit.proves),
        "lapsed": [{"figure": one.figure, "why": one.why} for one in visit.lapsed],
        "failed": list(visit.failed),
        "missing": list(visit.missing),
        "doubts": [{"doubt": one.code, "instrument": one.instrument, "point": one.point} for one in visit.doubts],
        "points": list(map(asdict, visit.points)),
        "explanations": list(map(asdict, visit.explanations)),
        "decides": visit.decides,
    }


def _decisions(findings: Iterable[Finding]) -> Iterator[dict[str, Any]]:
    """Yield what was decided at a site, in the order of its findings."""
    for finding in findings:
        if finding.decision:
            yield _decision(finding.id, finding.decision)


def _decision(finding: str, made: Decided) -> dict[str, Any]:
    """Return a decision as data; its lateness is not told, since the file does not change with the day."""
    authority = {"name": made.authority, "document": made.document} if made.authority else None
    return {
        "finding": finding,
        "kind": made.kind,
        "by": made.by,
        "why": made.why,
        "date": made.date,
        "until": made.until,
        "case": made.case,
        "at": list(map(_value, made.at)),
        "authority": authority,
        "lapsed": made.lapsed,
    }

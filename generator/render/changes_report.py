"""A change report as text: for a terminal or a page (Markdown) and for programs (JSON). Limits crossed come first."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import asdict
from itertools import groupby
from typing import Any

from generator.model.changes import ChangeReport, FigureChange, subject_of
from generator.render.format import MINUS, Units, show_quantity

Document = Mapping[str, Any]
_DIFFERENCE_KINDS = {"temperature": "temperature_difference"}


def shown_figure(units: Units) -> Callable[[Document], str]:
    """Return the function that gives a stored figure's printed text, with the state that qualifies it."""

    def shown(figure: Document) -> str:
        if figure["value"] is None:
            return str(figure["state"])
        text = show_quantity(figure["value"], figure["kind"], figure["rounds"], units)
        return text if figure["state"] == "ok" else f"{text}, {figure['state']}"

    return shown


def shown_difference(units: Units) -> Callable[[Document, Document], str]:
    """Return the function that gives the printed difference of two stored figures; empty where none can be told."""

    def shown(old: Document, new: Document) -> str:
        values = (old["value"], new["value"])
        if old["kind"] != new["kind"] or not all(isinstance(value, int | float) for value in values):
            return ""
        moved = values[1] - values[0]
        kind = _DIFFERENCE_KINDS.get(new["kind"]) or str(new["kind"])
        return f"{'+' if moved >= 0 else MINUS}{show_quantity(abs(moved), kind, 'nearest', units)}"

    return shown


def changes_json(report: ChangeReport) -> str:
    """Return the report as JSON."""
    document = {"touches_safety": report.touches_safety, **asdict(report)}
    return json.dumps(document, ensure_ascii=False, indent=2)


def changes_markdown(report: ChangeReport, heading: str = "##") -> str:
    """Return the report as Markdown, with `heading` for its sections; one sentence where nothing moved."""
    if report.empty:
        return f"Nothing moved from {report.old} to {report.new}.\n"
    sections = [
        ("Limits crossed", _figure_lines(report.crossings, crossing=True)),
        ("Findings that changed", [f"{f.id}: {_arrow(f.old, f.new)}" for f in report.findings]),
        ("Cards to collect and reprint", _code_lines(report, "card")),
        ("Inputs that changed", [f"{i.file}: `{i.key}`: {_arrow(i.old, i.new)}" for i in report.inputs]),
        ("Figures that moved", list(_by_subject(report.figures))),
        ("Pages that changed", _code_lines(report, "page")),
    ]
    shown = [_section(heading, title, lines) for title, lines in sections if lines]
    note = [f"Note: {report.generator_note}.\n"] if report.generator_note else []
    return "\n".join([f"From {report.old} to {report.new}.\n", *note, *shown])


def _section(heading: str, title: str, lines: Iterable[str]) -> str:
    return "\n".join(
        [f"{heading} {title}", "", *(line if line.startswith("**") else f"- {line}" for line in lines), ""]
    )


def _arrow(old: str | None, new: str | None) -> str:
    if old is None:
        return f"new: {new}"
    return f"{old}, now gone" if new is None else f"{old} → {new}"


def _figure_lines(figures: Iterable[FigureChange], crossing: bool) -> list[str]:
    lines = []
    for figure in figures:
        moved = f" ({figure.difference})" if figure.difference else ""
        why = f" — {figure.crossing}" if crossing else ""
        lines.append(f"{subject_of(figure.id)}: {figure.label}: {_arrow(figure.old, figure.new)}{moved}{why}")
    return lines


def _by_subject(figures: Iterable[FigureChange]) -> Iterator[str]:
    """Yield the moved figures under the name of their model or site."""
    ordered = sorted(figures, key=lambda figure: subject_of(figure.id))
    for subject, moved in groupby(ordered, key=lambda figure: subject_of(figure.id)):
        yield f"\n**{subject}**\n"
        for figure in moved:
            difference = f" ({figure.difference})" if figure.difference else ""
            yield f"{figure.label} (`{figure.id}`): {_arrow(figure.old, figure.new)}{difference}"


def _code_lines(report: ChangeReport, kind: str) -> list[str]:
    return [f"{code.id}: {_arrow(code.old, code.new)}" for code in report.codes if code.kind == kind]

"""Compares two results files into a change report. Pure: how a number is printed is passed in.

What is printed decides: a figure whose text, state and reason are the same on both sides has not moved, however its
last digits differ.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Protocol, TypeVar

from generator.assemble.changes.crossings import crossing
from generator.assemble.changes.older_results import with_like_texts, with_torques
from generator.model.content.change_words import ChangeWord
from generator.model.documents.change_report import (
    ChangeReport,
    CodeChange,
    FigureChange,
    FindingChange,
    InputChange,
    WordsChange,
)
from generator.model.documents.results_file import (
    StoredCard,
    StoredFigure,
    StoredFinding,
    StoredResults,
    StoredSentence,
    StoredTable,
    StoredValue,
)
from generator.model.state import State

Entry = TypeVar("Entry")


class Printer(Protocol):
    """How stored numbers look in print."""

    def value(self, value: StoredValue) -> str:
        """Return a value's text."""

    def state(self, state: State) -> str:
        """Return the word for a state."""

    def change(self, word: ChangeWord, **values: str) -> str:
        """Return what is said of a change, with its values."""

    def row(self, symbol: str) -> str:
        """Return what the head of a row stands for."""

    def figure(self, figure: StoredFigure) -> str:
        """Return a figure's text with the state that qualifies it."""

    def difference(self, old: StoredFigure, new: StoredFigure) -> str:
        """Return the printed difference of two figures; empty where there is none to print."""

    def sentence(self, sentence: StoredSentence) -> str:
        """Return a sentence with its values put in."""


def change_report(old: StoredResults, new: StoredResults, names: tuple[str, str], *, printer: Printer) -> ChangeReport:
    """Return what moved between two runs. `names` are the readers' names of the two sides."""
    torque = printer.change("torque")
    old, new = with_torques(old, torque), with_torques(new, torque)
    old, new = with_like_texts(old, new), with_like_texts(new, old)
    subjects = _subjects(old) | _subjects(new)
    figures = tuple(_figures(old, new, printer))
    changed = _findings(old.findings, new.findings, printer)
    findings = tuple(sorted(changed, key=lambda change: not change.worse))
    return ChangeReport(
        *names,
        notes=tuple(_notes(old, new, printer)),
        inputs=tuple(_inputs(old.inputs, new.inputs, {file: subject for file, (subject, _) in subjects.items()})),
        figures=figures,
        findings=findings,
        codes=tuple(_codes(old, new)),
        words=tuple(_words(old.cards, new.cards)),
        titles=dict(subjects.values()),
    )


def _notes(old: StoredResults, new: StoredResults, printer: Printer) -> Iterator[str]:
    if old.generator != new.generator:
        yield printer.change("other-generator", old=old.generator, new=new.generator)


def _subjects(results: StoredResults) -> dict[str, tuple[str, str]]:
    """Return the subject and title of each model and site, by the file that describes it."""
    subjects = {}
    for file, values in results.inputs.items():
        for folder, kind in (("models", "model"), ("sites", "site")):
            if f"/{folder}/" in file and "id" in values:
                subjects[file] = (f"{kind}.{values['id']}", values.get("title", values["id"]))
    return subjects


def _both(old: Mapping[str, Entry], new: Mapping[str, Entry]) -> Iterator[tuple[str, Entry | None, Entry | None]]:
    """Yield (key, old entry, new entry) over the keys of both, in the order of the new side, then what is gone."""
    for key in [*new, *(key for key in old if key not in new)]:
        yield key, old.get(key), new.get(key)


def _inputs(
    old: Mapping[str, Mapping[str, str]], new: Mapping[str, Mapping[str, str]], subjects: Mapping[str, str]
) -> Iterator[InputChange]:
    for file, old_texts, new_texts in _both(old, new):
        for key, before, after in _both(old_texts or {}, new_texts or {}):
            if before != after:
                yield InputChange(subjects.get(file, ""), file, key, before, after)


def _figures(old: StoredResults, new: StoredResults, printer: Printer) -> Iterator[FigureChange]:
    heads: dict[str, str] | None = None
    carded = {id_ for side in (old, new) for card in side.cards.values() for id_ in card.figures}
    for id_, before, after in _both(old.figures, new.figures):
        if before == after:
            continue
        texts = _texts(before, after, printer)
        if texts[0] == texts[1]:
            continue
        if heads is None:
            heads = _heads(old.tables, printer) | _heads(new.tables, printer)
        moved = printer.difference(before, after) if before and after else ""
        label = next(side.label for side in (after, before) if side)
        yield FigureChange(
            id_,
            _name(id_, label, heads, printer=printer),
            *texts,
            moved,
            crossing(id_, before, after, words=printer),
            _share(before, after) if id_ in carded and id_ not in heads else 0.0,
        )


def _share(old: StoredFigure | None, new: StoredFigure | None) -> float:
    """Return how far a figure moved: as a share of its larger value, a temperature of 100 K; 1 to or from none."""
    was, now = (figure.value if figure else None for figure in (old, new))
    if not isinstance(was, float) or not isinstance(now, float):
        return 0.0 if was == now else 1.0
    whole = 100.0 if new and new.kind == "temperature" else max(abs(was), abs(now))
    return round(abs(now - was) / whole, 4) if whole else 0.0


def _texts(old: StoredFigure | None, new: StoredFigure | None, printer: Printer) -> tuple[str | None, str | None]:
    """Return what is printed on each side; where the number is the same and its reason is not, with the reason."""
    before, after = (printer.figure(figure) if figure else None for figure in (old, new))
    if old and new and before == after and old.reason != new.reason:
        none = printer.change("no-reason")
        sides = ((before, old.reason or none), (after, new.reason or none))
        was, now = (printer.change("with-reason", figure=str(text), reason=reason) for text, reason in sides)
        return was, now
    return before, after


def _heads(tables: Mapping[str, StoredTable], printer: Printer) -> dict[str, str]:
    """Return, by figure id, where in its table a cell stands: title, row head and column head."""

    def head(value: StoredValue) -> str:
        text = printer.value(value)
        symbol = printer.row(value.symbol)
        return text if value.kind == "text" or symbol == text else f"{symbol} {text}"

    return {
        cell: printer.change("head-of-cell", table=table.title, row=head(row.head), column=head(column))
        for table in tables.values()
        for row in table.rows
        for cell, column in zip(row.cells, table.columns, strict=False)
    }


def _name(id_: str, label: str, heads: Mapping[str, str], *, printer: Printer) -> str:
    """Return what a reader calls a figure: its place in a table, or its label and the circuit it belongs to."""
    if id_ in heads:
        return heads[id_]
    kind, _, *parts = id_.split(".")
    circuit = " ".join(parts[1 : 2 if kind == "site" else 3])  # a model has its circuits at each rating
    return printer.change("of-circuit", label=label, circuit=circuit) if parts[0] == "circuit" else label


def _findings(
    old: Mapping[str, StoredFinding], new: Mapping[str, StoredFinding], printer: Printer
) -> Iterator[FindingChange]:
    for id_, before, after in _both(old, new):
        standings = [finding.standing if finding else None for finding in (before, after)]
        if standings[0] != standings[1] and set(standings) != {None, "ok"}:
            shown = after if after and after.severity != "ok" else before or after
            assert shown is not None  # one side has it
            line = printer.sentence(shown.line if shown.line.template else shown.found)
            yield FindingChange(id_, shown.subject, standings[0], standings[1], line)


def _words(old: Mapping[str, StoredCard], new: Mapping[str, StoredCard]) -> Iterator[WordsChange]:
    for site, before, after in _both(old, new):
        if before and after and before.words != after.words:
            gone = tuple(line for line in before.words if line not in after.words)
            yield WordsChange(site, gone, tuple(line for line in after.words if line not in before.words))


def _codes(old: StoredResults, new: StoredResults) -> Iterator[CodeChange]:
    for site, before, after in _both(old.codes.get("card", {}), new.codes.get("card", {})):
        if before != after:
            yield CodeChange("card", site, before, after)
    if old.codes.get("page") and new.codes.get("page"):
        for page, before, after in _both(old.codes["page"], new.codes["page"]):
            if before != after:
                yield CodeChange("page", page, before, after)

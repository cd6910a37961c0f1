"""A change report as text: tables for a terminal, Markdown for a pipe, JSON for programs. Limits crossed come first."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from dataclasses import asdict, dataclass
from itertools import groupby

from rich.console import Console
from rich.table import Table
from rich.text import Text

from generator.model.changes import CardReport, ChangeReport, CodeChange, FigureChange, WordsChange, subject_of
from generator.model.revisions import History

FORMAT, FORMAT_VERSION = "handbook-changes", 1
ABSENT = "—"


@dataclass(frozen=True, slots=True)
class Section:
    """One table of a report: what it lists, the heads of its columns, its rows."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def changes_json(report: ChangeReport) -> str:
    """Return the report as JSON."""
    head = {"format": FORMAT, "format_version": FORMAT_VERSION, "touches_safety": report.touches_safety}
    return json.dumps(head | asdict(report), ensure_ascii=False, indent=2)


def changes_markdown(report: ChangeReport) -> str:
    """Return the report as Markdown, a table a section; one sentence where nothing moved."""
    lines = [summary(report), *(f"\nNote: {note}." for note in report.notes)]
    for section in sections(report):
        lines += ["", f"## {section.title}", "", *_markdown_table(section)]
    return "\n".join(lines)


def changes_tables(console: Console, report: ChangeReport) -> None:
    """Print the report as tables as wide as the terminal."""
    console.print(Text(summary(report), style="bold"))
    for note in report.notes:
        console.print(Text(f"Note: {note}.", style="yellow"))
    for section in sections(report):
        table = Table(title=Text(section.title, style="bold"), title_justify="left", expand=True)
        for column in section.columns:
            table.add_column(column, overflow="fold")
        for row in section.rows:
            table.add_row(*map(Text, row))
        console.print()
        console.print(table)


def summary(report: ChangeReport) -> str:
    """Return how much moved, in one sentence."""
    if report.empty:
        return f"From {report.old} to {report.new} nothing moved."
    counts = [
        _counted(len(report.crossings), "limit crossed", "limits crossed"),
        _counted(len(report.findings), "finding changed", "findings changed"),
        _counted(len(report.cards), "card to reissue", "cards to reissue"),
        _counted(len(report.inputs), "input changed", "inputs changed"),
        _counted(len(report.figures), "figure moved", "figures moved"),
        _counted(len(report.pages), "page changed", "pages changed"),
    ]
    return f"From {report.old} to {report.new}: {', '.join(counts)}."


def sections(report: ChangeReport) -> Iterator[Section]:
    """Yield the tables of a report that have rows, what touches safety first."""
    titles = report.titles
    crossed = [
        (titles.get(subject_of(one.id), subject_of(one.id)), one.name, _shown(one.old), _shown(one.new), one.crossing)
        for one in report.crossings
    ]
    findings = [
        (one.id, _shown(one.old), _shown(one.new), "graver" if one.worse else "less grave") for one in report.findings
    ]
    inputs = [(one.file, one.key, _shown(one.old), _shown(one.new)) for one in report.inputs]
    found = [
        Section("Limits crossed", ("where", "figure", "was", "is", "limit"), tuple(crossed)),
        Section("Findings that changed", ("finding", "was", "is", ""), tuple(findings)),
        Section("Cards to reissue", ("site", "collect", "print"), tuple(_codes(report.cards))),
        Section("Inputs that changed", ("file", "key", "was", "is"), tuple(inputs)),
        *_by_subject(report),
        Section("Words on the cards", ("site", "", "words"), tuple(_words(report.words))),
        Section("Pages that changed", ("page", "code was", "code is"), tuple(_codes(report.pages))),
    ]
    return (section for section in found if section.rows)


def reissue(card: CodeChange) -> str:
    """Return what is to be done about a card, in words."""
    if card.old is None:
        return f"new: print it, its code is {card.new}"
    if card.new is None:
        return f"collect {card.old}: the site has no card any more"
    return f"collect {card.old}, print {card.new}"


def cards_notice(history: History) -> str:
    """Return which cards no longer say what the last release printed, a line each; empty where all do."""
    if history.last is None or history.pending is None or not history.pending.cards:
        return ""
    named = [f"  {card.id}: {reissue(card)}" for card in history.pending.cards]
    head = f"cards that have changed since release {history.last.name} (`handbook changes` says why):"
    return "\n".join([head, *named])


def card_text(report: CardReport) -> str:
    """Return whether a printed card is current and, where it is not, what differs, as Markdown."""
    where = f"the card of {report.title} ({report.site})"
    if report.current:
        return f"{report.code} is {where}, and it is current."
    lines = [f"{report.code} was {where} in release {report.release}. It is not current: collect it."]
    lines.append(f"Print it again: its code is {report.now} now." if report.now else "The site has no card any more.")
    moved = Section("Figures on the card that moved", _FIGURE_COLUMNS, tuple(map(_figure_row, report.figures)))
    if moved.rows:
        lines += ["", f"## {moved.title}", "", *_markdown_table(moved)]
    if report.words:
        lines += [
            "",
            "## Words on the card",
            "",
            *(f"- {standing}: {line}" for _, standing, line in _words([report.words])),
        ]
    return "\n".join(lines)


def card_json(report: CardReport) -> str:
    """Return the same as JSON."""
    return json.dumps({"current": report.current, **asdict(report)}, ensure_ascii=False, indent=2)


_FIGURE_COLUMNS = ("figure", "was", "is", "difference", "id")


def _by_subject(report: ChangeReport) -> Iterator[Section]:
    """Yield one table a model and site."""
    ordered = sorted(report.figures, key=lambda figure: subject_of(figure.id))
    for subject, moved in groupby(ordered, key=lambda figure: subject_of(figure.id)):
        title = f"Figures that moved: {report.titles.get(subject, subject)}"
        yield Section(title, _FIGURE_COLUMNS, tuple(map(_figure_row, moved)))


def _figure_row(figure: FigureChange) -> tuple[str, ...]:
    return figure.name, _shown(figure.old), _shown(figure.new), figure.difference, figure.id


def _codes(changes: Iterable[CodeChange]) -> Iterator[tuple[str, ...]]:
    for change in changes:
        yield change.id, _shown(change.old), _shown(change.new)


def _words(changes: Iterable[WordsChange]) -> Iterator[tuple[str, str, str]]:
    for change in changes:
        yield from ((change.site, "gone", line) for line in change.gone)
        yield from ((change.site, "new", line) for line in change.added)


def _shown(text: str | None) -> str:
    return ABSENT if text is None else text


def _counted(number: int, one: str, many: str) -> str:
    return f"{number} {one if number == 1 else many}"


def _markdown_table(section: Section) -> Iterator[str]:
    yield _markdown_row(section.columns)
    yield _markdown_row(["---"] * len(section.columns))
    yield from map(_markdown_row, section.rows)


def _markdown_row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(' '.join(cell.split(chr(10))).replace('|', chr(92) + '|') for cell in cells)} |"

"""A change report as text: tables for a terminal, Markdown for a pipe, JSON for programs. Limits crossed come first."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass, replace
from itertools import groupby

from rich.console import Console
from rich.table import Table
from rich.text import Text

from generator.model.content.change_words import ChangeWord
from generator.model.content.words import Words
from generator.model.documents.change_report import (
    CardReport,
    ChangeReport,
    CodeChange,
    FigureChange,
    FindingChange,
    WordsChange,
    subject_of,
)
from generator.model.documents.revisions import History

Said = Mapping[ChangeWord, str]

FORMAT, FORMAT_VERSION = "handbook-changes", 1
ABSENT = "—"
MOST_KEYS = 3  # that are named one by one


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


def changes_markdown(report: ChangeReport, words: Words) -> str:
    """Return the report as Markdown, a table a section; one sentence where nothing moved."""
    said = words.changes
    lines = [summary(report, said), *(f"\n{said['note'].format(note=note)}" for note in report.notes)]
    for section in sections(report, words):
        lines += ["", f"## {section.title}", "", *markdown_table(section)]
    return "\n".join(lines)


def changes_tables(console: Console, report: ChangeReport, words: Words) -> None:
    """Print the report as tables as wide as the terminal."""
    console.print(Text(summary(report, words.changes), style="bold"))
    for note in report.notes:
        console.print(Text(words.changes["note"].format(note=note), style="yellow"))
    for section in sections(report, words):
        table = Table(title=Text(section.title, style="bold"), title_justify="left", expand=True)
        for column in section.columns:
            table.add_column(column, overflow="fold")
        for row in section.rows:
            table.add_row(*map(Text, row))
        console.print()
        console.print(table)


def summary(report: ChangeReport, words: Said) -> str:
    """Return how much moved, in one sentence."""
    if report.empty:
        return words["nothing-moved"].format(old=report.old, new=report.new)
    counts: tuple[tuple[int, ChangeWord, ChangeWord], ...] = (
        (len(report.crossings), "limit-crossed", "limits-crossed"),
        (len(report.findings), "finding-changed", "findings-changed"),
        (len(report.cards), "card-to-reissue", "cards-to-reissue"),
        (len(report.inputs), "input-changed", "inputs-changed"),
        (len(report.figures), "figure-moved", "figures-moved"),
        (len(report.pages), "page-changed", "pages-changed"),
    )
    told = ", ".join(words[one if number == 1 else many].format(count=number) for number, one, many in counts)
    return words["counts"].format(old=report.old, new=report.new, counts=told)


def sections(report: ChangeReport, all_words: Words) -> Iterator[Section]:
    """Yield the tables of a report that have rows, what touches safety first."""
    titles, words = report.titles, all_words.changes
    crossed = (
        (titles.get(subject_of(one.id), subject_of(one.id)), one.name, _shown(one.old), _shown(one.new), one.crossing)
        for one in report.crossings
    )
    findings = (_finding_row(one, report, all_words) for one in report.findings)
    inputs: list[tuple[str, ...]] = [(one.file, one.key, _shown(one.old), _shown(one.new)) for one in report.stated]
    inputs += [
        (
            f"site_data/{one.folder}",
            words["all-keys"],
            *(_shown(words["values"].format(count=count) if count else None) for count in (one.gone, one.added)),
        )
        for one in report.folders
    ]
    found = (
        _section("limits", _CROSSED_COLUMNS, crossed, words=words),
        _section("findings", _FINDING_COLUMNS, findings, words=words),
        _section("cards", ("column-site", "column-collect", "column-print"), _codes(report.cards), words=words),
        _section("inputs", ("column-file", "column-key", "column-was", "column-is"), inputs, words=words),
        *_by_subject(report, words),
        _section("words-on-cards", ("column-site", None, "column-words"), _words(report.words, words), words=words),
        _section("pages", ("column-page", "column-code-was", "column-code-is"), _codes(report.pages), words=words),
    )
    return (section for section in found if section.rows)


def reissue(card: CodeChange, words: Said) -> str:
    """Return what is to be done about a card, in words."""
    if card.old is None:
        return words["print-new"].format(code=card.new)
    if card.new is None:
        return words["collect"].format(code=card.old)
    return words["collect-and-print"].format(old=card.old, new=card.new)


def cards_notice(history: History, words: Said, sites: Collection[str]) -> Iterator[str]:
    """Yield which cards of these sites, and of sites that are no more, do not say what the last release printed."""
    if history.last is None or history.pending is None:
        return
    for card in history.pending.cards:
        if card.new is None or card.id in sites:
            yield words["stale-card"].format(site=card.id, what=reissue(card, words))


def unrevised_notice(history: History, words: Said) -> Iterator[str]:
    """Yield which models have other values than the last release under the same revision, a line each."""
    if history.last is not None and history.pending is not None:
        for model, keys in history.pending.unrevised.items():
            named = ", ".join(keys[:MOST_KEYS]) if len(keys) <= MOST_KEYS else words["values"].format(count=len(keys))
            yield words["unrevised"].format(model=model, release=history.last.name, keys=named)


def card_text(report: CardReport, words: Said) -> str:
    """Return whether a printed card is current and, where it is not, what differs, as Markdown."""
    if report.current:
        return words["card-current"].format(code=report.code, title=report.title, site=report.site)
    stale = words["card-stale"]
    lines = [stale.format(code=report.code, title=report.title, site=report.site, release=report.release)]
    lines.append(words["print-again"].format(code=report.now) if report.now else words["no-card"])
    moved = _section("figures-on-card", _FIGURE_COLUMNS, map(_figure_row, report.figures), words=words)
    if moved.rows:
        lines += ["", f"## {moved.title}", "", *markdown_table(moved)]
    if report.words:
        told = [words["word-line"].format(standing=how, line=line) for _, how, line in _words([report.words], words)]
        lines += ["", f"## {words['words-on-card']}", "", *(f"- {line}" for line in told)]
    return "\n".join(lines)


def card_json(report: CardReport) -> str:
    """Return the same as JSON."""
    return json.dumps({"current": report.current, **asdict(report)}, ensure_ascii=False, indent=2)


_CROSSED_COLUMNS: tuple[ChangeWord, ...] = ("column-where", "column-figure", "column-was", "column-is", "column-limit")
_FINDING_COLUMNS: tuple[ChangeWord | None, ...] = (
    "column-where",
    "column-finding",
    "column-was",
    "column-is",
    None,
    "column-id",
)
_FIGURE_COLUMNS: tuple[ChangeWord, ...] = (
    "column-figure",
    "column-was",
    "column-is",
    "column-difference",
    "column-id",
)


def _section(
    title: ChangeWord, columns: Iterable[ChangeWord | None], rows: Iterable[tuple[str, ...]], *, words: Said
) -> Section:
    return Section(words[title], tuple(words[column] if column else "" for column in columns), tuple(rows))


def _by_subject(report: ChangeReport, words: Said) -> Iterator[Section]:
    """Yield one table a model and site."""
    ordered = sorted(report.figures, key=lambda figure: subject_of(figure.id))
    for subject, moved in groupby(ordered, key=lambda figure: subject_of(figure.id)):
        found = _section("figures-of", _FIGURE_COLUMNS, map(_figure_row, moved), words=words)
        yield replace(found, title=found.title.format(subject=report.titles.get(subject, subject)))


def _finding_row(one: FindingChange, report: ChangeReport, words: Words) -> tuple[str, ...]:
    """Return where a finding is, its title, how grave it was and is, whether that is worse, and its id."""
    rule = one.id.rpartition(".")[2]
    was, now = (words.choices[standing] if standing else None for standing in (one.old, one.new))
    graver = words.changes["graver" if one.worse else "less-grave"]
    return report.titles.get(one.of, one.of), words.rules.get(rule, rule), _shown(was), _shown(now), graver, one.id


def _figure_row(figure: FigureChange) -> tuple[str, ...]:
    return figure.name, _shown(figure.old), _shown(figure.new), figure.difference, figure.id


def _codes(changes: Iterable[CodeChange]) -> Iterator[tuple[str, ...]]:
    for change in changes:
        yield change.id, _shown(change.old), _shown(change.new)


def _words(changes: Iterable[WordsChange], words: Said) -> Iterator[tuple[str, str, str]]:
    for change in changes:
        yield from ((change.site, words["gone"], line) for line in change.gone)
        yield from ((change.site, words["new"], line) for line in change.added)


def _shown(text: str | None) -> str:
    return ABSENT if text is None else text


def markdown_table(section: Section) -> Iterator[str]:
    """Yield a table as Markdown, line by line."""
    yield _markdown_row(section.columns)
    yield _markdown_row(["---"] * len(section.columns))
    yield from map(_markdown_row, section.rows)


def _markdown_row(cells: Iterable[str]) -> str:
    return f"| {' | '.join(' '.join(cell.split(chr(10))).replace('|', chr(92) + '|') for cell in cells)} |"

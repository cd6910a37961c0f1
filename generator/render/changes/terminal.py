"""A change report as a person reads it: what to go and do first, then cards, verdicts, and the largest moves.

At most LINES lines for a change that touches two sites, and one more for each further site: the rest is counted.
What must be done in the field, and which cards must be exchanged, is never left out, however long it is.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping

from generator.model.content.change_words import ChangeWord
from generator.model.content.words import Words
from generator.model.documents.change_report import ChangeReport, FigureChange, subject_of
from generator.render.changes.report import ABSENT, markdown_table, sections, summary
from generator.render.format import NBSP

Said = Mapping[ChangeWord, str]

WIDTH, LINES, SITES = 100, 30, 2
MOST_INPUTS, MOST_MOVES = 4, 5
LEAST = 3  # lines of a section that is not left out: its head, an entry, and how many more there are


def changes_text(report: ChangeReport, said: Said) -> Iterator[str]:
    """Yield the report line by line."""
    notes = (said["note"].format(note=note) for note in report.notes)
    head = [line for text in (summary(report, said), *notes) for line in _wrapped(text)]
    yield from head
    if report.empty:
        return
    body, tail = [*_work(report, said), *_cards(report, said)], list(_wrapped(said["rest"]))
    room = LINES + max(0, len(_touched(report)) - SITES) - len(head) - len(body) - len(tail)
    inputs = _inputs(report, said, room - 2 * LEAST)
    verdicts = _bounded("head-verdicts", _verdicts(report, said), (room := room - len(inputs)) - LEAST, said=said)
    moves = _bounded("head-moves", _moves(report, said), room - len(verdicts), said=said)
    yield from (*inputs, *body, *verdicts, *moves, *tail)


def more_text(report: ChangeReport, words: Words, *, why: bool, figures: bool, pages: bool) -> Iterator[str]:
    """Yield what stands behind the text, one by one: reasons of the work; all that moved; pages and words."""
    said = words.changes
    if why and report.work:
        yield from ("", said["reasons"])
        for work in report.work:
            yield from _wrapped(said["reason"].format(site=work.site, rule=work.rule, why=work.why), "  ")
    last = {said[title] for title in ("words-on-cards", "pages")}
    for section in sections(report, words):
        if pages if section.title in last else figures:
            yield from ("", f"## {section.title}", "", *markdown_table(section))


def _touched(report: ChangeReport) -> set[str]:
    return {work.site for work in report.work} | {card.id for card in report.cards}


def _inputs(report: ChangeReport, said: Said, room: int) -> list[str]:
    """Return the first of the inputs that differ, as many as have room, and how many more there are."""
    lines, shown = list[str](), 0
    for one in report.stated[:MOST_INPUTS]:
        where = one.subject.partition(".")[2] or one.file
        moved = said["move"].format(where=where, what=one.key, old=one.old or ABSENT, new=one.new or ABSENT)
        entry = list(_wrapped(moved, "  "))
        if len(lines) + len(entry) >= room:
            break
        lines, shown = [*lines, *entry], shown + 1
    left = len(report.inputs) - shown
    return [*lines, *(_wrapped(said["more-inputs"].format(count=left), "  ") if left and room > 0 else ())]


def _work(report: ChangeReport, said: Said) -> Iterator[str]:
    """Yield what to go and do, then where there is nothing to do."""
    yield said["head-work"]
    if not report.work:
        yield from _wrapped(said["no-work"], "  ")
    for work in sorted(report.work, key=lambda work: not work.needed):
        text = said["work"].format(site=work.site, text=work.text, trade=work.trade)
        yield from _wrapped(text if work.needed else said["idle"].format(site=work.site, text=work.text), "  ")


def _cards(report: ChangeReport, said: Said) -> Iterator[str]:
    if report.cards:
        yield said["head-cards"]
    width = max((len(card.id) for card in report.cards), default=0)
    for card in report.cards:
        blank = said["by-and-date"] if card.new else said["no-card-now"]
        yield f"  {card.id:{width}}  {card.old or ABSENT:9}  {card.new or ABSENT:9}  {blank}"


def _verdicts(report: ChangeReport, said: Said) -> Iterator[list[str]]:
    """Yield the lines of each verdict that changed, in a sentence."""
    for one in report.findings:
        key: ChangeWord = "verdict-passed" if one.new in (None, "ok") else "verdict"
        text = said[key].format(finding=one.id, old=one.old or ABSENT, new=one.new or ABSENT, line=one.line)
        yield list(_wrapped(text, "  "))
    if not report.findings:
        yield list(_wrapped(said["no-verdict"], "  "))


def _moves(report: ChangeReport, said: Said) -> Iterator[list[str]]:
    """Yield the lines of the largest moves: of what cards show, limits crossed, then by how far it moved."""
    for one in sorted(report.figures, key=lambda one: (not one.share, not one.crossing, -one.share))[:MOST_MOVES]:
        where = subject_of(one.id).partition(".")[2]
        yield list(_wrapped(_move(one, where, said), "  "))


def _move(one: FigureChange, where: str, said: Said) -> str:
    key: ChangeWord = "moved-by" if one.difference else "move"
    return said[key].format(
        where=where, what=one.name, old=one.old or ABSENT, new=one.new or ABSENT, difference=one.difference
    )


def _bounded(head: ChangeWord, entries: Iterator[list[str]], room: int, *, said: Said) -> list[str]:
    """Return a heading and as many entries as have room, with how many more there are; nothing without room for one."""
    lines, every = [said[head]], list(entries)
    if room < 2:
        return []
    for place, entry in enumerate(every):
        last = place == len(every) - 1
        if len(lines) + len(entry) + (not last) > room:
            return [*lines, f"  {said['more'].format(count=len(every) - place)}"]
        lines += entry
    return lines


def _wrapped(text: str, first: str = "") -> Iterator[str]:
    for line in textwrap.wrap(
        text,
        WIDTH,
        initial_indent=first,
        subsequent_indent=f"{first}  ",
        break_long_words=False,
        break_on_hyphens=False,
    ):
        yield line.replace(NBSP, " ")

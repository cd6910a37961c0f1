"""The history that the handbook shows: its releases, what has moved since the last, and what to mark on the pages."""

from __future__ import annotations

from collections.abc import Iterable

from generator.assemble.changes.compare import Printer, change_report
from generator.model.documents.change_report import ChangeReport, subject_of
from generator.model.documents.results_file import StoredResults
from generator.model.documents.revisions import History, Release

NOW = "now"


def history(
    releases: Iterable[Release], last: StoredResults | None, now: StoredResults, *, printer: Printer, mark: bool
) -> History:
    """Return the history up to the run `now`. `last` holds the frozen results of the last release, None before the
    first; `mark` is whether the pages mark what moved since."""
    ordered = tuple(releases)
    if last is None:
        return History(ordered)
    pending = change_report(last, now, (ordered[-1].name, NOW), printer=printer)
    return History(ordered, pending, last.codes, _was(pending, last, now, printer=printer) if mark else {}, mark)


def _was(pending: ChangeReport, last: StoredResults, now: StoredResults, *, printer: Printer) -> dict[str, str]:
    """Return what to say beside each figure and finding that moved at a known model or site, by id.

    Where a figure has no value now, the old one is not said: nobody may work by it.
    """
    known = {subject_of(id_) for id_ in last.figures}
    was = {
        change.id: printer.change("changed") if now.figures[change.id].value is None else _words(change.old, printer)
        for change in pending.figures
        if change.new is not None and subject_of(change.id) in known
    }
    return was | {
        change.id: _words(change.old, printer)
        for change in pending.findings
        if change.new is not None and change.of in known
    }


def _words(old: str | None, printer: Printer) -> str:
    return printer.change("new") if old is None else printer.change("was", text=old)

"""The history that the handbook shows: its releases, what has moved since the last, and what to mark on the pages."""

from __future__ import annotations

from collections.abc import Iterable

from generator.assemble.change_report import Printer, change_report
from generator.model.changes import ChangeReport, subject_of
from generator.model.results_file import StoredResults
from generator.model.revisions import History, Release

NOW = "now"


def history(
    releases: Iterable[Release], last: StoredResults | None, now: StoredResults, printer: Printer, mark: bool
) -> History:
    """Return the history up to the run `now`. `last` holds the frozen results of the last release, None before the
    first; `mark` is whether the pages mark what moved since."""
    ordered = tuple(releases)
    if last is None:
        return History(ordered)
    pending = change_report(last, now, (ordered[-1].name, NOW), printer)
    return History(ordered, pending, last.codes, _was(pending, last) if mark else {}, mark)


def _was(pending: ChangeReport, last: StoredResults) -> dict[str, str]:
    """Return what each figure and finding that moved said before, by id; "" for one that is new on a known subject."""
    known = {subject_of(id_) for id_ in last.figures}
    was = {
        change.id: change.old or ""
        for change in pending.figures
        if change.new is not None and subject_of(change.id) in known
    }
    return was | {
        change.id: change.old or ""
        for change in pending.findings
        if change.new is not None and f"site.{change.subject}" in known
    }

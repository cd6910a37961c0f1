"""Freezing a revision, which makes a folder of site_data/revisions/ in one step: what `handbook release` does."""

from __future__ import annotations

import datetime
import re
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from generator import __version__
from generator.assemble.change_report import change_report
from generator.build import Folders, Loaded, comparable, load, results_of
from generator.errors import HandbookError, NotReleased
from generator.model.changes import ChangeReport
from generator.model.revisions import FORMAT, FORMAT_VERSION, RELEASE, History, Release
from generator.read.revisions import FOLDER, RECORD, RESULTS, read_frozen, read_releases
from generator.render.change_texts import Printed
from generator.render.findings_report import lapsed_decisions
from generator.render.json_file import pretty_bytes, results_bytes
from generator.render.pages import Rendered, render_pages

_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")
# What a release keeps of a finding: how it stood and what was found, not the advice of the day.
_OF_FINDING = ("rule", "case", "severity", "subject", "found", "decision")


def release(
    folders: Folders, name: str, day: datetime.date | None = None, *, tell: Callable[[str], None] = lambda _line: None
) -> Release:
    """Freeze the project as it stands as the release `name`, and return its record.

    `tell` is given a line for each decision that has lapsed; without a `day` none is late. NotReleased for stops
    without a decision that holds on that day; HandbookError for a name that is taken or unfit, and for a revision or
    date that does not follow on the last release. Nothing is written then.
    """
    loaded, releases = load(folders), read_releases(folders.data)
    settings = loaded.inputs.settings
    today = loaded.judged_on(day)
    for line in lapsed_decisions(today.findings, loaded.book.style):
        tell(line)
    if today.open_stops:
        raise NotReleased(today.open_stops)
    made = Release(FORMAT, FORMAT_VERSION, name, settings.revision, settings.date, __version__, None)
    _refuse_unfit(made, releases)
    if releases:
        made = replace(made, changes=_changes(folders, releases[-1], loaded))
    # Rendered as the next build will be: with this release in the history, and nothing moved since.
    history = History((*releases, made), marked=settings.mark_changes)
    rendered = render_pages(folders.content, replace(loaded.book, history=history))
    if releases:
        made = replace(made, changes=_changes(folders, releases[-1], loaded, rendered=rendered))
    _freeze(folders.data / FOLDER, made, results_of(loaded, rendered, working=False))
    return made


def _refuse_unfit(made: Release, releases: tuple[Release, ...]) -> None:
    if not _NAME.fullmatch(made.name):
        raise HandbookError(
            f"'{made.name}' is no name for a release; use letters, digits, dots and hyphens, such as 4.1"
        )
    taken = {known.name.lower(): known.name for known in releases}
    if made.name.lower() in taken:
        raise HandbookError(f"there is a release {taken[made.name.lower()]} already, and a release is never changed")
    before = [known.name for known in releases if known.revision == made.revision]
    if before:
        wrong = f"revision {made.revision} went out as release {before[0]}"
        raise HandbookError(f"{wrong}; raise `revision` in site_data/handbook.yaml, so that prints can be told apart")
    if releases and made.order < releases[-1].order:
        last = f"release {releases[-1].name} of {releases[-1].date.isoformat()}"
        wrong = f"{made.name} of {made.date.isoformat()} would stand before {last}"
        raise HandbookError(f"{wrong}; set `date` in site_data/handbook.yaml, or give a name that follows")


def _changes(folders: Folders, last: Release, loaded: Loaded, *, rendered: tuple[Rendered, ...] = ()) -> ChangeReport:
    then, now = read_frozen(folders.data, last.name), comparable(loaded, rendered)
    return change_report(then, now, (last.name, "this release"), printer=Printed(loaded.book.style))


def _freeze(folder: Path, made: Release, results: dict[str, Any]) -> None:
    """Write the release's folder beside its place, then move it there in one step."""
    folder.mkdir(parents=True, exist_ok=True)
    staged = Path(tempfile.mkdtemp(prefix=".", dir=folder))
    try:
        (staged / RECORD).write_bytes(pretty_bytes(RELEASE.dump_python(made, mode="json")))
        (staged / RESULTS).write_bytes(results_bytes(_kept(results)))
        staged.chmod(0o755)
        staged.rename(folder / made.name)
    except OSError as error:
        raise HandbookError(f"{folder / made.name}: the release cannot be written: {error.strerror}") from None
    finally:
        shutil.rmtree(staged, ignore_errors=True)


def _kept(results: dict[str, Any]) -> dict[str, Any]:
    """Return what a release keeps: what readers were told, not how it was laid out in tables."""
    findings = {id_: {key: finding[key] for key in _OF_FINDING} for id_, finding in results["findings"].items()}
    return {key: part for key, part in results.items() if key != "tables"} | {"findings": findings}

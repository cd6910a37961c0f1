"""Freezing a revision, which makes a folder of site_data/revisions/ in one step: what `handbook release` does."""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from generator import __version__
from generator.assemble.changes.compare import change_report
from generator.build import Loaded, comparable, load, results_of
from generator.errors import Fault, HandbookError, InputFaults, NotReleased
from generator.folders import Folders
from generator.model.documents.change_report import ChangeReport
from generator.model.documents.revisions import FORMAT, FORMAT_VERSION, PAGES, RELEASE, Approval, History, Release
from generator.read.content.overlay import REVIEWED, is_reviewed
from generator.read.revisions import ARCHIVE, FOLDER, RECORD, RESULTS, read_frozen, read_releases
from generator.render.changes.texts import Printed
from generator.render.check.programs import lapsed_decisions
from generator.render.files import write_if_changed
from generator.render.issued import archives, hashes, issued
from generator.render.json_file import pretty_bytes, results_bytes
from generator.render.pages.write import Rendered, render_pages
from generator.render.progress import UNSEEN, Progress
from generator.render.site.whole import make_apart
from generator.site_cards import printing_of

# No name that Windows keeps to itself or shortens.
_NAME = re.compile(r"(?!(?i:con|prn|aux|nul|com\d|lpt\d)(\.|$))[A-Za-z0-9][A-Za-z0-9._-]{0,63}(?<!\.)")
_STAGED = ".staged-"
MOST_KEYS = 4  # of a model's values that are named where it is refused
# What a release keeps of a finding: how it stood and what was found, not the advice of the day.
_OF_FINDING = ("rule", "case", "severity", "subject", "found", "line", "decision")


def release(
    folders: Folders,
    name: str,
    approved: Approval | None = None,
    *,
    tell: Callable[[str], None] = lambda _line: None,
    progress: Progress = UNSEEN,
) -> Release:
    """Freeze the project as it stands as the release `name`, with its prints and pages, and return its record.

    `tell` is given a line for each decision that has lapsed on the day of the approval; without one none is late.
    NotReleased for stops without a decision that holds on that day; HandbookError for a name that is taken or unfit,
    a revision or date that does not follow on the last release, a model that changed under the same revision, and a
    language that nobody has reviewed;
    PrintFault for what cannot be printed. Nothing is written then.
    """
    loaded, releases = load(folders, progress), read_releases(folders.data)
    settings = loaded.inputs.settings
    _refuse_unreviewed(folders, settings.language)
    today = loaded.judged_on(approved.date if approved else None)
    for line in lapsed_decisions(today.findings, loaded.book.style):
        tell(line)
    if today.open_stops:
        raise NotReleased(today.open_stops)
    made = Release(FORMAT, FORMAT_VERSION, name, settings.revision, settings.date, __version__, None, approved)
    _refuse_unfit(made, releases)
    if releases:
        made = replace(made, changes=_changes(folders, releases[-1], loaded))
        _refuse_unrevised(made, releases[-1])
    # Rendered as the next build will be: with this release in the history, and nothing moved since.
    history = History((*releases, made))
    rendered = render_pages(folders.content, replace(loaded.book, history=history), progress=progress)
    if releases:
        made = replace(made, changes=_changes(folders, releases[-1], loaded, rendered=rendered))
    printing = printing_of(folders.content, loaded.book)
    progress.step("printing cards, labels and the book", len(loaded.cards))
    documents = {
        **issued(loaded.cards, printing, loaded.book, pages=rendered, on_site=progress.advance),
        **built_pages(folders, loaded, rendered),
    }
    made = replace(made, documents=hashes(documents))
    _freeze(folders.data / FOLDER, made, results_of(loaded, rendered, working=False), documents=documents)
    return made


def built_pages(folders: Folders, loaded: Loaded, rendered: Sequence[Rendered]) -> Mapping[str, bytes]:
    """Return every file of the built site by its name as a document of a release: PAGES, a slash and its path.

    PageFault where the engine objects. What is published stays as it is.
    """
    with tempfile.TemporaryDirectory() as name:
        site = Path(name)
        own = {"content": folders.content, "plain": folders.config}
        make_apart(site, rendered, **own, book=loaded.book, search=loaded.search)
        paths = sorted(path for path in site.rglob("*") if path.is_file())
        return {f"{PAGES}/{path.relative_to(site).as_posix()}": path.read_bytes() for path in paths}


def _refuse_unreviewed(folders: Folders, language: str) -> None:
    if not is_reviewed(folders.content, language):
        file = f"{folders.content.name}/{language}/{REVIEWED}"
        wrong = "nobody has reviewed this language, and what goes out in it would stand without its English"
        raise InputFaults([Fault(file, 1, 1, "reviewed_by", wrong, "reviewed_by and date in this file, once it is so")])


def _refuse_unfit(made: Release, releases: tuple[Release, ...]) -> None:
    if not _NAME.fullmatch(made.name):
        raise HandbookError(
            f"'{made.name}' is no name for a release; use letters, digits, hyphens, and dots within it, such as 4.1"
        )
    if not re.fullmatch(re.escape(made.revision) + r"([^0-9].*)?", made.name):
        wrong = f"'{made.name}' is not what site_data/handbook.yaml calls revision {made.revision}"
        raise HandbookError(f"{wrong}; name the release {made.revision}, or {made.revision}.1 and the like")
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


def _refuse_unrevised(made: Release, last: Release) -> None:
    """Refuse models whose values are others under the same revision: two heaters would go by one name."""
    assert made.changes is not None
    told = [f"{model} ({', '.join(keys[:MOST_KEYS])})" for model, keys in made.changes.unrevised.items()]
    if told:
        wrong = f"since release {last.name} values changed under the same revision of {'; '.join(told)}"
        raise HandbookError(f"{wrong}; raise `revision` in the file of each, so that heaters can be told apart")


def _changes(folders: Folders, last: Release, loaded: Loaded, *, rendered: tuple[Rendered, ...] = ()) -> ChangeReport:
    then, now = read_frozen(folders.data, last.name), comparable(loaded, rendered)
    names = (last.name, loaded.book.words.changes["this-release"])
    return change_report(then, now, names, printer=Printed(loaded.book.style))


def _freeze(folder: Path, made: Release, results: dict[str, Any], *, documents: Mapping[str, bytes]) -> None:
    """Write the release's folder beside its place, then move it there in one step."""
    folder.mkdir(parents=True, exist_ok=True)
    for leftover in folder.glob(f"{_STAGED}*"):
        shutil.rmtree(leftover, ignore_errors=True)
    staged = Path(tempfile.mkdtemp(prefix=_STAGED, dir=folder))
    try:
        write_if_changed(staged / RECORD, pretty_bytes(RELEASE.dump_python(made, mode="json")))
        write_if_changed(staged / RESULTS, results_bytes(_kept(results)))
        for name, content in archives(documents, made.date).items():
            write_if_changed(staged / ARCHIVE / name, content)
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

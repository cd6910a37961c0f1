"""What moved between two states of the handbook, and whether a printed card is current: what the verb `changes` does.

A state is named by a word: a results.json, a folder of data, a release, or a git revision; or it is the project as it
stands. Everything but stored results is computed afresh by this generator.
"""

from __future__ import annotations

import shutil
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path

from generator.assemble.card_report import card_report, read_code, site_of
from generator.assemble.change_report import change_report
from generator.build import Folders, comparable, load
from generator.errors import HandbookError, InputFaults, PageFault
from generator.git_tree import commit_of, tree_at
from generator.model.changes import CardReport, ChangeReport
from generator.model.finding_rules import SAID
from generator.model.results_file import StoredResults
from generator.model.words import Style
from generator.read.finding_words import FOLDER as FINDINGS
from generator.read.finding_words import read_finding_words
from generator.read.reader_words import FOLDER as WORDS
from generator.read.reader_words import read_words
from generator.read.results_file import read_results
from generator.read.revisions import read_frozen, read_releases
from generator.render.change_texts import Printed
from generator.render.pages import render_pages
from generator.rules import declared_rules

HERE = "the project as it stands"
SHORT = 8  # signs of a commit that are shown
CODE_PLACE = "the code stands at the head of the card, such as 7KQM-2F9D"


@dataclass(frozen=True, slots=True)
class State:
    """One side of a comparison: what the reader calls it, its results, and what must be said of them."""

    name: str
    results: StoredResults
    notes: tuple[str, ...] = ()


def changes(folders: Folders, old: str | None, new: str | None) -> ChangeReport:
    """Return what moved from the state named `old` (None: the last release) to `new` (None: the project as it stands).

    HandbookError where a word names nothing, or what it names is at fault.
    """
    before = _state(folders, old if old is not None else _last_release(folders))
    after = _state(folders, new) if new is not None else _computed(HERE, folders)
    printed = Printed(Style(after.results.handbook.units, read_words(folders.content)))
    report = change_report(before.results, after.results, (before.name, after.name), printer=printed)
    return replace(report, notes=(*_unpaged(before), *_unpaged(after), *report.notes))


def card_status(folders: Folders, text: str) -> CardReport:
    """Return whether the card that bears the code `text` is current, and what differs on it where it is not.

    HandbookError for what is no code, and for a code that neither today's cards nor those of any release bear.
    """
    code = read_code(text)
    if code is None:
        raise HandbookError(f"'{text}' is no code of a card; {CODE_PLACE}")
    loaded = load(folders)
    now = comparable(loaded)
    site = site_of(code, now)
    if site is not None:
        return CardReport(code, site, loaded.cards[site].head.site, None, code)
    for release in reversed(read_releases(folders.data)):
        then = read_frozen(folders.data, release.name)
        site = site_of(code, then)
        if site is not None:
            return card_report(
                code,
                site,
                then,
                now=now,
                report=change_report(then, now, (release.name, HERE), printer=Printed(loaded.book.style)),
            )
    unknown = "neither a card as it would be printed today nor a card of any release bears it"
    raise HandbookError(f"{code}: {unknown}. Do not rely on that card: print the site's card again. ({CODE_PLACE})")


def _unpaged(state: State) -> tuple[str, ...]:
    """Return what is said of a side, and at least why the pages are not compared where it has none."""
    if state.notes or state.results.codes.get("page"):
        return state.notes
    return (f"the pages are not compared: {state.name} has no codes of pages",)


def _last_release(folders: Folders) -> str:
    releases = read_releases(folders.data)
    if not releases:
        raise HandbookError(
            "nothing to compare with: there is no release yet; name a git revision, a results.json or a folder of data"
        )
    return releases[-1].name


def _state(folders: Folders, word: str) -> State:
    """Return the state that a word names: a file, else a folder, else a release, else a git revision."""
    path = Path(word)
    if path.is_file():
        return State(word, read_results(path))
    if path.is_dir():
        return _folder(folders, path, word)
    names = [release.name for release in read_releases(folders.data)]
    if word in names:
        return State(f"release {word}", read_frozen(folders.data, word))
    try:
        commit = commit_of(folders.root, word)
    except HandbookError as error:
        known = ", ".join(names) or "none"
        raise HandbookError(f"'{word}' is no file, no folder and no release ({known}), and {error}") from None
    return _at_commit(folders, f"{word} ({commit[:SHORT]})", commit)


def _folder(folders: Folders, path: Path, word: str) -> State:
    """Return the state of a whole project, or of a folder of data with the words of the project here."""
    if (path / "site_data").is_dir():
        return _computed(word, Folders(path))
    with tempfile.TemporaryDirectory(prefix="handbook-") as name:
        shutil.copytree(path, Path(name) / "site_data")  # files are told apart by their path under this name
        return _computed(word, Folders(Path(name), folders.root))


def _at_commit(folders: Folders, name: str, commit: str) -> State:
    """Return the state at a git commit. What of its words does not suit this generator is left out or replaced."""
    with tree_at(folders.root, commit, ("site_data", "content")) as tree:
        old, notes = Folders(tree), _with_words(name, tree / "content", folders.content)
        try:
            return replace(_computed(name, old), notes=notes)
        except PageFault as fault:
            note = f"the pages of {name} cannot be made by this version of the program, and are not compared: {fault}"
            return State(name, comparable(load(old)), (*notes, note))


def _with_words(name: str, then: Path, now: Path) -> tuple[str, ...]:
    """Give the content of another revision today's words where its own do not suit this program; return what to say."""
    notes = []
    for folder, read in (
        (WORDS, read_words),
        (FINDINGS, lambda content: read_finding_words(content, declared_rules(), SAID)),
    ):
        try:
            read(then)
        except InputFaults:
            shutil.rmtree(then / folder, ignore_errors=True)
            shutil.copytree(now / folder, then / folder)
            notes.append(f"content/{folder} of {name} does not suit this version of the program: today's stands for it")
    return tuple(notes)


def _computed(name: str, folders: Folders) -> State:
    try:
        loaded = load(folders)
    except InputFaults as faults:
        raise HandbookError(f"in {name}:\n{faults}") from None
    return State(name, comparable(loaded, render_pages(folders.content, loaded.book)))

"""What moved between two states of the handbook, and whether a printed card is current: what the verb `changes` does.

A state is named by a word: a results.json, a folder of data, a release, or a git revision; or it is the project as it
stands. Everything but stored results is computed afresh by this generator.
"""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from generator.assemble.card.current import card_report, site_of
from generator.assemble.changes.compare import change_report
from generator.assemble.changes.work import with_work
from generator.build import comparable, load_told
from generator.errors import HandbookError, InputFaults, PageFault, shortened
from generator.folders import Folders
from generator.git_tree import commit_of, tree_at
from generator.model.content.change_words import ChangeWord
from generator.model.content.words import Style, Words
from generator.model.documents.change_report import CardReport, ChangeReport
from generator.model.documents.results_file import StoredResults
from generator.model.finding_rules import SAID
from generator.model.register.card_codes import read_code
from generator.model.settings import ENGLISH
from generator.project import project
from generator.read.content.figure_words import read_figure_words
from generator.read.content.finding_words import FOLDER as FINDINGS
from generator.read.content.finding_words import read_finding_words
from generator.read.content.language import languages
from generator.read.content.words import FOLDER as WORDS
from generator.read.content.words import read_words
from generator.read.content.work import read_work
from generator.read.results_file import read_results
from generator.read.revisions import read_frozen, read_releases
from generator.render.changes.texts import Printed
from generator.render.pages.write import render_pages
from generator.rules import declared_rules
from generator.said import said_texts

Said = Mapping[ChangeWord, str]

# What today's words can take the place of in another revision, by folder.
_READERS: Mapping[str, Callable[[Path, str], object]] = {
    WORDS: lambda content, language: (
        read_words(content, language),
        read_figure_words(content, said_texts(), language=language),
    ),
    FINDINGS: lambda content, language: read_finding_words(content, declared_rules(), SAID, language=language),
}
_OTHER_RULES = (
    "The data of {name} follow the rules of the program of that time, and this program reads them by its own. Compare "
    "with a release, which every later program reads; or check {name} out, run its own `handbook build`, and give the "
    "build/results.json that it writes in place of {name}."
)
SHORT = 8  # signs of a commit that are shown
CODE_PLACE = "the code stands at the head of the card, such as 7KQM-2F9D"


@dataclass(frozen=True, slots=True)
class State:
    """One side of a comparison: what the reader calls it, its results, and what must be said of them."""

    name: str
    results: StoredResults
    notes: tuple[str, ...] = ()


def changes(folders: Folders, old: str | None, new: str | None, *, words: Words) -> ChangeReport:
    """Return what moved from the state named `old` (None: the last release) to `new` (None: the project as it stands).

    HandbookError where a word names nothing, or what it names is at fault.
    """
    said = words.changes
    before = _state(folders, old if old is not None else _last_release(folders), said)
    after = _state(folders, new, said) if new is not None else _computed(said["here"], folders)
    printed = Printed(Style(after.results.handbook.units, words))
    report = change_report(before.results, after.results, (before.name, after.name), printer=printed)
    report = with_work(report, before.results, after.results, rules=read_work(folders.content))
    return replace(report, notes=(*_unpaged(before, said), *_unpaged(after, said), *report.notes))


def card_status(folders: Folders, text: str) -> CardReport:
    """Return whether the card that bears the code `text` is current, and what differs on it where it is not.

    HandbookError for what is no code, and for a code that neither today's cards nor those of any release bear.
    """
    code = read_code(text)
    if code is None:
        raise HandbookError(f"'{text}' is no code of a card; {CODE_PLACE}")
    loaded = load_told(folders)
    now, here = comparable(loaded), loaded.book.words.changes["here"]
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
                report=change_report(then, now, (release.name, here), printer=Printed(loaded.book.style)),
            )
    unknown = "neither a card as it would be printed today nor a card of any release bears it"
    raise HandbookError(f"{code}: {unknown}. Do not rely on that card: print the site's card again. ({CODE_PLACE})")


def _unpaged(state: State, said: Said) -> tuple[str, ...]:
    """Return what is said of a side, and at least why the pages are not compared where it has none."""
    if state.notes or state.results.codes.get("page"):
        return state.notes
    return (said["unpaged"].format(name=state.name),)


def _last_release(folders: Folders) -> str:
    releases = read_releases(folders.data)
    if not releases:
        raise HandbookError(
            "nothing to compare with: there is no release yet; name a git revision, a results.json or a folder of data"
        )
    return releases[-1].name


def _state(folders: Folders, word: str, said: Said) -> State:
    """Return the state that a word names: a file, else a folder, else a release, else a git revision."""
    path = Path(word)
    if path.is_file():
        return State(word, read_results(path))
    if path.is_dir():
        return _folder(folders, path, word)
    names = [release.name for release in read_releases(folders.data)]
    if word in names:
        return State(said["release-named"].format(release=word), read_frozen(folders.data, word))
    try:
        commit = commit_of(folders.root, word)
    except HandbookError as error:
        known = ", ".join(names) or "none"
        raise HandbookError(
            f"'{shortened(word)}' is no file, no folder and no release ({known}), and {error}"
        ) from None
    return _at_commit(folders, f"{word} ({commit[:SHORT]})", commit, said=said)


def _folder(folders: Folders, path: Path, word: str) -> State:
    """Return the state of a whole project, or of a folder of data with the words of the project here."""
    if (path / "site_data").is_dir():
        return _computed(word, project(path))
    with tempfile.TemporaryDirectory(prefix="handbook-") as name:
        shutil.copytree(path, Path(name) / "site_data")  # files are told apart by their path under this name
        return _computed(word, replace(project(Path(name)), words=folders.words or folders.root))


def _at_commit(folders: Folders, name: str, commit: str, *, said: Said) -> State:
    """Return the state at a git commit. What of its words does not suit this generator is left out or replaced."""
    with tree_at(folders.root, commit, ("site_data", "content")) as tree:
        old = Folders(tree) if folders.words is None else project(tree)
        notes = _with_words(name, old.content, folders.content, said=said)
        try:
            return replace(_computed(name, old, _OTHER_RULES.format(name=name)), notes=notes)
        except PageFault as fault:
            note = said["pages-unmade"].format(name=name, fault=fault)
            return State(name, comparable(load_told(old)), (*notes, note))


def _with_words(name: str, then: Path, now: Path, *, said: Said) -> tuple[str, ...]:
    """Give the content of another revision today's words where its own do not suit this program; return what to say."""
    notes = []
    for language in (ENGLISH, *languages(then)):
        inside = "" if language == ENGLISH else f"{language}/"
        for folder, read in _READERS.items():
            try:
                read(then, language)
            except InputFaults:
                shutil.rmtree(then / inside / folder, ignore_errors=True)
                if (now / inside / folder).is_dir():
                    shutil.copytree(now / inside / folder, then / inside / folder)
                notes.append(said["words-unfit"].format(folder=f"{inside}{folder}", name=name))
    return tuple(notes)


def _computed(name: str, folders: Folders, hint: str = "") -> State:
    """Return the state that a project computes to. HandbookError where it is at fault, with the `hint` what to do."""
    try:
        loaded = load_told(folders)
    except InputFaults as faults:
        raise HandbookError(f"in {name}:\n{faults}\n{hint}".rstrip()) from None
    return State(name, comparable(loaded, render_pages(folders.content, loaded.book)))

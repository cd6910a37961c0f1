"""Releases: what was frozen when a revision went out, and what has moved since."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from pydantic import TypeAdapter

from generator.model.documents.change_report import (
    ChangeReport,
    CodeChange,
    FigureChange,
    FindingChange,
    InputChange,
    subject_of,
)

FORMAT = "handbook-release"
FORMAT_VERSION = 1
# The documents that a release keeps, by name; those of a site stand behind its id and a slash.
CARD, BOOK, PAGES = "card.pdf", "_book/handbook.pdf", "_pages"


@dataclass(frozen=True, slots=True)
class Approval:
    """Who (a role or initials) approved a release, when and why."""

    by: str
    date: datetime.date
    why: str


@dataclass(frozen=True, slots=True)
class Release:
    """A revision that went out: its name, the handbook's revision and date, and what moved since the one before.

    `changes` is None for the first. `documents` are those that it keeps, printed ones and built pages,
    by name, each with its SHA-256. Neither they nor an approval are there where it was made before releases kept them.
    """

    format: str
    format_version: int
    name: str
    revision: str
    date: datetime.date
    generator: str
    changes: ChangeReport | None
    approved: Approval | None = None
    documents: Mapping[str, str] = field(default_factory=dict)

    @property
    def pages(self) -> tuple[str, ...]:
        """The paths of the files of its built pages; none where it was made before releases kept them."""
        return tuple(name.removeprefix(f"{PAGES}/") for name in self.documents if name.startswith(f"{PAGES}/"))

    @property
    def order(self) -> tuple[datetime.date, list[tuple[int, str]]]:
        """What releases are sorted by: the date, then the name, numbers in it by their value (9 before 10)."""
        parts = re.findall(r"[0-9]+|[^0-9]+", self.name)
        return self.date, [(int(part) if part.isdecimal() else -1, part) for part in parts]


RELEASE = TypeAdapter(Release)


@dataclass(frozen=True, slots=True)
class Entry:
    """One stretch of the history: what moved until a release, or since it where `pending`."""

    release: Release
    changes: ChangeReport
    pending: bool = False

    def figures_of(self, subject: str) -> tuple[FigureChange, ...]:
        """Return the figures of a subject (`site.<id>` or `model.<id>`) that moved, limits crossed first."""
        moved = [change for change in self.changes.figures if subject_of(change.id) == subject]
        return tuple(sorted(moved, key=lambda change: not change.crossing))

    def findings_of(self, subject: str) -> tuple[FindingChange, ...]:
        """Return the findings of a subject that changed."""
        return tuple(change for change in self.changes.findings if change.of == subject)

    def inputs_of(self, subject: str) -> tuple[InputChange, ...]:
        """Return what was changed in the file of a subject."""
        return tuple(change for change in self.changes.inputs if change.subject == subject)

    def cards_of(self, subject: str) -> tuple[CodeChange, ...]:
        """Return the change of a site's card: one or none."""
        return tuple(change for change in self.changes.cards if f"site.{change.id}" == subject)

    def tells_of(self, subject: str) -> bool:
        """Whether anything of a subject moved."""
        of = (self.figures_of, self.findings_of, self.inputs_of, self.cards_of)
        return any(changes(subject) for changes in of)


@dataclass(frozen=True, slots=True)
class History:
    """The releases, oldest first, and what has moved since the last one (`pending`; None before the first).

    `codes` are the revision codes of the last release; `was` the words that mark a figure or finding that says
    something else now, by id: what it was.
    """

    releases: tuple[Release, ...] = ()
    pending: ChangeReport | None = None
    codes: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    was: Mapping[str, str] = field(default_factory=dict)
    marked: bool = False

    @property
    def last(self) -> Release | None:
        """The last release; None before the first."""
        return self.releases[-1] if self.releases else None

    @property
    def entries(self) -> tuple[Entry, ...]:
        """What moved, newest first: since the last release, then from release to release."""
        return tuple(self._entries())

    def _entries(self) -> Iterator[Entry]:
        if self.last and self.pending and not self.pending.empty:
            yield Entry(self.last, self.pending, pending=True)
        for release in reversed(self.releases):
            if release.changes is not None:
                yield Entry(release, release.changes)

"""What a user is told when something is wrong: facts in fields, the sentence built in one place.

A `Fault` is one thing wrong at one place of one file. A run gathers all its faults and raises them together as
`InputFaults`, so that a writer mends a file in one pass. `MissingCell` is raised by a code table that has no value
where a calculation needs one: never a neighbour's value.
"""

from __future__ import annotations

import errno
import os
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import ClassVar

MOST_REPEATED = 80  # letters of a word that a message repeats
FILE_KEY = "file"  # stands for the key where a fault is one of the file as a whole


def dotted(path: Sequence[str | int]) -> str:
    """Return a key path as a reader sees it, list items counted from 1: stages[2].closes_at is the second stage's."""
    words = "".join(f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in path)
    return words.removeprefix(".") or FILE_KEY


def masked(text: str) -> str:
    """Return a text as one line that a terminal only shows: control characters and line ends as their escapes."""
    return "".join(sign if sign.isprintable() or sign == "\N{NO-BREAK SPACE}" else repr(sign)[1:-1] for sign in text)


def shortened(text: str) -> str:
    """Return a word of the user's as a message repeats it: masked, and cut where it is long."""
    return masked(text if len(text) <= MOST_REPEATED else f"{text[:MOST_REPEATED]}…")


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing wrong: where (file, line, column, key), what was found, what would be right."""

    file: str
    line: int
    column: int
    key: str
    wrong: str
    expected: str

    def __str__(self) -> str:
        """Return `file:line:column: key: what is wrong; what is expected`."""
        return f"{masked(self.file)}:{self.line}:{self.column}: {masked(self.key)}: {self.wrong}; {self.expected}"


class HandbookError(Exception):
    """Anything the command line reports in words, without a traceback; `exit_status`: what the command ends with."""

    exit_status: ClassVar[int] = 1


class ProgramFault(HandbookError):
    """A fault of the program itself, which only its maker can mend."""

    def __init__(self, error: BaseException) -> None:
        kind = type(error).__name__
        untouched = "what was published before is untouched"
        super().__init__(
            f"a fault of the program itself ({kind}: {error}); {untouched}.\n"
            "Please report it with what `handbook --debug …` prints."
        )


class ProgramFaultElsewhere(HandbookError):
    """The words of a `ProgramFault` that came about in a process of its own, and the `traceback` that it had there."""

    def __init__(self, words: str, traceback: str) -> None:
        self.traceback = traceback
        super().__init__(words)


class SystemRefusal(HandbookError):
    """The system would not do what was asked of it: no room, no right, no such file, a name that is too long."""

    def __init__(self, error: OSError) -> None:
        named = [masked(os.fspath(name)) for name in (error.filename, error.filename2) if isinstance(name, str)]
        if error.args and isinstance(error.args[0], list):  # of shutil.copytree: (from, to, why) of each file
            source, _, why = error.args[0][0]
            found = re.match(r"\[Errno (\d+)\] ([^:]*)", str(why))
            error = OSError(int(found[1]), found[2]) if found else OSError(None, masked(str(why)))
            named = [masked(os.fspath(source))]
        subject = " to ".join(named) or "the system"
        what = _TO_DO.get(error.errno or 0, "mend that and run the command again")
        super().__init__(f"{subject}: {error.strerror or error}; {what}. What was published before is untouched.")


_TO_DO = {
    errno.ENOSPC: "free some room on that disk and run the command again",
    errno.EDQUOT: "free some of your room on that disk and run the command again",
    errno.EROFS: "this disk can only be read: work in a folder that you may write to",
    errno.EACCES: "give yourself the right to read it, or to write there",
    errno.EPERM: "give yourself the right to read it, or to write there",
    errno.ENAMETOOLONG: "use shorter ids, or a folder nearer to the root",
    errno.ENOENT: "put it there, or name one that is there",
    errno.ELOOP: "a link leads to itself: remove it",
    errno.EMFILE: "too many files are open: run fewer commands at once",
}


def in_words(error: BaseException) -> HandbookError:
    """Return what a user is told of an exception: a fault as it is, the system's refusal, or a fault of the program."""
    if isinstance(error, HandbookError):
        return error
    return SystemRefusal(error) if isinstance(error, OSError) else ProgramFault(error)


class InputFaults(HandbookError):
    """All the faults of a run, sorted by place."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class MissingCell(HandbookError):
    """A code table has no value for what a calculation needs; names table and edition."""

    def __init__(self, table: str, row: str, column: str, *, have: str) -> None:
        self.table, self.row, self.column, self.have = table, row, column, have
        super().__init__(f"{table}: no value for {row!r} in column {column!r}; the table has {have}")


class CannotCompute(HandbookError):
    """A calculation refuses an input: `where` is the key path inside the input, such as ("route", "ambient").

    The build turns it into a located `Fault`.
    """

    def __init__(self, where: tuple[str | int, ...], wrong: str, expected: str) -> None:
        self.where, self.wrong, self.expected = where, wrong, expected
        super().__init__(f"{dotted(where)}: {wrong}; {expected}")


class ComputeFaults(HandbookError):
    """What the compute stage refused, by subject: ((kind, id), refusal) pairs, kind "site" or "model"."""

    def __init__(self, refusals: Iterable[tuple[tuple[str, str], CannotCompute]]) -> None:
        self.refusals = tuple(refusals)
        super().__init__("\n".join(f"{subject[1]}: {refusal}" for subject, refusal in self.refusals))


class PageFault(HandbookError):
    """A page that must not be published: a required notice is missing, a link is broken."""


class Unsafe(HandbookError):
    """All was read and computed, and something in it is not safe to go on with."""

    exit_status = 2


class OpenStops(Unsafe):
    """Findings of severity stop without a decision that holds; `findings` holds their ids."""

    before, after = "", ""

    def __init__(self, findings: Iterable[str]) -> None:
        self.findings = tuple(findings)
        count = len(self.findings)
        super().__init__(f"{self.before}{count} findings say stop: {', '.join(self.findings)}{self.after}")


class NotReleased(OpenStops):
    """Open stops that stand against a release."""

    before, after = (
        "not released: ",
        "; mend each, and measure again where a visit found it; an owner may accept what is no matter of code or maker",
    )


class SafetyMoved(Unsafe):
    """Something that touches safety is not what it was: a limit, a finding, or what a card says."""


class Interrupted(HandbookError):
    """A run that a person stopped; it says how far it came. The status is that of a shell for the signal."""

    exit_status = 130

    def __init__(self, what: str = "", done: int = 0, total: int | None = None) -> None:
        while_ = f" while {what}" if what else ""
        count = f", {done} of {total} done and whole" if total else ""
        super().__init__(f"interrupted{while_}{count}; what was published before is untouched")


class NotReceived(HandbookError):
    """Some lines sent from the field could not be taken; what was wrong with each is said."""


class NotPrinted(HandbookError):
    """Some cards could not be printed; what was wrong with each is said."""


class PrintFault(HandbookError):
    """A card, label or book that cannot be printed; `subject` is whose it is, such as "site potting-shed"."""

    def __init__(self, subject: str, wrong: str, expected: str) -> None:
        self.subject, self.wrong, self.expected = subject, wrong, expected
        super().__init__(f"{subject}: {wrong}; {expected}")

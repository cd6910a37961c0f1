"""What a user is told when something is wrong: facts in fields, the sentence built in one place.

A `Fault` is one thing wrong at one place of one file. A run gathers all its faults and raises them together as
`InputFaults`, so that a writer mends a file in one pass. `MissingCell` is raised by a code table that has no value
where a calculation needs one: never a neighbour's value.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

FILE_KEY = "file"  # stands for the key where a fault is one of the file as a whole


def dotted(path: Sequence[str | int]) -> str:
    """Return a key path as a reader sees it, list items counted from 1: stages[2].closes_at is the second stage's."""
    words = "".join(f"[{part + 1}]" if isinstance(part, int) else f".{part}" for part in path)
    return words.removeprefix(".") or FILE_KEY


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
        return f"{self.file}:{self.line}:{self.column}: {self.key}: {self.wrong}; {self.expected}"


class HandbookError(Exception):
    """Anything the command line reports in words, without a traceback."""


class InputFaults(HandbookError):
    """All the faults of a run, sorted by place."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(set(faults)))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class MissingCell(HandbookError):
    """A code table has no value for what a calculation needs; names table and edition."""

    def __init__(self, table: str, row: str, column: str, have: str) -> None:
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


class OpenStops(HandbookError):
    """Findings of severity stop without a decision that holds stand against a release; `findings` holds their ids."""

    def __init__(self, findings: Iterable[str]) -> None:
        self.findings = tuple(findings)
        told = f"not released: {len(self.findings)} findings say stop: {', '.join(self.findings)}"
        super().__init__(f"{told}; mend each; an owner may accept what is no matter of code or maker")


class PrintFault(HandbookError):
    """A card, label or book that cannot be printed; `subject` is whose it is, such as "site potting-shed"."""

    def __init__(self, subject: str, wrong: str, expected: str) -> None:
        self.subject, self.wrong, self.expected = subject, wrong, expected
        super().__init__(f"{subject}: {wrong}; {expected}")

"""JSON files that the program wrote itself, read back: results, and the records of releases."""

from __future__ import annotations

from pathlib import Path
from typing import TypeVar

from pydantic import TypeAdapter, ValidationError

from generator.errors import FILE_KEY, Fault, InputFaults, dotted
from generator.model import results_file, revisions
from generator.model.results_file import RESULTS, StoredResults
from generator.model.revisions import RELEASE, Release

Stored = TypeVar("Stored", StoredResults, Release)
_EXPECTED = "a file as the handbook command wrote it: restore it, or write it anew"


def read_results(path: Path) -> StoredResults:
    """Return a results.json. InputFaults where it is none, or of a format that this program does not read."""
    return _read(path, RESULTS, results_file.FORMAT, results_file.FORMAT_VERSION)


def read_release(path: Path) -> Release:
    """Return the record of a release. InputFaults as for results."""
    return _read(path, RELEASE, revisions.FORMAT, revisions.FORMAT_VERSION)


def _read(path: Path, adapter: TypeAdapter[Stored], wanted: str, version: int) -> Stored:
    try:
        stored = adapter.validate_json(path.read_bytes())
    except OSError as error:
        raise _fault(path, f"this cannot be read: {error.strerror}", _EXPECTED) from None
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        where = dotted([part for part in first["loc"]])
        raise _fault(path, f"this is no {wanted} file: {first['msg']}", _EXPECTED, where) from None
    if (stored.format, stored.format_version) != (wanted, version):
        wrong = f"the format is {stored.format} {stored.format_version}"
        raise _fault(path, wrong, f"{wanted} {version}, as this version of the program writes it", "format")
    return stored


def _fault(path: Path, wrong: str, expected: str, key: str = FILE_KEY) -> InputFaults:
    return InputFaults([Fault(path.as_posix(), 1, 1, key, wrong, expected)])

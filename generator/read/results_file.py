"""JSON files that the program wrote itself, read back: results, and the records of releases."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from generator.errors import FILE_KEY, Fault, InputFaults, dotted
from generator.model.documents import results_file, revisions
from generator.model.documents.results_file import RESULTS, StoredResults
from generator.model.documents.revisions import RELEASE, Release
from generator.read.results_migrations import migrated

Stored = TypeVar("Stored", StoredResults, Release)
_EXPECTED = "a file as the handbook command wrote it: restore it, or write it anew"


def read_results(path: Path) -> StoredResults:
    """Return a results.json, brought to today's format. InputFaults where it is none, or of a later format."""
    document = _read(path, results_file.FORMAT, results_file.FORMAT_VERSION)
    try:
        today = migrated(document)
    except (AttributeError, KeyError, TypeError) as error:
        wrong = f"this is no {results_file.FORMAT} file of format {document['format_version']}: {error}"
        raise _fault(path, wrong, _EXPECTED) from None
    return _validated(path, RESULTS, today, wanted=results_file.FORMAT)


def read_release(path: Path) -> Release:
    """Return the record of a release. InputFaults as for results."""
    document = _read(path, revisions.FORMAT, revisions.FORMAT_VERSION)
    return _validated(path, RELEASE, document, wanted=revisions.FORMAT)


def _read(path: Path, wanted: str, version: int) -> dict[str, Any]:
    """Return the file's document, which says that it is of the `wanted` format and at most of this version."""
    try:
        document = json.loads(path.read_bytes())
    except OSError as error:
        raise _fault(path, f"this cannot be read: {error.strerror}", _EXPECTED) from None
    except (ValueError, RecursionError) as error:
        raise _fault(path, f"this is no {wanted} file: it is no JSON ({error})", _EXPECTED) from None
    if not isinstance(document, dict) or document.get("format") != wanted:
        raise _fault(path, f"this is no {wanted} file", _EXPECTED)
    found = document.get("format_version")
    if isinstance(found, bool) or not isinstance(found, int) or found < 1:
        raise _fault(path, f"this is no version of {wanted}: {found}", _EXPECTED, key="format_version")
    if found > version:
        wrong = f"the format is {wanted} {found}, and this version of the program reads no later one than {version}"
        raise _fault(path, wrong, "read it with the version that wrote it, or a later one", key="format_version")
    return document


def _validated(path: Path, adapter: TypeAdapter[Stored], document: Any, *, wanted: str) -> Stored:
    try:
        return adapter.validate_python(document)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        where = dotted([part for part in first["loc"]])
        raise _fault(path, f"this is no {wanted} file: {first['msg']}", _EXPECTED, key=where) from None


def _fault(path: Path, wrong: str, expected: str, *, key: str = FILE_KEY) -> InputFaults:
    return InputFaults([Fault(path.as_posix(), 1, 1, key, wrong, expected)])

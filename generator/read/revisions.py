"""The releases of a handbook: site_data/revisions/<name>/release.json, and beside it the frozen results.json."""

from __future__ import annotations

import hashlib
import os
import zipfile
from pathlib import Path

from generator.errors import FILE_KEY, Fault, HandbookError, InputFaults
from generator.model.documents.results_file import StoredResults
from generator.model.documents.revisions import Release
from generator.read.results_file import read_release, read_results
from generator.read.yaml.folder import entries_of

FOLDER, RECORD, RESULTS, ARCHIVE = "revisions", "release.json", "results.json", "archive"
NOTES = (".md", ".txt")  # how a file ends that may stand beside the releases


def read_releases(data: Path) -> tuple[Release, ...]:
    """Return the releases under `data` (site_data/), in order: by date, then by name.

    InputFaults for all that are broken, a folder that cannot be read or holds no record among them: cards printed from
    a release that is passed over would stay on the wall.
    """
    store = data / FOLDER
    if not os.path.lexists(store):
        return ()
    entries, faults = entries_of(store, data.parent)
    releases = []
    for entry in entries:
        if os.path.isfile(entry):  # noqa: PTH113 (Path.is_file raises where the store may not be entered)
            if entry.suffix not in NOTES:
                faults.append(_in_its_place(entry, data.parent))
            continue
        try:
            releases.append(_named(entry / RECORD))
        except InputFaults as broken:
            faults += broken.faults
    if faults:
        raise InputFaults(faults)
    return tuple(sorted(releases, key=lambda release: release.order))


def _in_its_place(file: Path, root: Path) -> Fault:
    wrong = "a file stands where the folder of a release would"
    expected = f"the release's folder: restore it; a note beside the releases ends in {' or '.join(NOTES)}"
    return Fault(file.relative_to(root).as_posix(), 1, 1, FILE_KEY, wrong, expected)


def _named(path: Path) -> Release:
    release = read_release(path)
    if release.name != path.parent.name:
        wrong = f"'{release.name}' is not the folder's name"
        raise InputFaults(
            [Fault(path.as_posix(), 1, 1, "name", wrong, f"give the folder the name {release.name} again")]
        )
    return release


def read_issued(data: Path, release: Release, document: str) -> bytes:
    """Return a document as a release issued it, such as `potting-shed/card.pdf`.

    HandbookError where the release holds none of that name; InputFaults where it is not what was issued.
    """
    if not release.documents:
        raise HandbookError(
            f"release {release.name} keeps no printed documents: it was made before releases did. Print them with the "
            "program and the data of its day, from version control"
        )
    if document not in release.documents:
        known = ", ".join(sorted({name.partition("/")[0] for name in release.documents if not name.startswith("_")}))
        raise HandbookError(f"release {release.name} keeps no {document}; it keeps those of {known}")
    folder, _, file = document.partition("/")
    path = data / FOLDER / release.name / ARCHIVE / f"{folder}.zip"
    try:
        with zipfile.ZipFile(path) as archive:
            content = archive.read(file)
    except (OSError, KeyError, zipfile.BadZipFile) as error:
        raise InputFaults([_not_issued(path, file, f"this cannot be read: {error}")]) from None
    if hashlib.sha256(content).hexdigest() != release.documents[document]:
        raise InputFaults([_not_issued(path, file, "this is not what was issued: its SHA-256 is another")])
    return content


def _not_issued(path: Path, file: str, wrong: str) -> Fault:
    return Fault(path.as_posix(), 1, 1, file, wrong, "the file as the release wrote it: restore it")


def read_frozen(data: Path, name: str) -> StoredResults:
    """Return the results that a release froze. InputFaults where they are not there or broken."""
    return read_results(data / FOLDER / name / RESULTS)

"""The releases of a handbook: site_data/revisions/<name>/release.json, and beside it the frozen results.json."""

from __future__ import annotations

import os
from pathlib import Path

from generator.errors import Fault, InputFaults
from generator.model.results_file import StoredResults
from generator.model.revisions import Release
from generator.read.folder import entries_of
from generator.read.results_file import read_release, read_results

FOLDER, RECORD, RESULTS = "revisions", "release.json", "results.json"


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
            continue  # a note beside the releases
        try:
            releases.append(_named(entry / RECORD))
        except InputFaults as broken:
            faults += broken.faults
    if faults:
        raise InputFaults(faults)
    return tuple(sorted(releases, key=lambda release: release.order))


def _named(path: Path) -> Release:
    release = read_release(path)
    if release.name != path.parent.name:
        wrong = f"'{release.name}' is not the folder's name"
        raise InputFaults(
            [Fault(path.as_posix(), 1, 1, "name", wrong, f"give the folder the name {release.name} again")]
        )
    return release


def read_frozen(data: Path, name: str) -> StoredResults:
    """Return the results that a release froze. InputFaults where they are not there or broken."""
    return read_results(data / FOLDER / name / RESULTS)

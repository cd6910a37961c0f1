"""The releases of a handbook: site_data/revisions/<name>/release.json, and beside it the frozen results.json."""

from __future__ import annotations

from pathlib import Path

from generator.errors import Fault, InputFaults
from generator.model.results_file import StoredResults
from generator.model.revisions import Release
from generator.read.results_file import read_release, read_results

FOLDER, RECORD, RESULTS = "revisions", "release.json", "results.json"


def read_releases(data: Path) -> tuple[Release, ...]:
    """Return the releases under `data` (site_data/), in order: by date, then by name. InputFaults for a broken one."""
    records = [path for path in (data / FOLDER).glob(f"*/{RECORD}") if not path.parent.name.startswith(".")]
    return tuple(sorted(map(_named, records), key=lambda release: release.order))


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

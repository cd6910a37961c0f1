"""The releases of a handbook: site_data/revisions/<name>/release.json, and beside it the frozen results.json."""

from __future__ import annotations

from pathlib import Path

from generator.model.results_file import StoredResults
from generator.model.revisions import Release
from generator.read.results_file import read_release, read_results

FOLDER, RECORD, RESULTS = "revisions", "release.json", "results.json"


def read_releases(data: Path) -> tuple[Release, ...]:
    """Return the releases under `data` (site_data/), in order: by date, then by name. InputFaults for a broken one."""
    records = (data / FOLDER).glob(f"*/{RECORD}")
    return tuple(sorted((read_release(record) for record in records), key=lambda release: release.order))


def read_frozen(data: Path, name: str) -> StoredResults:
    """Return the results that a release froze. InputFaults where they are not there or broken."""
    return read_results(data / FOLDER / name / RESULTS)

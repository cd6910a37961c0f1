"""What a site costs a build of many, cold and after one number has changed: processor time, memory, bytes."""

from __future__ import annotations

import re
import sys
import tempfile
from pathlib import Path

from recorded import Measured, finished
from sites_made import sites

FEW, MANY = 50, 200  # what they differ by is of the sites alone
HANDBOOK = Path(sys.executable).parent / "handbook"


def built(folder: Path) -> tuple[float, float]:
    """Return processor time [s] and greatest memory of a process [MB] of a build."""
    _, cpu, memory = finished((HANDBOOK, "build"), folder)
    return cpu, memory


def one_number_changed(folder: Path) -> None:
    path = next((folder / "site_data" / "sites").glob("*.yaml"))
    text = path.read_text(encoding="utf-8")
    path.write_text(re.sub(r"(?m)^(  length: )\d", r"\g<1>1", text, count=1), encoding="utf-8")


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as name, Measured(__file__) as measured:
        few, many = (sites(Path(name) / str(count), count) for count in (FEW, MANY))
        (small, _), (large, memory) = built(few), built(many)
        one_number_changed(many)
        again, _ = built(many)
        size = sum(path.stat().st_size for path in (many / "build" / "site").rglob("*") if path.is_file())
        index = max(path.stat().st_size for path in (many / "build" / "site" / "assets").glob("search-*.js"))
        measured.report("a site of a cold build", [1e3 * (large - small) / (MANY - FEW)], "ms of processor time")
        measured.report(f"{MANY} sites, cold", [large], "s of processor time")
        measured.report(f"{MANY} sites, one number changed", [again], "s of processor time")
        measured.report("the second of the first", [again / large], "times")
        measured.report(f"memory of the largest process at {MANY} sites", [memory], "MB")
        measured.report("a site of the handbook", [size / MANY / 1e3], "kB")
        measured.report("the longest index of the search", [index / 1e3], "kB")

"""Time of a whole `handbook build` of the demo beside `mkdocs build` alone on the pages it wrote, turn by turn."""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent
RUNS = 7
QUIET = os.environ | {"NO_MKDOCS_2_WARNING": "true"}


def timed(*command: str | Path, folder: Path) -> float:
    start = time.perf_counter()
    subprocess.run(command, cwd=folder, check=True, stdout=subprocess.DEVNULL, env=QUIET)
    return time.perf_counter() - start


def report(name: str, runs: list[float]) -> float:
    median = statistics.median(runs)
    print(f"{name}: median {median:.2f} s, {min(runs):.2f} to {max(runs):.2f} s, {len(runs)} runs")
    return median


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as name:
        project = Path(name)
        for part in ("site_data", "content"):
            shutil.copytree(ROOT / part, project / part)
        shutil.copy(ROOT / "mkdocs.yml", project)
        first = timed(BIN / "handbook", "build", folder=project)
        whole, alone = [], []
        for _ in range(RUNS):
            whole.append(timed(BIN / "handbook", "build", folder=project))
            alone.append(
                timed(BIN / "mkdocs", "build", "--quiet", "--site-dir", project / "plain", folder=project / "build")
            )
        pages = len(list((project / "build" / "pages").rglob("*.md")))
        print(f"{pages} pages; load of the machine {os.getloadavg()[0]:.1f}; first build {first:.2f} s")
        ratio = report("handbook build", whole) / report("mkdocs build alone", alone)
        print(f"ratio of the medians: {ratio:.2f}")

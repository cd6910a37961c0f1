"""Time of a whole `handbook build` of the demo beside `mkdocs build` alone on the pages it wrote, turn by turn."""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from pathlib import Path

from recorded import Measured, finished

ROOT = Path(__file__).parents[2]
BIN = Path(sys.executable).parent
RUNS = 7
QUIET = os.environ | {"NO_MKDOCS_2_WARNING": "true"}


def timed(*command: str | Path, folder: Path) -> float:
    return finished(command, folder, QUIET)[0]


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as name, Measured(__file__) as measured:
        project = Path(name)
        for part in ("site_data", "content"):
            shutil.copytree(ROOT / part, project / part)
        shutil.copy(ROOT / "mkdocs.yml", project)
        measured.report("first build", [timed(BIN / "handbook", "build", folder=project)], "s")
        whole, alone = [], []
        for _ in range(RUNS):
            whole.append(timed(BIN / "handbook", "build", folder=project))
            alone.append(
                timed(BIN / "mkdocs", "build", "--quiet", "--site-dir", project / "plain", folder=project / "build")
            )
        print(f"  {len(list((project / 'build' / 'pages').rglob('*.md')))} pages")
        ratio = measured.report("handbook build", whole, "s") / measured.report("mkdocs build alone", alone, "s")
        measured.report("ratio of the medians", [ratio], "times")

"""The same inputs give the same bytes, wherever, whenever and in whatever order a machine keeps its sets."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.changes.project import copy_of_demo
from tests.frozen import ROOT

pytestmark = pytest.mark.heavy
VERBS = (
    ("build",),
    ("card", "--all", "--combine"),
    ("label", "--all"),
    ("record", "--all"),
    ("print", "--only", "creamery"),
    ("export",),
    ("export", "--format", "jsonl"),
    ("schema",),
)
HERE = {"PYTHONHASHSEED": "1", "TZ": "UTC", "LC_ALL": "C"}
# A folder of another depth with signs of its own, half a day away, other orders of sets and of folders, other locale.
THERE = {"PYTHONHASHSEED": "77", "TZ": "Pacific/Auckland", "LC_ALL": "C.UTF-8", "LANG": "tr_TR.UTF-8", "COLUMNS": "40"}


def made(root: Path, environment: dict[str, str]) -> dict[str, bytes]:
    """Return what every verb writes in a project at `root`, by path."""
    root.mkdir(parents=True)
    copy_of_demo(root, {"rill-4m", "tarn-18"}, {"seedling-house", "creamery"})
    shutil.copytree(ROOT / "content", root / "content")
    shutil.copy(ROOT / "mkdocs.yml", root)
    for verb in VERBS:
        run = subprocess.run(
            [sys.executable, "-m", "generator", "--root", str(root), *verb],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
            capture_output=True,
            text=True,
            timeout=240,
        )
        assert run.returncode in (0, 2), (verb, run.stderr)
    written = (*(root / "build").rglob("*"), *(root / "site_data" / "schema").rglob("*"))
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in sorted(written) if path.is_file()}


def test_folder_zone_locale_and_hash_seed_move_no_byte(tmp_path: Path) -> None:
    here = made(tmp_path / "a", HERE)
    there = made(tmp_path / "much deeper" / "ünd anders" / "b", THERE)
    assert len(here) > 150 and any(name.endswith(".pdf") for name in here)
    assert here.keys() == there.keys()
    assert [name for name, data in here.items() if there[name] != data] == []

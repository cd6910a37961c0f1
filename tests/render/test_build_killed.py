"""A whole build, killed at random moments: what was published before, or the new handbook, but never a mixture."""

import random
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.frozen import ROOT, copied

REVISION = re.compile(r"Revision (\d+), ")


def build(root: Path, revision: int) -> subprocess.Popen[bytes]:
    """Start a build of the handbook with another revision, which every page shows at its foot."""
    settings = root / "site_data" / "handbook.yaml"
    text = re.sub(
        r"^revision: .*$", f'revision: "{revision}"', settings.read_text(encoding="utf-8"), flags=re.MULTILINE
    )
    settings.write_text(text, encoding="utf-8")
    command = [sys.executable, "-c", "from generator.cli import main; main()", "--root", str(root), "build"]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)


def published(root: Path) -> tuple[int, set[str]]:
    """The one revision that every published page shows, and the names of all published files."""
    site = root / "build" / "site"
    shown = {REVISION.search(page.read_text(encoding="utf-8"))[1] for page in site.rglob("*.html")}
    assert len(shown) == 1, f"pages of revisions {shown} together"
    return int(shown.pop()), {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}


@pytest.fixture
def project(tmp_path: Path) -> Path:
    copied(tmp_path)
    return tmp_path


@pytest.mark.heavy
def test_killed_at_random_moments_the_handbook_is_whole(project: Path) -> None:
    start = time.monotonic()
    assert build(project, 100).wait() == 0
    span = time.monotonic() - start
    last, files = published(project)
    assert last == 100
    chance = random.Random(20261102)
    for revision in range(101, 106):
        process = build(project, revision)
        time.sleep(chance.uniform(0.2, 1.0) * span)
        process.send_signal(signal.SIGKILL)
        process.wait()
        now, found = published(project)
        assert now in (last, revision)
        assert found == files
        last = now
    assert build(project, 200).wait() == 0
    assert published(project) == (200, files)
    assert not [path.name for path in (project / "build").iterdir() if path.name.startswith(".site-")]

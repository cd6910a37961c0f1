"""Every verb that writes, killed at or shortly after random ones of its changes of the disk: each file is whole.

Each is the old or the new one. The kills of all verbs are a few; `HANDBOOK_EXPLORE=7` makes 200 of them, at others.
Where a run is killed in its own time rather than at its changes: tests/render/test_build_killed.py.
"""

import os
import random
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from generator.folders import Folders
from tests.changes.project import copy_of_demo
from tests.frozen import ROOT

EXPLORE = os.environ.get("HANDBOOK_EXPLORE", "")
MODELS, SITES = {"rill-3", "rill-4m"}, {"potting-shed", "seedling-house"}
LINES = "near-miss potting-shed 2026-11-05 the cover was off\ncard seedling-house 1111-1111 2026-11-03\n"
VERBS = {
    "build": ("build",),
    "serve": ("serve", "--port", "0"),
    "card": ("card", "--all", "--combine"),
    "label": ("label", "--all"),
    "print": ("print",),
    "record": ("record", "--all", "--combine"),
    "record --new": ("record", "potting-shed", "--new", "2026-11-28"),
    "card --hung": ("card", "--hung", "potting-shed", "0000-0000", "2026-11-03"),
    "receive": ("receive", "lines.txt"),
    "export": ("export",),
    "schema": ("schema",),
    "publish": ("publish", "public"),
    "new": ("new", "begun", "--name", "the works", "--contact", "the office"),
    "new --demo": ("new", "begun", "--demo"),
    "new site": ("new", "site", "wash-house"),
    "new file": ("new", "file", "content/search.yaml"),
    "release": ("release", "5", "--by", "maintenance lead", "--why", "first issue", "--on", "2026-11-20"),
}
DONE_BEFORE = ("publish", "card", "label", "print", "record", "receive", "export")  # publish builds
KILLS = -(-200 // len(VERBS)) if EXPLORE else 3
LATEST_S = 0.02
NOT_PUBLISHED = {".lock", "lines.txt", "changes.txt"}


def run(folders: Folders, number: int, *words: str, later_s: float = 0.0) -> int:
    """Run a verb to its `number`-th change and a moment longer; return its exit status; below 0: it was killed."""
    told = folders.root / "changes.txt"
    command = [sys.executable, "-m", "tests.changes.killed", str(number), str(later_s), str(told), *words]
    where = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "100"}
    process = subprocess.run(
        command, cwd=folders.root, env=where, capture_output=True, check=False, start_new_session=True
    )
    return process.returncode


def contents(folders: Folders) -> dict[str, bytes]:
    """All files of the project but locks, what is kept for the next run, and pages that wait for the site engine."""
    found = {}
    for path in folders.root.rglob("*"):
        name = path.relative_to(folders.root).as_posix()
        if path.is_file() and path.name not in NOT_PUBLISHED and not name.startswith((".cache/", "build/pages/")):
            found[name] = path.read_bytes()
    return found


def revise(folders: Folders, revision: str) -> None:
    settings = folders.data / "handbook.yaml"
    lines = settings.read_text(encoding="utf-8").splitlines()
    changed = [f'revision: "{revision}"' if line.startswith("revision:") else line for line in lines]
    settings.write_text("\n".join(changed) + "\n", encoding="utf-8")


@pytest.fixture(scope="module")
def published(tmp_path_factory: pytest.TempPathFactory) -> Folders:
    """A project with all that the verbs write, published as revision 4, and then raised to revision 5."""
    root = tmp_path_factory.mktemp("published")
    folders = copy_of_demo(root, MODELS, SITES)
    shutil.copytree(ROOT / "content", root / "content")
    shutil.copy(ROOT / "mkdocs.yml", root)
    (root / "content/search.yaml").unlink()  # the program's own holds
    folders = Folders(root)
    (root / "lines.txt").write_text("near-miss potting-shed 2026-11-02 the tap dripped\n", encoding="utf-8")
    revise(folders, "4")
    for name in DONE_BEFORE:
        assert run(folders, -1, *VERBS[name]) == 0, name
    (root / "lines.txt").write_text(LINES, encoding="utf-8")
    revise(folders, "5")
    return folders


def whole(before: dict[str, bytes], now: dict[str, bytes], after: dict[str, bytes]) -> None:
    """Every published file is as it was or as it shall be; the pages of the site, and a release, all of them alike."""
    for name, data in now.items():
        hidden = any(part.startswith(".") for part in Path(name).parts)
        assert hidden or data in (before.get(name), after.get(name)), f"{name} is neither the old nor the new"
    assert before.keys() <= now.keys() | after.keys()
    assert not [name for name in before if name in after and name not in now], "a file is gone"
    for folder in ("build/site/", "site_data/revisions/", "public/", "begun/site_data/"):
        own = [{name: data for name, data in one.items() if name.startswith(folder)} for one in (before, now, after)]
        shown = {name: data for name, data in own[1].items() if "/." not in name.removeprefix(folder)}
        kept = [{name: data for name, data in one.items() if "/." not in name.removeprefix(folder)} for one in own]
        assert shown in (kept[0], kept[2]), f"{folder} is a mixture"


@pytest.mark.heavy
@pytest.mark.parametrize("verb", VERBS)
def test_killed_at_any_change_of_the_disk_every_file_is_whole(published: Folders, tmp_path: Path, verb: str) -> None:
    done = Folders(Path(shutil.copytree(published.root, tmp_path / "done")))
    before = contents(done)
    assert run(done, -1, *VERBS[verb]) == 0
    after, changes = contents(done), int((done.root / "changes.txt").read_text(encoding="ascii"))
    assert after != before and changes > 1
    folders = Folders(Path(shutil.copytree(published.root, tmp_path / "killed")))
    chance = random.Random(f"{verb}-{EXPLORE}")
    for _ in range(KILLS):
        number, later_s = chance.randrange(changes), chance.choice((0, chance.uniform(0, LATEST_S)))
        assert run(folders, number, *VERBS[verb], later_s=later_s) in (0, -signal.SIGKILL)
        now = contents(folders)
        whole(before, now, after)
        if now == after:
            folders = Folders(Path(shutil.copytree(published.root, tmp_path / f"again-{_}")))
    if contents(folders) != after:
        run(folders, -1, *VERBS[verb])
    assert contents(folders) == after, "the next run does not finish, or leaves something behind"

"""A disk that fills at any write leaves what was published before, whole, and is told in words with what to do.

Of each verb that writes every change that takes room is a moment at which it may fill; a few are tried of each,
`HANDBOOK_EXPLORE=7` tries many, others. What a library writes inside the verb fails too.
"""

import contextlib
import errno
import os
import random
import resource
import shutil
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path

import pytest

from generator import release
from generator.folders import Folders
from generator.release import built_pages
from generator.render.issued import issued
from generator.render.publish import DIGEST
from tests.changes.conftest import Said
from tests.changes.disk import Watched
from tests.sample import EXPLORED

Handbook = Callable[..., Said]
WORDS = os.strerror(errno.ENOSPC)
MOMENTS = 40 if EXPLORED else 4
LINES = "near-miss potting-shed 2026-11-05 the tap dripped\n"
VERBS = {
    "build": ("build",),
    "card": ("card", "--all", "--combine"),
    "card --hung": ("card", "--hung", "potting-shed", "0000-0000", "2026-11-03"),
    "label": ("label", "--all"),
    "print": ("print", "--only", "potting-shed"),
    "record": ("record", "--all", "--combine"),
    "record --new": ("record", "potting-shed", "--new", "2026-11-28"),
    "receive": ("receive", "lines.txt"),
    "release": ("release", "4", "--by", "maintenance lead", "--why", "first issue", "--on", "2026-11-20"),
    "publish": ("publish", "public"),
    "export": ("export", "--format", "xlsx"),
    "schema": ("schema",),
    "new": ("new", "begun", "--name", "the works", "--contact", "the office"),
    "new --demo": ("new", "begun", "--demo"),
    "new site": ("new", "site", "wash-house"),
    "new file": ("new", "file", "content/search.yaml"),
}
LOCK = ".lock"
KEPT = (".gitignore", DIGEST)


def contents(folders: Folders) -> dict[str, bytes]:
    """All files of the project but locks, what is kept for the next run, and pages that wait for the site engine."""
    found = {}
    for path in folders.root.rglob("*"):
        name = path.relative_to(folders.root).as_posix()
        if path.is_file() and path.name != LOCK and not name.startswith((".cache/", "build/pages/")):
            found[name] = path.read_bytes()
    return found


class Disk:
    """Counts the changes that take room, from 0, and is full from one of them on where that is set."""

    def __init__(self) -> None:
        self.restart(None)
        self.watched = Watched(self._strike)

    def _strike(self, _number: int, takes_room: bool) -> None:
        if not takes_room:
            return
        number, self.done = self.done, self.done + 1
        if self.full_from is not None and number >= self.full_from:
            raise OSError(errno.ENOSPC, WORDS)

    def restart(self, full_from: int | None) -> None:
        self.full_from, self.done = full_from, 0


@pytest.fixture(scope="module")
def disk() -> Iterator[Disk]:
    one = Disk()
    yield one
    one.watched.on = False


@pytest.fixture
def project(folders: Folders, monkeypatch: pytest.MonkeyPatch) -> Folders:
    """The small project, with lines from the field, whose releases print and build as they do outside the tests."""
    monkeypatch.setattr(release, "issued", issued)
    monkeypatch.setattr(release, "built_pages", built_pages)
    (folders.root / "lines.txt").write_text(LINES, encoding="utf-8")
    return folders


def full(said: Said, before: dict[str, bytes], folders: Folders) -> None:
    """What was said and what is there after a run on a disk that filled."""
    assert said.status == 1, said.out
    assert "a fault of the program itself" not in said.err
    now = contents(folders)
    assert all(now[name] == data for name, data in before.items()), "what was there before was touched"
    for name in now.keys() - before.keys():
        assert not any(part.startswith(".") for part in Path(name).parts[:-1]), f"{name} is a leftover"
        assert not Path(name).name.startswith(".") or name.endswith(KEPT), f"{name} is a leftover"
        if name.endswith(".pdf"):
            assert now[name].rstrip().endswith(b"%%EOF"), f"{name} is half of a print"


@pytest.mark.heavy
@pytest.mark.parametrize("verb", VERBS)
def test_a_disk_that_fills_leaves_whole_files(
    handbook: Handbook, project: Folders, disk: Disk, verb: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    def run_in_a_copy(full_from: int | None) -> tuple[Said, Folders]:
        copy = shutil.copytree(project.root, tmp_path_factory.mktemp("copy") / "project", symlinks=True)
        with contextlib.chdir(copy):
            disk.restart(full_from)
            said = handbook(*VERBS[verb])
        return said, Folders(copy)

    before, (said, made), changes = contents(project), run_in_a_copy(None), disk.done
    assert said.status == 0 and contents(made) != before
    for moment in random.Random(f"{verb}-{EXPLORED}").sample(range(changes), min(MOMENTS, changes)):
        said, left = run_in_a_copy(moment)
        disk.restart(None)
        assert WORDS in said.err, f"full from change {moment} of {changes}: {said.err}"
        full(said, before, left)


@pytest.mark.heavy
@pytest.mark.parametrize("verb", VERBS)
def test_a_disk_that_fills_in_the_middle_of_a_file_leaves_whole_files(
    handbook: Handbook, project: Folders, verb: str
) -> None:
    """No file may grow beyond a size: the write itself fails, whoever makes it, as it does on a full disk."""
    words, before, tried = VERBS[verb], contents(project), 0
    most = resource.getrlimit(resource.RLIMIT_FSIZE)
    for size in (10, 20_000, 300_000):  # the last: only the site engine writes more
        try:
            resource.setrlimit(resource.RLIMIT_FSIZE, (size, most[1]))
            said = handbook(*words)
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, most)
        if said.status == 0:
            break
        assert os.strerror(errno.EFBIG) in said.err, f"no file over {size} bytes: {said.err}"
        full(said, before, project)
        tried += 1
    assert tried, "nothing was written"


def full_after(syncs: int) -> Callable[[int], None]:
    """An fsync that does its work so many times, and finds the disk full from then on."""
    done, sync = count(), os.fsync

    def limited(handle: int) -> None:
        if next(done) >= syncs:
            raise OSError(errno.ENOSPC, WORDS)
        sync(handle)

    return limited


@pytest.mark.parametrize("verb", ["card --hung", "record --new", "receive", "export", "schema", "new", "new site"])
def test_a_disk_that_says_late_that_it_is_full_leaves_whole_files(
    handbook: Handbook, project: Folders, monkeypatch: pytest.MonkeyPatch, verb: str
) -> None:
    before = contents(project)
    with monkeypatch.context() as patch:
        patch.setattr(os, "fsync", full_after(0))
        said = handbook(*VERBS[verb])
    assert WORDS in said.err
    full(said, before, project)

"""A disk that fills at any write leaves what was published before, whole, and is told in words with what to do."""

import errno
import os
from collections.abc import Callable
from itertools import count
from pathlib import Path

import pytest

from generator.build import load
from generator.folders import Folders
from tests.changes.conftest import Said

Handbook = Callable[..., Said]
MOST = 40  # writes of one verb
WORDS = "No space left on device"


def contents(folders: Folders) -> dict[str, bytes]:
    """All that is published: prints, registers, releases, readings; without locks."""
    kept = {}
    for top in (folders.output, folders.data):
        for path in top.rglob("*"):
            if path.is_file() and path.name != ".lock":
                kept[path.relative_to(folders.root).as_posix()] = path.read_bytes()
    return kept


def full_after(writes: int) -> Callable[[int], None]:
    """An fsync that does its work so many times, and finds the disk full from then on."""
    done, sync = count(), os.fsync

    def limited(handle: int) -> None:
        if next(done) >= writes:
            raise OSError(errno.ENOSPC, WORDS)
        sync(handle)

    return limited


@pytest.mark.heavy
@pytest.mark.parametrize(
    "verb",
    [
        ("card", "--all"),
        ("label", "--all"),
        ("record", "--all"),
        ("release", "4", "--by", "maintenance lead", "--why", "first issue"),
        ("card", "--hung", "potting-shed", "CODE", "2026-11-03"),
        ("record", "potting-shed", "--new", "2026-11-28"),
    ],
    ids=lambda words: " ".join(words[:2]),
)
def test_a_disk_that_fills_leaves_whole_files(
    handbook: Handbook, folders: Folders, monkeypatch: pytest.MonkeyPatch, verb: tuple[str, ...]
) -> None:
    if "CODE" in verb:
        verb = tuple(load(folders).book.card_codes["potting-shed"] if word == "CODE" else word for word in verb)
    before = contents(folders)
    for writes in range(MOST):
        with monkeypatch.context() as patch:
            patch.setattr(os, "fsync", full_after(writes))
            said = handbook(*verb)
        if said.status == 0:
            assert writes, "nothing was written"
            return
        assert WORDS in said.err
        assert "Traceback" not in said.err
        now = contents(folders)
        assert all(now[name] == data for name, data in before.items()), "what was there before was touched"
        assert not [name for name in now if name.endswith(".part") or "/.staged-" in name], "a leftover"
        for name in now.keys() - before.keys():
            assert Path(name).suffix == ".pdf", f"{name} is half of what was asked"
            assert now[name].rstrip().endswith(b"%%EOF")
    raise AssertionError("the disk was full to the end")

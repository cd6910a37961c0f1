"""Publishing without a moment in which the handbook is missing or half there.

The new folder is made beside the old one and takes its place in one step of the file system: on Linux the two names
are exchanged; elsewhere two renames follow one another, and a run killed between them is mended by the next. Whatever
fails before that step leaves the published folder as it was.

What belongs to a folder without lying in it, the figures beside the site, waits beside its own place, and the folder
holds its digest: a run killed between the two is mended by the next.
"""

from __future__ import annotations

import ctypes
import errno
import hashlib
import os
import shutil
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from generator.render.files import READABLE, write_if_changed

DIGEST = ".results.sha256"  # in a published folder: of the results that it was made from
_AT_FDCWD, _RENAME_EXCHANGE = -100, 2
_UNSUPPORTED = {errno.ENOSYS, errno.EINVAL, errno.ENOTSUP}


def publish(
    target: Path, make: Callable[[Path], None], companion: tuple[Path, Callable[[], bytes]] | None = None
) -> None:
    """Call `make` on an empty folder beside `target`, then put that folder in `target`'s place, and its companion.

    `companion`: a file's path, and what gives its content once `make` is done. An exception of either passes on, and
    what is published already stays. One run at a time.
    """
    path = companion[0] if companion else None
    recover(target, path)
    staged = _beside(target, f"next-{os.getpid()}")
    staged.mkdir(parents=True)
    try:
        make(staged)
        if companion:
            data = companion[1]()
            write_if_changed(_beside(companion[0], "next"), data)
            (staged / DIGEST).write_text(hashlib.sha256(data).hexdigest(), encoding="ascii", newline="\n")
        _settle(staged)
        _swap(staged, target)
        if companion:
            _beside(companion[0], "next").replace(companion[0])
    finally:
        recover(target, path)


def is_published(folder: Path) -> bool:
    """Whether a folder is one that a handbook was published to: another is never taken away."""
    return (folder / DIGEST).is_file()


def recover(target: Path, companion: Path | None = None) -> None:
    """Put back a published folder that was moved aside and not replaced, and its companion; remove every leftover."""
    last = _beside(target, "last")
    if last.exists() and not target.exists():
        last.rename(target)
    for leftover in (last, *target.parent.glob(f".{target.name}-next-*")):
        shutil.rmtree(leftover, ignore_errors=True)
    if companion is None:
        return
    waiting, digest = _beside(companion, "next"), target / DIGEST
    if waiting.exists():
        said = digest.read_text(encoding="ascii") if digest.exists() else ""
        if said == hashlib.sha256(waiting.read_bytes()).hexdigest():
            waiting.replace(companion)
        waiting.unlink(missing_ok=True)


def _settle(folder: Path) -> None:
    """Let a web server read every file of a folder, and wait until the disk has them."""
    paths = (folder, *folder.rglob("*"))
    for path in paths:
        path.chmod(0o755 if path.is_dir() else READABLE)
    with ThreadPoolExecutor(32) as pool:  # a disk takes many files at once in little more time than one
        list(pool.map(_synced, filter(Path.is_file, paths)))


def _synced(path: Path) -> None:
    with path.open("r+b") as file:  # Windows lets no one wait for a file that is open for reading alone
        os.fsync(file.fileno())


def _beside(target: Path, word: str) -> Path:
    return target.with_name(f".{target.name}-{word}")


def _swap(staged: Path, target: Path) -> None:
    if not target.exists():
        staged.rename(target)
    elif not _exchange(staged, target):
        target.rename(_beside(target, "last"))
        staged.rename(target)


def _exchange(one: Path, other: Path) -> bool:
    """Exchange two names in one step; False where the system cannot. OSError for any other failure."""
    renameat2 = getattr(ctypes.CDLL(None, use_errno=True), "renameat2", None) if os.name == "posix" else None
    if renameat2 is None:
        return False
    if renameat2(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _RENAME_EXCHANGE) == 0:
        return True
    code = ctypes.get_errno()
    if code in _UNSUPPORTED:
        return False
    raise OSError(code, os.strerror(code), str(other))

"""Publishing without a moment in which the handbook is missing or half there.

The new folder is made beside the old one and takes its place in one step of the file system: on Linux the two names
are exchanged; elsewhere two renames follow one another, and a run killed between them is mended by the next. Whatever
fails before that step leaves the published folder as it was.
"""

from __future__ import annotations

import ctypes
import errno
import os
import shutil
from collections.abc import Callable
from pathlib import Path

_AT_FDCWD, _RENAME_EXCHANGE = -100, 2
_UNSUPPORTED = {errno.ENOSYS, errno.EINVAL, errno.ENOTSUP}


def publish(target: Path, make: Callable[[Path], None]) -> None:
    """Call `make` on an empty folder beside `target`, then put that folder in `target`'s place.

    An exception of `make` passes on, and the folder already published stays. One run at a time.
    """
    recover(target)
    staged = _beside(target, f"next-{os.getpid()}")
    staged.mkdir(parents=True)
    try:
        make(staged)
        _swap(staged, target)
    finally:
        recover(target)


def recover(target: Path) -> None:
    """Put back a published folder that was moved aside and not replaced; remove every leftover of a run."""
    last = _beside(target, "last")
    if last.exists() and not target.exists():
        last.rename(target)
    for leftover in (last, *target.parent.glob(f".{target.name}-next-*")):
        shutil.rmtree(leftover, ignore_errors=True)


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

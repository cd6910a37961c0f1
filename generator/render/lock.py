"""One writer at a time: two runs that write into the same folder would tear each other's files."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from typing import IO, Any

from generator.errors import HandbookError
from generator.render.files import remove_leftovers


def _module(name: str) -> Any:
    try:
        return import_module(name)
    except ImportError:
        return None


# What holds a file for one process: the first on POSIX systems, the second on Windows; elsewhere nothing does.
_FCNTL, _MSVCRT = _module("fcntl"), _module("msvcrt")
_ANOTHER_LOOK_S = 0.1


@contextmanager
def in_turn(root: Path, *written: Path) -> Iterator[None]:
    """Wait for any run that lays out the project at `root` or begins something in it, then hold it for a moment.

    `written`: folders that are rid of what a killed run left.
    """
    held_in = root / ".cache"
    held_in.mkdir(parents=True, exist_ok=True)
    with (held_in / ".lock").open("w") as held:
        while not _taken(held):
            time.sleep(_ANOTHER_LOOK_S)
        for folder in written:
            remove_leftovers(folder)
        yield


@contextmanager
def only_writer(folder: Path, *others: Path) -> Iterator[None]:
    """Hold `folder` for one run, rid of what a killed one left; HandbookError if another run holds it.

    A killed run lets go by itself. `others`: folders written to besides, in which no lock is to lie.
    """
    folder.mkdir(parents=True, exist_ok=True)
    with (folder / ".lock").open("w") as held:
        if not _taken(held):
            raise HandbookError(f"{folder}: another handbook command is writing here; wait for it or stop it")
        for written in (folder, *others):
            remove_leftovers(written)
        yield


def _taken(held: IO[str]) -> bool:
    """Take an open file for this process until it is closed; return whether no other has it."""
    try:
        if _FCNTL is not None:
            _FCNTL.flock(held, _FCNTL.LOCK_EX | _FCNTL.LOCK_NB)
        elif _MSVCRT is not None:
            _MSVCRT.locking(held.fileno(), _MSVCRT.LK_NBLCK, 1)
    except OSError:
        return False
    return True

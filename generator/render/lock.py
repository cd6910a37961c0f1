"""One writer at a time: two runs that write into the same folder would tear each other's files."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from generator.errors import HandbookError
from generator.render.files import remove_leftovers

try:
    import fcntl
except ImportError:  # not a POSIX system: there the writer must see to it
    fcntl = None  # type: ignore[assignment]


@contextmanager
def in_turn(root: Path, *written: Path) -> Iterator[None]:
    """Wait for any run that lays out the project at `root` or begins something in it, then hold it for a moment.

    `written`: folders that are rid of what a killed run left.
    """
    held_in = root / ".cache"
    held_in.mkdir(parents=True, exist_ok=True)
    with (held_in / ".lock").open("w") as held:
        if fcntl is not None:
            fcntl.flock(held, fcntl.LOCK_EX)
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
        if fcntl is not None:
            try:
                fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except OSError:
                raise HandbookError(
                    f"{folder}: another handbook command is writing here; wait for it or stop it"
                ) from None
        for written in (folder, *others):
            remove_leftovers(written)
        yield

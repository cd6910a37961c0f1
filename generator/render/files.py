"""Writing that leaves unchanged files alone, so that a watcher sees only what really changed."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

STAGED = ".part"  # how the name of a file ends that is not yet in its place
READABLE = 0o644  # by a web server too, whatever the writer's mask


def write_if_changed(path: Path, data: bytes, *, lasting: bool = True) -> bool:
    """Write `data` unless the file already holds it; return whether it was written. Never leaves half a file.

    `lasting`: wait until the disk has it, so that a power cut leaves the old file or the new one.
    """
    if path.is_file() and path.read_bytes() == data:
        return False
    with taking_place(path, lasting=lasting) as beside:
        beside.write_bytes(data)
    return True


@contextmanager
def taking_place(path: Path, *, lasting: bool = True) -> Iterator[Path]:
    """Give the path of a file to write, which takes the place of `path` once it is whole.

    After an exception it is gone. `lasting` as in `write_if_changed`.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}{STAGED}")
    try:
        yield beside
        if lasting:
            with beside.open("r+b") as file:
                os.fsync(file.fileno())
        beside.chmod(READABLE)
        beside.replace(path)
    except OSError as error:
        error.filename = error.filename or str(path)  # a write that fails does not say of which file
        raise
    finally:
        beside.unlink(missing_ok=True)


def names_in(folder: Path) -> frozenset[str]:
    """Return the files of a folder by their names in it: some disks find one by other capitals than it has, too."""
    return frozenset(path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file())


def remove_leftovers(folder: Path) -> None:
    """Remove what a killed run left in a folder beside the files it was writing. Only for who holds the lock."""
    for leftover in folder.glob(f".*{STAGED}"):
        leftover.unlink(missing_ok=True)


def mirror(folder: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Make `folder` hold exactly `files` (path inside it -> content); return the paths written or removed.

    For what the next step reads: nobody waits for the disk.
    """
    changed = [name for name, data in files.items() if write_if_changed(folder / name, data, lasting=False)]
    stale = [path for path in folder.rglob("*") if path.is_file() and path.relative_to(folder).as_posix() not in files]
    for path in stale:
        path.unlink()
    for empty in sorted((path for path in folder.rglob("*") if path.is_dir()), reverse=True):
        if not any(empty.iterdir()):
            empty.rmdir()
    return (*changed, *(path.relative_to(folder).as_posix() for path in stale))

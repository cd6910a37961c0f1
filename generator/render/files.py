"""Writing that leaves unchanged files alone, so that a watcher sees only what really changed."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path


def write_if_changed(path: Path, data: bytes) -> bool:
    """Write `data` unless the file already holds it; return whether it was written. Never leaves half a file."""
    if path.is_file() and path.read_bytes() == data:
        return False
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    try:
        beside.write_bytes(data)
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
    return True


def mirror(folder: Path, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Make `folder` hold exactly `files` (path inside it -> content); return the paths written or removed."""
    changed = [name for name, data in files.items() if write_if_changed(folder / name, data)]
    stale = [path for path in folder.rglob("*") if path.is_file() and path.relative_to(folder).as_posix() not in files]
    for path in stale:
        path.unlink()
    for empty in sorted((path for path in folder.rglob("*") if path.is_dir()), reverse=True):
        if not any(empty.iterdir()):
            empty.rmdir()
    return (*changed, *(path.relative_to(folder).as_posix() for path in stale))

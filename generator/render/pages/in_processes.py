"""The same work for many, on all cores: in copies of this process, which has all that the work reads already."""

from __future__ import annotations

import gc
import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from typing import Any, TypeVar

Made = TypeVar("Made")
_A_TASK = 4
_works: list[Callable[[str], Any]] = []  # what the copies do: it is copied with them, for nothing hands it over


def in_processes(work: Callable[[str], Made], names: Sequence[str], each: int) -> Iterator[Made]:
    """Yield what `work` makes of each name, in order; a process more for every `each` of them, up to one a core.

    What it makes must be plain data. An exception of the work passes on. Where a process cannot be copied, on Windows
    and where that is not safe, on a Mac, all is made here.
    """
    processes = min(os.cpu_count() or 1, 1 + len(names) // each)
    if processes == 1 or os.name != "posix" or multiprocessing.get_start_method() != "fork":
        yield from map(work, names)
        return
    gc.freeze()  # what the copies share stays shared: nobody looks it through
    _works.append(work)
    try:
        with ProcessPoolExecutor(processes, multiprocessing.get_context("fork"), initializer=uninterrupted) as pool:
            yield from pool.map(_do, names, chunksize=_A_TASK)
    finally:
        _works.remove(work)
        gc.unfreeze()


def uninterrupted() -> None:
    """Have this process pass over Ctrl-C: it is for the one that asked for its work, which ends it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)


def _do(name: str) -> Any:
    return _works[-1](name)

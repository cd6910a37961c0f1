"""Shares of sites judged by processes of this machine."""

from __future__ import annotations

import gc
import multiprocessing
import os
import sys
from collections import deque
from collections.abc import Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from itertools import chain, islice

from generator.fleet.shares import Judged, Share, judge
from generator.render.pages.in_processes import uninterrupted

_AHEAD = 2  # shares on their way, for each process


def judged_here(shares: Iterator[Share], processes: int | None = None) -> Iterator[Judged]:
    """Yield what is found at each share, in order, on all cores; a single share is judged in this process.

    No more shares are taken than are on their way, and none is kept.
    """
    first = tuple(islice(shares, 2))
    if len(first) < 2:
        yield from map(judge, first)
        return
    gc.freeze()  # what is read stays: looked through again and again it took a tenth of the time, and was copied
    workers = processes or os.cpu_count() or 1
    # A process that is a copy of this one has the program read; elsewhere than on Linux that is not safe.
    way = multiprocessing.get_context("fork" if sys.platform == "linux" else "spawn")
    with ProcessPoolExecutor(workers, mp_context=way, initializer=uninterrupted) as pool:
        waiting: deque[Future[Judged]] = deque()
        for share in chain(first, shares):
            waiting.append(pool.submit(judge, share))
            if len(waiting) >= _AHEAD * workers:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()

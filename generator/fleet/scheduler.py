"""Shares of sites judged on a Dask scheduler that the user runs and names; nothing here starts one, or listens."""

from __future__ import annotations

import logging
import re
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from generator.errors import HandbookError
from generator.fleet.shares import Judged, Share, judge, program

_ADDRESS = re.compile(r"(tcp|tls)://[^\s/]+:[0-9]{1,5}")
_CONNECT_S, _WORKER_S = 10, 60
_AHEAD = 4  # shares that are on their way, for each thread of a worker
_FEWEST_AHEAD = 16


def judged_on(address: str, shares: Iterator[Share]) -> Iterator[Judged]:
    """Yield what is found at each share, in order, as the workers of the scheduler at `address` judge them.

    A share whose worker is lost goes to another. HandbookError where the library is not installed, nothing answers, the
    workers do not have this very program, or no worker outlives a share.
    """
    if find_spec("distributed") is None:
        wrong = "the library that speaks to a Dask scheduler is not installed"
        raise HandbookError(f"{wrong}: pip install distributed (the extra 'dask' of this program), or no --scheduler")
    if not _ADDRESS.fullmatch(address):
        raise HandbookError(f"--scheduler {address}: this is no address; write one such as tcp://127.0.0.1:8786")
    try:
        client = import_module("distributed").Client(address, timeout=_CONNECT_S, set_as_default=False)
    except OSError as error:
        raise HandbookError(f"--scheduler {address}: nothing answers there: {error or type(error).__name__}") from None
    with _quiet(), client:
        _await_worker(client, address)
        yield from _in_order(client, address, shares)


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep what the library logs of lost connections off the terminal: what became of the work is told in words."""
    logging.disable(logging.CRITICAL)
    try:
        yield
    finally:
        logging.disable(logging.NOTSET)


def _await_worker(client: Any, address: str) -> None:
    try:
        client.wait_for_workers(1, timeout=_WORKER_S)
    except TimeoutError:
        wrong = f"no worker has joined there within {_WORKER_S} s"
        raise HandbookError(f"--scheduler {address}: {wrong}; start one with `dask worker {address}`") from None


def _in_order(client: Any, address: str, shares: Iterator[Share]) -> Iterator[Judged]:
    waiting: deque[Any] = deque()
    most = max(_FEWEST_AHEAD, _AHEAD * sum(client.nthreads().values()))
    for share in shares:
        waiting.append(client.submit(judge, share, pure=False))
        if len(waiting) >= most:
            yield _result(waiting.popleft(), address)
    while waiting:
        yield _result(waiting.popleft(), address)


def _result(future: Any, address: str) -> Judged:
    try:
        judged: Judged = future.result()
    except HandbookError:
        raise
    except Exception as error:  # whatever the worker raised, or became of it
        wrong = " ".join(f"{type(error).__name__}: {error}".split())
        expected = "a scheduler that stays, and workers with this same program and memory for it"
        raise HandbookError(f"--scheduler {address}: {wrong}; {expected}") from None
    if judged.program != program():
        wrong = "a worker there runs another version of this program"
        raise HandbookError(f"--scheduler {address}: {wrong}; install the same one on every machine")
    return judged

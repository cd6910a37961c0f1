"""Many cards at once, on all cores: a failed card is named and the others are still written."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import Literal

from generator.errors import PrintFault, in_words
from generator.model.documents.card import Card
from generator.render.card.pdf import TEMPLATE, Printing, combine, print_card
from generator.render.files import write_if_changed
from generator.render.typesetter import Typesetter

CARDS_A_TASK = 8
CARDS_A_PROCESS = 60  # a further process takes about as long to start as this many cards take to print

State = Literal["written", "unchanged", "failed"]
# What a process sends back of one card: the fields of Outcome after the job, which the asker has.
Result = tuple[State, str, str]
# (cards done, cards in all, the card just done)
Progress = Callable[[int, int, "Outcome"], None]


@dataclass(frozen=True, slots=True)
class Job:
    """A card and the file it goes to."""

    card: Card
    path: Path


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of one card: `wrong` says why it failed."""

    job: Job
    state: State
    wrong: str = ""
    code: str = ""


def render_cards(
    jobs: Sequence[Job],
    printing: Printing,
    processes: int | None = None,
    *,
    on_progress: Progress = lambda _done, _total, _outcome: None,
    combined: Path | None = None,
) -> tuple[Outcome, ...]:
    """Print every card to its file and return the outcomes in the order of the jobs.

    Files that already hold the same bytes are left alone; each other one is replaced in one step. `processes`: at most
    so many (default: as many as cores). `combined`: also write one PDF with every card that did not fail, in order.
    """
    outcomes: list[Outcome] = []
    for result in _results(jobs, partial(_print_some, printing), processes):
        outcomes.append(Outcome(jobs[len(outcomes)], *result))
        on_progress(len(outcomes), len(jobs), outcomes[-1])
    printed = [outcome.job.card for outcome in outcomes if outcome.state != "failed"]
    if combined and printed:
        write_if_changed(combined, combine(_setter(printing.folder), printed, printing))
    return tuple(outcomes)


def _results(
    jobs: Sequence[Job], work: Callable[[Sequence[Job]], list[Result]], processes: int | None
) -> Iterator[Result]:
    tasks = [jobs[start : start + CARDS_A_TASK] for start in range(0, len(jobs), CARDS_A_TASK)]
    workers = min(processes or os.cpu_count() or 1, 1 + len(jobs) // CARDS_A_PROCESS)
    if workers == 1:
        for job in jobs:
            yield from work([job])
        return
    # spawn: a forked copy of a process that has set type before would wait for threads it does not have.
    with ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn")) as pool:
        with _uninterrupted():
            under_way = [pool.submit(work, task) for task in tasks]
        try:
            for one in under_way:
                yield from one.result()
        except BaseException:  # what a process has in hand is printed whole, what waits is not begun
            pool.shutdown(wait=False, cancel_futures=True)
            raise


@contextmanager
def _uninterrupted() -> Iterator[None]:
    """Keep an interrupt, Ctrl-C at a terminal, from the processes begun here: the one that asked for them ends them."""
    mask = getattr(signal, "pthread_sigmask", None)  # where there is none they are interrupted too
    before = mask(signal.SIG_BLOCK, {signal.SIGINT}) if mask else set()
    try:
        yield
    finally:
        if mask:
            mask(signal.SIG_SETMASK, before)


def _print_some(printing: Printing, jobs: Sequence[Job]) -> list[Result]:
    return [_print_one(printing, job) for job in jobs]


def _print_one(printing: Printing, job: Job) -> Result:
    try:
        printed = print_card(_setter(printing.folder), job.card, printing)
        written = write_if_changed(job.path, printed.pdf)
    except (PrintFault, OSError) as fault:
        return "failed", str(in_words(fault)), ""
    return "written" if written else "unchanged", "", printed.code


@cache
def _setter(folder: Path) -> Typesetter:
    """Return this process's compiler: Typst keeps what it has set before, which makes the next card cheaper."""
    return Typesetter(folder, TEMPLATE)

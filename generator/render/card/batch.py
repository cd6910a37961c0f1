"""Many cards at once, on all cores: a failed card is named and the others are still written."""

from __future__ import annotations

import multiprocessing
import os
import signal
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from typing import Literal

from generator.errors import PrintFault, in_words
from generator.model.documents.card import Card
from generator.render.card.pdf import TEMPLATE, Printing, code_of, combine, document, set_card
from generator.render.kept_prints import KeptPrints
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
    kept: KeptPrints,
) -> tuple[Outcome, ...]:
    """Print every card to its file and return the outcomes in the order of the jobs.

    A card that is printed is not set again (`kept`); a file that holds the same bytes is left alone, and each other one
    is replaced in one step. `processes`: at most so many (default: as many as cores). `combined`: also write one PDF
    with every card that did not fail, in order.
    """
    outcomes: list[Outcome] = []
    known = [_kept(printing, kept, job) for job in jobs]
    waiting = [job for job, result in zip(jobs, known, strict=True) if result is None]
    with closing(_results(waiting, partial(_print_some, printing, kept), processes)) as others:
        for job, result in zip(jobs, known, strict=True):
            outcomes.append(Outcome(job, *(result or next(others))))
            on_progress(len(outcomes), len(jobs), outcomes[-1])
    printed = [outcome.job.card for outcome in outcomes if outcome.state != "failed"]
    if combined and printed:
        data, date = document(printed, printing), printed[0].head.date
        kept.printed(combined, data, date, make=partial(combine, _setter(printing.folder), data, date))
    return tuple(outcomes)


def _results(
    jobs: Sequence[Job], work: Callable[[Sequence[Job]], list[Result]], processes: int | None
) -> Generator[Result, None, None]:
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
        finally:  # of a run that is stopped: what a process has in hand is printed whole, what waits is not begun
            for one in under_way:
                one.cancel()


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


def _print_some(printing: Printing, kept: KeptPrints, jobs: Sequence[Job]) -> list[Result]:
    return [_print_one(printing, kept, job) for job in jobs]


def _print_one(printing: Printing, kept: KeptPrints, job: Job) -> Result:
    try:
        head, data = job.card.head, document([job.card], printing)
        make = partial(set_card, _setter(printing.folder), head, data, paper=printing.paper)
        written = kept.printed(job.path, data, head.date, make=make)
    except (PrintFault, OSError) as fault:
        return "failed", str(in_words(fault)), ""
    return "written" if written else "unchanged", "", code_of(data)


def _kept(printing: Printing, kept: KeptPrints, job: Job) -> Result | None:
    """Return what there is to say of a card that need not be set; None of another."""
    if not kept.has(job.path):
        return None
    data = document([job.card], printing)
    return None if kept.note(job.path, kept.key(data, job.card.head.date)) is None else ("unchanged", "", code_of(data))


@cache
def _setter(folder: Path) -> Typesetter:
    """Return this process's compiler: Typst keeps what it has set before, which makes the next card cheaper."""
    return Typesetter(folder, TEMPLATE)

"""Long work shows itself: a bar on a terminal, nothing in a pipe, and when it is interrupted, how far it came."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from threading import Event, Thread

from generator.errors import Interrupted
from generator.render.progress import Progress

SHOWN_AFTER_S = 2.0  # what is done sooner needs no bar
_A_LOOK_S = 0.1


@contextmanager
def progress() -> Iterator[Progress]:
    """Yield what the stages tell how far they are. Interrupted, with how far that was, where a person stops the run."""
    told = Progress()
    beside: AbstractContextManager[None] = _bar(told) if sys.stderr.isatty() else nullcontext()
    try:
        with beside:
            yield told
    except KeyboardInterrupt:
        raise Interrupted(told.what, told.done, told.total) from None


@contextmanager
def _bar(told: Progress) -> Iterator[None]:
    """Show the step in hand with count, rate and time left, once the run has taken its time."""
    ended = Event()
    beside = Thread(target=_show, args=(told, ended), daemon=True)
    beside.start()
    try:
        yield
    finally:
        ended.set()
        beside.join()


def _show(told: Progress, ended: Event) -> None:
    if ended.wait(SHOWN_AFTER_S):
        return
    from rich import progress as bars  # only where a bar is shown: it takes a tenth of a second to load
    from rich.console import Console

    columns = (
        bars.TextColumn("{task.description}"),
        bars.BarColumn(),
        bars.TextColumn("{task.fields[count]}"),
        bars.TextColumn("{task.fields[rate]}"),
        bars.TimeElapsedColumn(),
        bars.TimeRemainingColumn(),
    )
    # What the verb prints may go to a file: only the lines of the errors' stream are put above the bar.
    console = Console(stderr=True)
    with bars.Progress(*columns, console=console, transient=True, auto_refresh=False, redirect_stdout=False) as shown:
        step = ""
        while True:
            if told.what != step:
                step = told.what
                for before in shown.task_ids:
                    shown.remove_task(before)
                task = shown.add_task(step, total=told.total, count="", rate="")
            shown.update(task, completed=told.done)
            if told.total:
                rate = f"{shown.tasks[0].speed or 0:.1f}/s"
                shown.update(task, count=f"{told.done}/{told.total}", rate=rate)
            shown.refresh()
            if ended.wait(_A_LOOK_S):
                return

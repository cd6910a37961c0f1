"""Long work shows itself: a bar on a terminal, nothing in a pipe, and when it is interrupted, how far it came."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager, nullcontext
from threading import Event, Lock, Thread
from typing import TYPE_CHECKING

from generator.errors import Interrupted
from generator.render.progress import Progress

if TYPE_CHECKING:
    from rich import progress as bars

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


# Held while the bar is drawn, and so that no process is copied in the midst of it: the copy would wait for its streams.
_drawing = Lock()
if hasattr(os, "register_at_fork"):
    os.register_at_fork(before=_drawing.acquire, after_in_parent=_drawing.release, after_in_child=_drawing.release)


def _show(told: Progress, ended: Event) -> None:
    if ended.wait(SHOWN_AFTER_S):
        return
    with _drawing:
        shown = _rows()
        shown.start()
    step = ""
    while not ended.wait(_A_LOOK_S):
        with _drawing:
            if told.what != step:
                step = told.what
                for before in shown.task_ids:
                    shown.remove_task(before)
                shown.add_task(step, total=told.total, count="", rate="")
            _draw(told, shown)
    shown.stop()


def _rows() -> bars.Progress:
    """Return a bar with the step in hand, count, rate, time taken and time left."""
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
    return bars.Progress(*columns, console=console, transient=True, auto_refresh=False, redirect_stdout=False)


def _draw(told: Progress, shown: bars.Progress) -> None:
    (task,) = shown.tasks
    shown.update(task.id, completed=told.done)
    if told.total:
        shown.update(task.id, count=f"{told.done}/{told.total}", rate=f"{task.speed or 0:.1f}/s")
    shown.refresh()

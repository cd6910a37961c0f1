"""Runs the command in a process group that kills itself at, or shortly after, one of the things it does to the disk.

`python -m tests.changes.killed NUMBER SECONDS FILE WORDS...`: SECONDS after the NUMBER-th file opened for writing,
renamed, removed or made, from 0; a run that is not killed writes into FILE how many there were. `serve` ends once it
has built: there is nobody to ask for a page, or to change a file.
"""

import os
import signal
import sys
import threading
from pathlib import Path

from generator.cli import main
from generator.command.serve import _Server
from tests.changes.disk import Watched


def killed_at(number: int, later_s: float, told: Path) -> None:
    """Run the command of sys.argv, to a moment after that change of the disk."""

    def kill() -> None:
        os.killpg(0, signal.SIGKILL)

    def strike(now: int, _takes_room: bool) -> None:
        if now != number:
            return
        if not later_s:
            kill()
        timer = threading.Timer(later_s, kill)
        timer.daemon = True
        timer.start()

    _Server.serve = lambda self: None  # type: ignore[method-assign]
    watched = Watched(strike)
    try:
        main()
    finally:
        watched.on = False
        told.write_text(str(watched.done), encoding="ascii")


if __name__ == "__main__":
    _, where, later, file, *words = sys.argv
    sys.argv = ["handbook", *words]
    killed_at(int(where), float(later), Path(file))

"""Runs the command in a process that kills itself at one of the things it does to the disk.

`python -m tests.changes.killed NUMBER FILE WORDS...`: at the NUMBER-th file opened for writing, renamed, removed or
made, from 0; a run that is not killed writes into FILE how many there were.
"""

import os
import signal
import sys
from pathlib import Path

from generator.cli import main

CHANGES = {"os.rename", "os.remove", "os.rmdir", "os.mkdir", "os.chmod", "os.link", "os.symlink", "os.truncate"}
WRITING = os.O_WRONLY | os.O_RDWR


def killed_at(number: int, told: Path) -> None:
    """Run the command of sys.argv, to that change of the disk."""
    done = 0

    def watch(event: str, about: tuple[object, ...]) -> None:
        nonlocal done
        opened = event == "open" and isinstance(about[2], int) and about[2] & WRITING
        if event in CHANGES or opened:
            if done == number:
                os.kill(os.getpid(), signal.SIGKILL)
            done += 1

    sys.addaudithook(watch)
    try:
        main()
    finally:
        changes = done
        told.write_text(str(changes), encoding="ascii")


if __name__ == "__main__":
    _, where, file, *words = sys.argv
    sys.argv = ["handbook", *words]
    killed_at(int(where), Path(file))

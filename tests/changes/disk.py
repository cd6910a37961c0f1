"""What a run does to the disk, counted, so that a test can strike at one of these changes."""

import os
import sys
from collections.abc import Callable

MADE = {"os.rename", "os.mkdir", "os.link", "os.symlink"}  # these take room
UNMADE = {"os.remove", "os.rmdir", "os.chmod", "os.truncate"}
WRITING = os.O_WRONLY | os.O_RDWR


class Watched:
    """Counts the files opened for writing, renamed, removed or made, from 0; calls `strike` before each.

    `strike` is given the number and whether it takes room. A process keeps its watchers for ever: turn it off.
    """

    def __init__(self, strike: Callable[[int, bool], None]) -> None:
        self.strike, self.done, self.on = strike, 0, True
        sys.addaudithook(self._saw)

    def _saw(self, event: str, about: tuple[object, ...]) -> None:
        if not self.on:
            return
        opened = event == "open" and isinstance(about[2], int) and about[2] & WRITING and about[0] != os.devnull
        if opened or event in MADE or event in UNMADE:
            number, self.done = self.done, self.done + 1
            self.strike(number, event not in UNMADE)

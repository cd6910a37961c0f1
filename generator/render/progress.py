"""How far a long run is: what the stages tell while they work. `command/progress.py` shows it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(slots=True)
class Progress:
    """The step in hand, and how many of how many things of it are done; None where nobody can say of how many."""

    what: str = "reading"
    total: int | None = None
    done: int = 0

    def step(self, what: str, total: int | None = None) -> None:
        """Begin a step, such as "printing cards", of `total` things."""
        self.total, self.done, self.what = total, 0, what

    def advance(self) -> None:
        """Tell that one more thing of the step is done."""
        self.done += 1


UNSEEN = Progress()  # where nobody looks

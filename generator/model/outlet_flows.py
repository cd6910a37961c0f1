"""The flows that have a row in an outlet table, by code; content/words/rows.yaml holds the names that readers see."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

RowWord = Literal[
    "round",
    "working-flow",
    "least-of-the-flow-window",
    "greatest-of-the-flow-window",
    "greatest-flow-of-the-supply",
    "greatest-flow-with-the-working-pressure",
    "turns-on",
    "drops-out",
]
Switching = Literal["turns-on", "drops-out"]

ROUND = "Q"  # a flow of the handbook's list, which stands for nothing at the site
WORKING: RowWord = "working-flow"
LEAST: RowWord = "least-of-the-flow-window"
GREATEST: RowWord = "greatest-of-the-flow-window"
SUPPLY: RowWord = "greatest-flow-of-the-supply"
PRESSED: RowWord = "greatest-flow-with-the-working-pressure"
TURNS_ON: Switching = "turns-on"
DROPS_OUT: Switching = "drops-out"
NAMED: tuple[RowWord, ...] = (WORKING, LEAST, GREATEST, SUPPLY, PRESSED)
SWITCHING: tuple[Switching, ...] = (TURNS_ON, DROPS_OUT)


class Most(NamedTuple):
    """The greatest flow [m3/s] at which the site lets stages be on, and the state of a cell beyond it."""

    flow_m3_s: float
    beyond: Literal["beyond-supply", "below-working-pressure"]

    @property
    def name(self) -> RowWord:
        """The code of its row."""
        return SUPPLY if self.beyond == "beyond-supply" else PRESSED


def switching(word: Switching, stage: int) -> str:
    """Return the code of the flow at which a stage turns on or drops out."""
    return f"{word}-{stage}"


def row_words(symbol: str) -> Iterator[tuple[RowWord, str]]:
    """Yield the word of each code in the symbol of a row's head, with its stage ("": none); nothing for other heads."""
    known: dict[str, RowWord] = {ROUND: "round", **{word: word for word in NAMED}}
    for code in symbol.split(", "):
        if code in known:
            yield known[code], ""
        for word in SWITCHING:
            stage = code.removeprefix(f"{word}-")
            if stage != code and stage.isdecimal():
                yield word, stage

"""The names of the flows that have a row in an outlet table, and which rows a shorter table must keep."""

from __future__ import annotations

from typing import Literal, NamedTuple

Season = Literal["winter", "summer"]

ROUND = "Q"  # a flow of the handbook's list, which stands for nothing at the site
WORKING = "working flow"
LEAST, GREATEST = "least of the flow window", "greatest of the flow window"
SUPPLY, PRESSED = "greatest flow of the supply", "greatest flow with the working pressure"
TURNS_ON, DROPS_OUT = "turns on", "drops out"
# The switching flows between which the number of closed stages cannot change: the coolest state follows the flows at
# which stages turn on, the hottest those at which they drop out.
SWITCHES: dict[Season, str] = {"winter": TURNS_ON, "summer": DROPS_OUT}


class Most(NamedTuple):
    """The greatest flow [m3/s] at which the site lets stages be on, and the state of a cell beyond it."""

    flow_m3_s: float
    beyond: Literal["beyond-supply", "below-working-pressure"]

    @property
    def name(self) -> str:
        """The name of its row."""
        return SUPPLY if self.beyond == "beyond-supply" else PRESSED


def switching(word: str, stage: int) -> str:
    """Return the name of the flow at which a stage turns on or drops out."""
    return f"stage {stage} {word}"


def is_switching(name: str) -> bool:
    """Whether a row is there for switching flows alone."""
    return all(TURNS_ON in one or DROPS_OUT in one for one in name.split(", "))


def holds_reading(name: str, season: Season, stages: int) -> bool:
    """Whether the row of this name must stay, for a reading with so many stages in use to be on the safe side."""
    return any(switching(SWITCHES[season], number) in name.split(", ") for number in range(1, stages + 1))

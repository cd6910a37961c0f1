"""Voltage drop on the true circuit: at each stage, the size that a run needs, and how far each size may run."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from generator.compute.circuit.divider import (
    Delivered,
    conductor_ohm_for_drop,
    deliver,
    is_balanced,
    load_ohm,
)
from generator.compute.circuit.load import Load
from generator.model.figures import Step

# size -> (resistance [ohm/m], the step that states it)
ResistanceOf = Callable[[str], tuple[float, Step]]


@dataclass(frozen=True, slots=True)
class Run:
    """The conductors between panel and heater: size, length one way [m], and how to find a size's resistance.

    `sizes`: the sizes that may be used, rising. `limits`: recommended limits of the drop (name to ratio), rising.
    """

    size: str
    length_m: float
    resistance_of: ResistanceOf
    sizes: tuple[str, ...]
    limits: Mapping[str, float]

    @property
    def conductor_ohm(self) -> float:
        """Resistance [ohm] of one conductor from panel to heater."""
        return self.resistance_of(self.size)[0] * self.length_m

    @property
    def limit(self) -> float:
        """The least of the recommended limits."""
        return min(self.limits.values())


def at_stage(load: Load, run: Run, number: int) -> Delivered:
    """Return what reaches the heater with stages 1 to `number` of the feed closed."""
    return deliver(load.stages[:number], load.connection, run.conductor_ohm, load.connection.voltage_v)


def worst_drop_ratio(load: Load, run: Run) -> float:
    """Return the greatest voltage drop over the supply voltage, of all the stages of a feed."""
    return max(at_stage(load, run, number).drop_ratio for number in range(1, len(load.stages) + 1))


def size_for_drop(load: Load, run: Run) -> str | None:
    """Return the first size that keeps the drop within the least limit, or None."""
    return next((size for size in run.sizes if worst_drop_ratio(load, replace(run, size=size)) <= run.limit), None)


def greatest_conductor_ohm(load: Load, limit: float) -> float:
    """Return the greatest resistance [ohm] of one conductor that keeps the drop within the ratio `limit`.

    In closed form; where stages stand across pairs of three lines, by bisection to a billionth.
    """
    connection = load.connection
    if is_balanced(load.stages, connection):
        return conductor_ohm_for_drop(load_ohm(load.stages, connection), limit, connection)

    def excess(ohm: float) -> float:
        closed = (load.stages[: number + 1] for number in range(len(load.stages)))
        volts = connection.voltage_v
        return max(deliver(stages, connection, ohm, volts).drop_ratio for stages in closed) - limit

    return _bisect(excess)


def _bisect(excess: Callable[[float], float]) -> float:
    low, high = 0.0, 1.0
    while excess(high) < 0.0:
        low, high = high, 2.0 * high
    while high - low > 1e-9 * high:
        middle = math.fsum((low, high)) / 2.0
        low, high = (middle, high) if excess(middle) < 0.0 else (low, middle)
    return low

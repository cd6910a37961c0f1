"""Voltage drop on the true circuit: at each stage, the size that a run needs, and how far each size may run."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from generator.compute.circuit.drop.divider import Delivered, conductor_ohm_for_drop, deliver, is_balanced, load_ohm
from generator.compute.circuit.load import Load


@dataclass(frozen=True)
class Wires:
    """The conductors between panel and heater: size, length one way [m], and how to find a size's resistance [ohm/m].

    `sizes`: the sizes that may be used, rising. `limits`: recommended limits of the drop (name to ratio), rising.
    """

    size: str
    length_m: float
    resistance_ohm_m: Callable[[str], float]
    sizes: tuple[str, ...]
    limits: Mapping[str, float]

    @cached_property
    def conductor_ohm(self) -> float:
        """Resistance [ohm] of one conductor from panel to heater."""
        return self.resistance_ohm_m(self.size) * self.length_m

    @property
    def limit(self) -> float:
        """The least of the recommended limits."""
        return min(self.limits.values())


def at_stage(load: Load, wires: Wires, number: int) -> Delivered:
    """Return what reaches the heater with stages 1 to `number` of the feed closed."""
    volts = load.connection.voltage_v
    return deliver(load.stages[:number], load.connection, conductor_ohm=wires.conductor_ohm, supply_v=volts)


def feed_powers_w(load: Load, wires: Wires) -> tuple[float, ...]:
    """Return the power [W] that the feed brings with 1, 2, ... stages of the heater closed; 0 while none is its own."""
    own = (own_stages(load, number) for number in range(1, len(load.all_stages) + 1))
    return tuple(at_stage(load, wires, closed).power_w if closed else 0.0 for closed in own)


def own_stages(load: Load, number: int) -> int:
    """Return how many of stages 1 to `number` of the heater are on this feed."""
    return sum(stage <= number for stage in load.feed.stages)


def power_without_drop_w(load: Load, number: int) -> float:
    """Return the power [W] with stages 1 to `number` closed at the end of a circuit without resistance."""
    volts = load.connection.voltage_v
    return deliver(load.stages[:number], load.connection, conductor_ohm=0.0, supply_v=volts).power_w


def rise_lost(load: Load, wires: Wires, number: int) -> float:
    """Return the share of the power, and so of the rise, that the drop takes with stages 1 to `number` closed."""
    return 1.0 - at_stage(load, wires, number).power_w / power_without_drop_w(load, number)


def worst_drop_ratio(load: Load, wires: Wires) -> float:
    """Return the greatest voltage drop over the supply voltage, of all the stages of a feed."""
    return max(at_stage(load, wires, number).drop_ratio for number in range(1, len(load.stages) + 1))


def size_for_drop(load: Load, wires: Wires) -> str | None:
    """Return the first size that keeps the drop within the least limit, or None."""
    fits = (size for size in wires.sizes if worst_drop_ratio(load, replace(wires, size=size)) <= wires.limit)
    return next(fits, None)


def greatest_conductor_ohm(load: Load, limit: float) -> float:
    """Return the greatest resistance [ohm] of one conductor that keeps the drop within the ratio `limit`.

    In closed form (`conductor_ohm_for_drop`); where stages stand across pairs of three lines, by bisection to a
    billionth. Range: 0 < limit < 1. Source: Ohm's and Kirchhoff's laws.
    """
    connection = load.connection
    if is_balanced(load.stages, connection):
        return conductor_ohm_for_drop(load_ohm(load.stages, connection), limit, connection)

    def excess(ohm: float) -> float:
        closed = (load.stages[: number + 1] for number in range(len(load.stages)))
        volts = connection.voltage_v
        drops = (deliver(stages, connection, conductor_ohm=ohm, supply_v=volts).drop_ratio for stages in closed)
        return max(drops) - limit

    return _bisect(excess)


def _bisect(excess: Callable[[float], float]) -> float:
    low, high = 0.0, 1.0
    while excess(high) < 0.0:
        low, high = high, 2.0 * high
    while high - low > 1e-9 * high:
        middle = math.fsum((low, high)) / 2.0
        low, high = (middle, high) if excess(middle) < 0.0 else (low, middle)
    return low

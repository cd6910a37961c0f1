"""Conductors and heater as a voltage divider: what reaches the heater at the end of a real circuit.

The heater's elements are resistances fixed by the nameplate (rated voltage squared over rated power), the conductors
are resistances in series with them, and the supply holds its voltage. Power factor 1: reactance plays no part.
Single-phase and balanced three-phase circuits have a closed form; a stage across one pair of lines of a three-phase
circuit is solved by nodal analysis with phasors. Source: Ohm's and Kirchhoff's laws.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from generator.compute.circuit.connection import Connection
from generator.model.heater import Stage

KIRCHHOFF = "Ohm's and Kirchhoff's laws; resistive load and conductors in series"

# Line-to-line unit phasors of a symmetrical supply, as line-to-neutral phasors of 1/sqrt(3).
_PHASORS = np.exp(-2j * np.pi * np.arange(3) / 3) / math.sqrt(3.0)
PAIRS = {"L1-L2": (0, 1), "L2-L3": (1, 2), "L3-L1": (2, 0)}


@dataclass(frozen=True, slots=True)
class Delivered:
    """What reaches the heater: power [W], greatest voltage drop [V], supply voltage [V], and the current [A] of each
    line, L1, L2, L3 where a stage stands across one pair of three lines, else the one that every line carries."""

    lines_a: tuple[float, ...]
    power_w: float
    drop_v: float
    supply_v: float

    @property
    def current_a(self) -> float:
        """Current [A] of the line that carries most."""
        return max(self.lines_a)

    def line_a(self, place: int) -> float:
        """Return the current [A] of one line, 0 for L1; stages that load all three alike give each the same."""
        return self.lines_a[place if len(self.lines_a) > 1 else 0]

    @property
    def drop_ratio(self) -> float:
        """Voltage drop over supply voltage."""
        return self.drop_v / self.supply_v


def conductors_in_series(connection: Connection) -> int:
    """Return how many conductor lengths stand in series with the equivalent resistance: 2 single-phase, 1 three."""
    return 1 if connection.phases == 3 else 2


def load_ohm(stages: Sequence[Stage], connection: Connection) -> float:
    """Return the resistance [ohm] of the closed stages: V^2/P, a phase's star equivalent when three-phase."""
    rating = connection.rating
    return rating.voltage_v**2 / (rating.power_w * math.fsum(stage.share for stage in stages))


def is_balanced(stages: Sequence[Stage], connection: Connection) -> bool:
    """Return whether the closed form holds: single-phase, or every stage loads three lines alike."""
    return connection.phases == 1 or all(stage.lines is None for stage in stages)


def deliver(stages: Sequence[Stage], connection: Connection, conductor_ohm: float, supply_v: float) -> Delivered:
    """Return what reaches the heater with `stages` closed, each line conductor having `conductor_ohm` [ohm]."""
    if not is_balanced(stages, connection):
        return _deliver_unbalanced(stages, connection, conductor_ohm, supply_v)
    load = load_ohm(stages, connection)
    at_heater = supply_v * load / (load + conductors_in_series(connection) * conductor_ohm)
    power = at_heater**2 / load
    current = power / at_heater / (math.sqrt(3.0) if connection.phases == 3 else 1.0)
    return Delivered((current,), power, supply_v - at_heater, supply_v)


def conductor_ohm_for_drop(load: float, ratio: float, connection: Connection) -> float:
    """Return the resistance [ohm] of one conductor at which a balanced `load` [ohm] sees the drop `ratio`."""
    return load * ratio / (1.0 - ratio) / conductors_in_series(connection)


def _conductances(stages: Sequence[Stage], connection: Connection) -> dict[tuple[int, int], float]:
    """Return the conductance [S] across each pair of lines; a stage on all three counts a third on each pair."""
    rating = connection.rating
    found = dict.fromkeys(PAIRS.values(), 0.0)
    for stage in stages:
        pairs = [PAIRS[stage.lines]] if stage.lines else list(PAIRS.values())
        for pair in pairs:
            found[pair] += rating.power_w * stage.share / rating.voltage_v**2 / len(pairs)
    return found


def _deliver_unbalanced(
    stages: Sequence[Stage], connection: Connection, conductor_ohm: float, supply_v: float
) -> Delivered:
    across = _conductances(stages, connection)
    nodal = np.zeros((3, 3))
    for (a, b), conductance in across.items():
        nodal[[a, b], [a, b]] += conductance
        nodal[[a, b], [b, a]] -= conductance
    volts = np.linalg.solve(np.eye(3) + conductor_ohm * nodal, supply_v * _PHASORS)
    currents = np.abs(nodal @ volts)
    pair_volts = {pair: float(abs(volts[pair[0]] - volts[pair[1]])) for pair in across}
    power = sum(across[pair] * pair_volts[pair] ** 2 for pair in across)
    drop = max(supply_v - pair_volts[pair] for pair in across if across[pair])
    return Delivered(tuple(map(float, currents)), power, drop, supply_v)

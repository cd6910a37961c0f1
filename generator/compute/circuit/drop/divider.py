"""Conductors and heater as a voltage divider: what reaches the heater at the end of a real circuit.

The heater's elements are resistances fixed by the nameplate (rated voltage squared over rated power), the conductors
are resistances in series with them, and the supply holds its voltage. Power factor 1: reactance plays no part.
Single-phase and balanced three-phase circuits have a closed form; a stage across one pair of lines of a three-phase
circuit is solved by nodal analysis with phasors. Source: Ohm's and Kirchhoff's laws.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from generator.compute.circuit.supply_connection import SupplyConnection
from generator.model.heater import Stage
from generator.model.said import say
from generator.si import added

KIRCHHOFF = say("kirchhoff")

# Line-to-line unit phasors of a symmetrical supply, as line-to-neutral phasors of 1/sqrt(3).
_PHASORS = tuple(cmath.exp(-2j * math.pi * line / 3.0) / math.sqrt(3.0) for line in range(3))
PAIRS = {"L1-L2": (0, 1), "L2-L3": (1, 2), "L3-L1": (2, 0)}


@dataclass(frozen=True, slots=True)
class Delivered:
    """What reaches the heater: power [W], greatest voltage drop [V], supply voltage [V], and the current [A] of each
    line, L1, L2, L3 where a stage stands across one pair of three lines, else the one that every line carries.

    `pairs_v`: the voltage drop [V] of each pair of three lines, in the order of PAIRS, else the one of every pair."""

    lines_a: tuple[float, ...]
    power_w: float
    drop_v: float
    supply_v: float
    pairs_v: tuple[float, ...]

    def pair_v(self, place: int) -> float:
        """Return the voltage drop [V] of one pair of lines, 0 for L1-L2; lines that carry the same drop the same."""
        return self.pairs_v[place if len(self.pairs_v) > 1 else 0]

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


def conductors_in_series(connection: SupplyConnection) -> int:
    """Return how many conductor lengths stand in series with the equivalent resistance: 2 single-phase, 1 three."""
    return 1 if connection.phases == 3 else 2


def load_ohm(stages: Sequence[Stage], connection: SupplyConnection) -> float:
    """Return the resistance [ohm] of the closed stages: R = V² / P of the nameplate, V [V] and P [W] of those stages.

    Three-phase, of each phase of the equivalent star. Range: at least one stage closed. Source: Ohm's law.

    >>> from generator.model.heater import Rating
    >>> one = Stage(share=1.0, closes_at_m3_s=2e-5, opens_at_m3_s=1e-5)
    >>> heater = SupplyConnection(Rating(voltage_v=240.0, phases=1, power_w=9600.0), 240.0, False, False)
    >>> load_ohm([one], heater)  # by hand
    6.0
    """
    rating = connection.rating
    return rating.voltage_v**2 / (rating.power_w * math.fsum(stage.share for stage in stages))


def is_balanced(stages: Sequence[Stage], connection: SupplyConnection) -> bool:
    """Return whether the closed form holds: single-phase, or every stage loads three lines alike."""
    return connection.phases == 1 or all(stage.lines is None for stage in stages)


def deliver(
    stages: Sequence[Stage], connection: SupplyConnection, *, conductor_ohm: float, supply_v: float
) -> Delivered:
    """Return what reaches the heater with `stages` closed, each line conductor having `conductor_ohm` [ohm].

    V_h = V × R_h / (R_h + n × R) and P = V_h² / R_h, V the supply's [V], R_h of `load_ohm`, n of
    `conductors_in_series`; where stages stand across pairs of three lines, by nodal analysis. Range: resistive load,
    power factor 1; a supply that holds its voltage. Source: Ohm's and Kirchhoff's laws.

    >>> from generator.model.heater import Rating
    >>> one = Stage(share=1.0, closes_at_m3_s=2e-5, opens_at_m3_s=1e-5)
    >>> heater = SupplyConnection(Rating(voltage_v=240.0, phases=1, power_w=9600.0), 240.0, False, False)
    >>> found = deliver([one], heater, conductor_ohm=0.05, supply_v=240.0)
    >>> round(found.current_a, 2), round(found.drop_v, 2)  # by hand: 240 V / 6.1 ohm, times 0.1 ohm
    (39.34, 3.93)
    """
    if not is_balanced(stages, connection):
        return _deliver_unbalanced(stages, connection, conductor_ohm=conductor_ohm, supply_v=supply_v)
    load = load_ohm(stages, connection)
    at_heater = supply_v * load / (load + conductors_in_series(connection) * conductor_ohm)
    power = at_heater**2 / load
    current = power / at_heater / (math.sqrt(3.0) if connection.phases == 3 else 1.0)
    drop = supply_v - at_heater
    return Delivered((current,), power, drop, supply_v, (drop,))


def conductor_ohm_for_drop(load: float, ratio: float, connection: SupplyConnection) -> float:
    """Return the resistance [ohm] of one conductor at which a balanced `load` [ohm] sees the drop `ratio`.

    R = R_h × d / (1 − d) / n, with n of `conductors_in_series`. Range: 0 <= d < 1. Source: the divider solved for R.

    >>> from generator.model.heater import Rating
    >>> heater = SupplyConnection(Rating(voltage_v=240.0, phases=1, power_w=9600.0), 240.0, False, False)
    >>> round(conductor_ohm_for_drop(6.0, 0.03, heater), 5)  # by hand: 0.18 ohm / 0.97 / 2
    0.09278
    """
    return load * ratio / (1.0 - ratio) / conductors_in_series(connection)


def conductances(stages: Sequence[Stage], connection: SupplyConnection) -> dict[tuple[int, int], float]:
    """Return the conductance [S] across each pair of lines; a stage on all three counts a third on each pair."""
    rating = connection.rating
    found = dict.fromkeys(PAIRS.values(), 0.0)
    for stage in stages:
        pairs = [PAIRS[stage.lines]] if stage.lines else list(PAIRS.values())
        for pair in pairs:
            found[pair] += rating.power_w * stage.share / rating.voltage_v**2 / len(pairs)
    return found


@dataclass(frozen=True, slots=True)
class Weights:
    """What the squares of the volts between each pair of lines at a heater are weighted with, in the order of PAIRS, or
    of the one pair: for its power [S], and for the square of the current of each line [S²]."""

    power_s: tuple[float, ...]
    lines_s2: tuple[tuple[float, ...], ...]


def weights(stages: Sequence[Stage], connection: SupplyConnection) -> Weights:
    """Return what `stages` take by the volts of each pair, which need not be alike; nothing where none is closed.

    P = sum of g V²; I1² = g12² V12² + g31² V31² + g12 g31 (V12² + V31² − V23²) and so on around, g the conductance
    across a pair: the law of cosines, since three voltages add up to nothing. Single-phase P = g V², I = g V.
    Range: volts at the heater, no one above the sum of the other two. Source: Ohm's and Kirchhoff's laws.

    >>> from generator.model.heater import Rating
    >>> one = Stage(share=1.0, closes_at_m3_s=2e-5, opens_at_m3_s=1e-5, lines="L1-L2")
    >>> on = SupplyConnection(Rating(voltage_v=200.0, phases=3, power_w=4000.0), 200.0, False, False)
    >>> found = weights([one], on)
    >>> [round(one, 3) for one in found.power_s], [round(one, 3) + 0.0 for one in found.lines_s2[0]]  # 4000 / 200²
    ([0.1, 0.0, 0.0], [0.01, 0.0, 0.0])
    """
    if connection.phases == 1:
        whole = 1.0 / load_ohm(stages, connection) if stages else 0.0
        return Weights((whole,), ((whole**2,),) * 2)
    across = tuple(conductances(stages, connection).values())
    return Weights(across, tuple(_line_weights(across, line) for line in range(3)))


def _line_weights(across: tuple[float, ...], line: int) -> tuple[float, ...]:
    """Return the weights of one line, at which the pair of its own number begins and the one before it ends."""
    begins, ends = across[line], across[line - 1]
    found = [-begins * ends] * 3
    found[line], found[line - 1] = begins * (begins + ends), ends * (begins + ends)
    return tuple(found)


def _deliver_unbalanced(
    stages: Sequence[Stage], connection: SupplyConnection, *, conductor_ohm: float, supply_v: float
) -> Delivered:
    across = conductances(stages, connection)
    volts = _line_volts(across, conductor_ohm, supply_v)
    between = {(a, b): volts[a] - volts[b] for a, b in across}
    currents = [0j, 0j, 0j]
    for (a, b), conductance in across.items():
        currents[a] += conductance * between[a, b]
        currents[b] -= conductance * between[a, b]
    power = added(across[pair] * abs(between[pair]) ** 2 for pair in across)
    drops = {pair: supply_v - abs(between[pair]) for pair in across}
    drop = max(drops[pair] for pair in across if across[pair])
    return Delivered(tuple(map(abs, currents)), power, drop, supply_v, tuple(drops.values()))


def _line_volts(
    across: Mapping[tuple[int, int], float], conductor_ohm: float, supply_v: float
) -> tuple[complex, complex, complex]:
    """Return the phasors [V] of the three lines at the heater, against the supply's star point.

    V + R G V = E, G the nodal conductances. The currents of three wires add up to nothing, so the three voltages do:
    two equations are left, solved by Cramer's rule. Their determinant is 1 or more.
    """
    g12, g23, g31 = (conductor_ohm * across[pair] for pair in PAIRS.values())
    e1, e2, _ = (supply_v * phasor for phasor in _PHASORS)
    first, second = (1.0 + g12 + 2.0 * g31, g31 - g12), (g23 - g12, 1.0 + g12 + 2.0 * g23)
    determinant = first[0] * second[1] - first[1] * second[0]
    v1 = (e1 * second[1] - e2 * first[1]) / determinant
    v2 = (e2 * first[0] - e1 * second[0]) / determinant
    return v1, v2, -v1 - v2

"""What a heater takes at volts that differ from pair to pair, in complex numbers: otherwise than the program does."""

import cmath
import math
from collections.abc import Sequence

from generator.compute.circuit.circuit import Circuit

ENDS = {"L1-L2": (0, 1), "L2-L3": (1, 2), "L3-L1": (2, 0)}


def by_phasors(circuit: Circuit, number: int, volts: Sequence[float]) -> tuple[list[float], float]:
    """The amps of each line of a feed and its power [W], stages 1 to `number` of the heater on, at volts by pair.

    One pair of volts: one element across it. Three: sides of a triangle whose corners are the lines.
    """
    load = circuit.load
    on = [load.all_stages[one - 1] for one in load.feed.stages if one <= number]
    rating = load.connection.rating
    if len(volts) == 1:
        watts = sum(rating.power_w * one.share for one in on) * (volts[0] / rating.voltage_v) ** 2
        return [watts / volts[0]] * 2, watts
    first, second, third = volts
    apex = math.acos((first**2 + third**2 - second**2) / (2.0 * first * third))  # at L1, by the law of cosines
    corners = (0j, complex(first), third * cmath.exp(1j * apex))
    amps, power_w = [0j, 0j, 0j], 0.0
    for stage in on:
        pairs = [stage.lines] if stage.lines else list(ENDS)
        for pair in pairs:
            start, end = ENDS[pair]
            siemens = rating.power_w * stage.share / rating.voltage_v**2 / len(pairs)
            across = corners[start] - corners[end]
            amps[start] += siemens * across
            amps[end] -= siemens * across
            power_w += siemens * abs(across) ** 2
    return [abs(one) for one in amps], power_w

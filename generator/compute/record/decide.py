"""Which one further reading would tell the explanations of a visit apart."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import combinations

from generator.model.readings import Reading
from generator.model.records import DecidingReading, Explanation

# How far two explanations must lie apart in what a reading would show: about three times what an ordinary instrument
# is wrong by (a ratio of 2 %, a temperature of 0.3 K), common practice, no source.
APART, APART_K = 0.06, 1.0


def _volts_amps(one: Explanation, other: Explanation) -> bool:
    """Return whether volts and amps with every stage on would differ: volts as they are, amps with power and volts."""
    amps = one.whole * one.volts - other.whole * other.volts
    return abs(one.volts - other.volts) > APART or abs(amps) > APART


def _by_stage(one: Explanation, other: Explanation) -> bool:
    return any(abs(mine - its) > APART for mine, its in zip(one.scales, other.scales, strict=True))


TELLS: Mapping[DecidingReading, Callable[[Explanation, Explanation], bool]] = {
    "volts-amps": _volts_amps,
    "amps-by-stage": _by_stage,
    "bucket": lambda one, other: abs(one.flow - other.flow) > APART,
    "second-thermometer": lambda one, other: abs(one.offset_k - other.offset_k) > APART_K,
    "second-voltmeter": lambda one, other: abs(one.volts - other.volts) > APART,
}


def deciding(kept: Sequence[Explanation], reading: Reading, in_use: int) -> DecidingReading:
    """Return the reading, not taken yet, that tells most pairs of the explanations apart; `none` where none does.

    Of several that tell as many, the first of TELLS: volts and amps need nothing but a meter.
    """
    open_to = [name for name in TELLS if not _taken(name, reading, in_use)]
    pairs = list(combinations(kept, 2))
    told = {name: sum(TELLS[name](one, other) for one, other in pairs) for name in open_to}
    best = max(told, key=lambda name: told[name], default=None)
    return best if best is not None and told[best] else "none"


def _taken(name: DecidingReading, reading: Reading, in_use: int) -> bool:
    electric = [point.stages for point in reading.points if point.volts and point.amps]
    if name == "volts-amps":
        return in_use in electric
    if name == "amps-by-stage":
        return in_use not in electric or set(electric) == set(range(1, in_use + 1))
    if name == "second-voltmeter":  # before there is a first, it is volts and amps that are lacking
        return not electric
    return name == "bucket" and all(point.by_bucket for point in reading.points)

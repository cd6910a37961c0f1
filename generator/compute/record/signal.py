"""What a heater shows for the scales of its stages, and with something dead: power, and the current of each line.

With conductances g12, g23, g31 across the pairs of lines of a feed (a stage on all three counts a third on each), per
volt squared and per volt:

    P = g12 + g23 + g31                         I1 = sqrt(g12^2 + g31^2 + g12 g31)

A line that is open ahead of all that is joined to it floats where the currents into it add up to nothing: with line 3
open, and G13 and G23 the conductances joined to it, of one feed where its own conductor is open, of all of them where
the line is open ahead of them, b = G13 / (G13 + G23) and a = 1 - b,

    P = g12 + g31 a^2 + g23 b^2     I1 = g12 + g31 a     I2 = g12 + g23 b     I3 = |g23 b - g31 a|

the last between the feeds, none in one alone. A single-phase heater has g12 alone. Source: Ohm's and Kirchhoff's laws
on a symmetrical supply; resistive load.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from generator.compute.record.fit import FloatArray
from generator.compute.record.observe import Observation
from generator.model.results import LINES

# The pairs that meet at each line, with the line at the other end of each, and the pair that does not touch it.
MEET = ((0, 2), (0, 1), (1, 2))
FAR = ((1, 2), (0, 2), (1, 0))
APART = (1, 2, 0)
TINY = 1e-12
NOTHING = 1e-3  # a line that carries less of its feed's greatest current carries none
Indices = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Terms:
    """The readings as sums of terms, one a feed.

    `across`, shape (terms, 3, stages): conductance across each pair over that of the whole heater; `around`: the same
    of all feeds together at that reading; `feed`: whose term it is; `line`: the indices of the terms that are currents
    of L1, L2 and L3, the others powers; `sums`, shape (readings, terms): what adds them to readings that are 1 by the
    nameplate.
    """

    across: FloatArray
    around: FloatArray
    feed: NDArray[np.str_]
    line: tuple[Indices, Indices, Indices]
    sums: FloatArray

    def signal(self, stages: FloatArray, opened: str = "") -> tuple[FloatArray, FloatArray]:
        """Return the readings over those predicted, shape (readings,), and their slopes in the scales of the stages,
        shape (readings, stages), with a line of three open where it is named: of a feed (A L3), or of all (L3)."""
        pairs = self.across @ stages
        values, own = _whole(pairs, self.line)
        slopes = _chain(own, self.across)
        if opened:
            feed, _, line = opened.rpartition(" ")
            joined = self.across if feed else self.around
            hit = (self.feed == feed) | (not feed)
            without, own, of_all = _open(pairs, joined @ stages, self.line, lost=LINES.index(line))
            values = np.where(hit, without, values)
            slopes = np.where(hit[:, None], _chain(own, self.across) + _chain(of_all, joined), slopes)
        return self.sums @ values, self.sums @ slopes


def _chain(slopes: FloatArray, across: FloatArray) -> FloatArray:
    """Return slopes in the scales of the stages, shape (terms, stages), from those in the pairs, (terms, 3)."""
    return np.asarray((slopes[:, None, :] @ across)[:, 0, :], dtype=np.float64)


def terms(seen: Sequence[Observation]) -> Terms:
    """Return the readings as sums of terms."""
    flat = [(row, one, place) for row, one in enumerate(seen) for place in range(len(one.across))]
    row = np.array([row for row, _, _ in flat])
    across = np.array([one.across[place] for _, one, place in flat], dtype=float)
    around = np.array([one.around for _, one, _ in flat], dtype=float)
    feed = np.array([one.feeds[place] for _, one, place in flat])
    at = np.array([-1 if one.line is None else one.line for _, one, _ in flat])
    line = (np.flatnonzero(at == 0), np.flatnonzero(at == 1), np.flatnonzero(at == 2))
    pairs, every = across.sum(axis=2), np.arange(len(flat))
    own, _ = _whole(pairs, line)
    each = [_whole(pairs, tuple(every if one == place else every[:0] for one in range(3)))[0] for place in range(3)]
    most = np.max(each, axis=0)
    heat = np.bincount(row, weights=np.where(at < 0, own, 0.0), minlength=len(seen))
    scale = np.where(at < 0, heat[row], np.where(own < NOTHING * most, most, own))
    sums = np.zeros((len(seen), len(flat)))
    sums[row, every] = 1.0 / scale
    return Terms(across, around, feed, line, sums)


def _whole(pairs: FloatArray, line: tuple[Indices, ...]) -> tuple[FloatArray, FloatArray]:
    """Return power or line current of each term, and its slopes in the three pairs."""
    values, slopes = pairs.sum(axis=1), np.ones_like(pairs)
    for at, (one, other) in zip(line, MEET, strict=True):
        if len(at):
            first, second = pairs[at, one], pairs[at, other]
            amps = np.sqrt(np.maximum(first**2 + second**2 + first * second, TINY))
            values[at], slopes[at] = amps, 0.0
            slopes[at, one] = (2.0 * first + second) / (2.0 * amps)
            slopes[at, other] = (2.0 * second + first) / (2.0 * amps)
    return values, slopes


def _open(
    pairs: FloatArray, joined: FloatArray, line: tuple[Indices, ...], *, lost: int
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Return the same with a line open, and the slopes in the pairs of all that is `joined` to it."""
    (one, other), (near, far), apart = MEET[lost], FAR[lost], APART[lost]
    whole = np.maximum(joined[:, one] + joined[:, other], TINY)
    a, b = joined[:, other] / whole, joined[:, one] / whole
    first, second = pairs[:, one], pairs[:, other]
    values = pairs[:, apart] + first * a**2 + second * b**2
    own, of_all = np.zeros_like(pairs), np.zeros_like(pairs)
    own[:, apart], own[:, one], own[:, other] = 1.0, a**2, b**2
    # da = (b dG_other - a dG_one) / G, db = -da.
    turn = 2.0 * (a * first - b * second)
    for at, mine, its, share, sign in ((line[near], one, other, a, 1.0), (line[far], other, one, b, -1.0)):
        values[at] = (pairs[:, apart] + pairs[:, mine] * share)[at]
        own[at, mine], own[at, its] = share[at], 0.0
        turn[at] = sign * pairs[at, mine]
    at, between = line[lost], second * b - first * a
    way = np.sign(between)
    values[at] = np.abs(between)[at]
    own[at, apart], own[at, one], own[at, other] = 0.0, (-way * a)[at], (way * b)[at]
    turn[at] = (-way * (first + second))[at]
    of_all[:, one], of_all[:, other] = -turn * a / whole, turn * b / whole
    return values, own, of_all

"""What explains the readings of a visit: each explanation frees one thing that nobody read, and is fitted to them all.

A sound heater, its supply and the instruments lie within what is stated of them: the scale of the heater's power and of
each stage (input tolerance), the volts, the flow, the rise and the amps (the instruments' limits). That they agree is
the first explanation. Each other one lets one of these be anything that is plausible, all else as stated: `power` (all
stages together), `stage`, `stage-off`, `feed-off`, `line-open`, `supply` (where nobody read the volts), `flow-meter`,
`thermometer` (an offset of the rise, so of the inlet too), `voltmeter` and `clamp`. A line is open ahead of all feeds,
or of one. That all agrees is kept unless readings as far off as these would be met less than once in twenty
(chi-squared), any other explanation unless less than once in fifty: a fault must be seen, and what may be behind it not
be struck off lightly. Two at once are kept where neither of them does alone, or the two do significantly better (a fall
of 3.84, once in twenty, for the one more that is free).

Once in twenty is as strict as can be: with errors that are normal it calls one sound heater in twenty faulty. Those of
instruments lie evenly between their limits, which chi-squared takes for wider than they are: of 2,000 simulated visits
(tests/compute/record) it called 1 % of the sound heaters faulty and passed over 13 % of the faults, where once in fifty
called none and passed over 16 %; the true explanation was kept in 99 %.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from generator.compute.record.fit import FloatArray, chi2_beyond, weighted_fit
from generator.compute.record.observe import Observation, Shared
from generator.compute.record.signal import Terms, terms
from generator.model.records import Cause, Estimate, Explanation
from generator.model.results import LINES

SOUND, KEPT, BETTER = 0.05, 0.02, 3.84
ROUNDS = 3  # of linearization: the model is a product of a few factors near 1
LOOSE = 3.0  # standard uncertainty of what is freed, in its unit: ratios, and tenths of a kelvin a hundredfold below
LOOSE_K = 30.0
FIXED = 1e-4
DEAD = ("stage-off", "feed-off", "line-open")
# What a freed value may be: ratios, and an offset [K].
PLAUSIBLE: Mapping[str, tuple[float, float]] = {
    "power": (0.05, 4.0),
    "stage": (0.0, 4.0),
    "supply": (0.5, 1.25),
    "voltmeter": (0.5, 2.0),
    "flow-meter": (0.4, 2.5),
    "thermometer": (-8.0, 8.0),
    "clamp": (0.3, 3.0),
}


@dataclass(frozen=True, slots=True)
class Heater:
    """What is known of a sound heater: mean and standard uncertainty of its power over the nameplate's; feed and share
    of each stage; whether it stands on three lines."""

    mean: float
    deviation: float
    feeds: tuple[str, ...]
    shares: tuple[float, ...]
    three_lines: bool

    @property
    def stages(self) -> int:
        """How many stages it has."""
        return len(self.feeds)


@dataclass(frozen=True, slots=True)
class Layout:
    """Where each parameter stands: the stages' scales, then power, volts, flow, offset of the rise, clamp."""

    stages: int

    @property
    def power(self) -> int:
        """All stages together."""
        return self.stages

    @property
    def volts(self) -> int:
        """True volts over those predicted with."""
        return self.stages + 1

    @property
    def flow(self) -> int:
        """True flow over the one read."""
        return self.stages + 2

    @property
    def rise(self) -> int:
        """Rise read less the true one [K]."""
        return self.stages + 3

    @property
    def clamp(self) -> int:
        """Amps read over the true ones."""
        return self.stages + 4

    @property
    def size(self) -> int:
        """How many there are."""
        return self.stages + 5


@dataclass(frozen=True, slots=True, eq=False)
class Seen:
    """The readings of a visit as arrays, shape (readings,), what they share, and the heater."""

    terms: Terms
    read: FloatArray
    own: FloatArray
    heat: NDArray[np.bool_]
    per_kelvin: FloatArray
    common: Shared
    heater: Heater


def explanations(seen: Sequence[Observation], common: Shared, heater: Heater) -> tuple[Explanation, ...]:
    """Return the explanations that are kept, that all agrees first, then the best agreement first."""
    if not seen:
        return ()
    given = Seen(
        terms(seen),
        np.array([one.ratio for one in seen]),
        np.array([one.own for one in seen]),
        np.array([one.kind == "heat" for one in seen]),
        np.array([one.per_kelvin for one in seen]),
        common,
        heater,
    )
    none, causes = _explained(given, ()), tuple(_causes(given))
    single = [one for cause in causes if (one := _explained(given, (cause,)))]
    agrees = [one for one in (none,) if one and one.agreement >= SOUND]
    kept = agrees + [one for one in single if one.agreement >= KEPT]
    if not agrees:
        alone = {one.causes[0]: one.chi2 for one in kept}
        pairs = (_explained(given, pair) for pair in combinations(causes, 2) if _apart(pair))
        kept += [one for one in pairs if one and one.agreement >= KEPT and _needs_both(one, alone)]
    return tuple(sorted(kept, key=lambda one: (bool(one.causes), len(one.causes), -one.agreement)))


def _needs_both(pair: Explanation, alone: Mapping[Cause, float]) -> bool:
    """Return whether neither cause does about as well `alone`, by the sums of squares of those kept by themselves."""
    return all(pair.chi2 <= alone[cause] - BETTER for cause in pair.causes if cause in alone)


def _apart(pair: tuple[Cause, ...]) -> bool:
    """Return whether two causes are about two things."""
    one, other = pair
    return not (one.code in DEAD and other.code in DEAD) and not (one.of == other.of and one.of != "")


def _causes(seen: Seen) -> Iterator[Cause]:
    """Yield what the readings could tell of."""
    touched, heater = seen.terms.across.sum(axis=(0, 1)) > 0.0, seen.heater
    yield Cause("power")
    yield Cause("voltmeter" if seen.common.read else "supply")
    yield from (Cause("flow-meter"), Cause("thermometer"))
    if not seen.heat.all():
        yield Cause("clamp")
    for place in range(heater.stages):
        if touched[place] and heater.stages > 1:
            yield from (Cause("stage", str(place + 1)), Cause("stage-off", str(place + 1)))
    if len(set(heater.feeds)) > 1:
        yield from (Cause("feed-off", feed) for feed in dict.fromkeys(heater.feeds))
    if heater.three_lines:
        several = dict.fromkeys(heater.feeds) if len(set(heater.feeds)) > 1 else ()
        yield from (Cause("line-open", line) for line in LINES)
        yield from (Cause("line-open", f"{feed} {line}") for feed in several for line in LINES)


def _explained(seen: Seen, causes: tuple[Cause, ...]) -> Explanation | None:
    """Return an explanation with its fit; None where what it frees comes out implausible, or where it lies so far from
    the readings that no fit is found."""
    at = Layout(seen.heater.stages)
    means, sigmas, freed = _stated(seen, causes, at)
    opened = next((cause.of for cause in causes if cause.code == "line-open"), "")
    values = means.copy()
    deviations, known = np.concatenate([seen.own, sigmas]), np.eye(at.size)
    for _ in range(ROUNDS):
        model, slopes = _model(seen, values, at, opened=opened)
        design = np.concatenate([slopes, known])
        try:
            fit = weighted_fit(design, np.concatenate([seen.read - model + slopes @ values, means]), deviations)
        except np.linalg.LinAlgError:
            return None
        covariance, chi2, values = fit.covariance, fit.chi2, fit.values.copy()
        for cause, place in freed:
            values[place] = np.clip(values[place], *PLAUSIBLE[cause.code])  # where the next round is linearized
    if any(values[place] != fit.values[place] for _, place in freed):
        return None
    freedom = len(seen.read) - len(freed)
    estimates = (Estimate(cause, float(values[place]), _root(covariance[place, place])) for cause, place in freed)
    return Explanation(
        causes,
        tuple(estimates),
        chi2,
        freedom,
        chi2_beyond(chi2, freedom),
        *_scales(values, covariance, at),
        *_whole(values, covariance, at, shares=seen.heater.shares),
        volts=float(values[at.volts]),
        flow=float(values[at.flow]),
        offset_k=float(values[at.rise]),
    )


def _stated(
    seen: Seen, causes: tuple[Cause, ...], at: Layout
) -> tuple[FloatArray, FloatArray, list[tuple[Cause, int]]]:
    """Return mean and standard uncertainty of each parameter, and where those that the causes free stand.

    The input tolerance is shared half by all stages and half each stage's own, so that each stage lies within it.
    """
    common, heater = seen.common, seen.heater
    half = heater.deviation / np.sqrt(2.0)
    means = np.concatenate([np.ones(at.stages), [heater.mean, common.volts[0], 1.0, 0.0, 1.0]])
    sigmas = np.concatenate(
        [np.full(at.stages, half), [half, common.volts[1], common.flow, common.rise_k, common.amps]]
    )
    places = {"power": at.power, "supply": at.volts, "voltmeter": at.volts, "flow-meter": at.flow}
    places |= {"thermometer": at.rise, "clamp": at.clamp}
    freed = []
    for cause in causes:
        if cause.code == "stage":
            freed.append((cause, int(cause.of) - 1))
        elif cause.code in places:
            freed.append((cause, places[cause.code]))
        elif cause.code in ("stage-off", "feed-off"):
            off = [cause.of in (str(number), feed) for number, feed in enumerate(heater.feeds, start=1)]
            means[: at.stages][off], sigmas[: at.stages][off] = 0.0, FIXED
    for cause, place in freed:
        sigmas[place] = LOOSE_K if cause.code == "thermometer" else LOOSE
    return means, np.maximum(sigmas, FIXED), freed


def _model(seen: Seen, values: FloatArray, at: Layout, *, opened: str) -> tuple[FloatArray, FloatArray]:
    """Return the ratios that the parameters make, and their slopes, shape (readings, parameters).

    heat = power stages volts^2 / flow + offset per_kelvin; amps = power stages volts clamp, with what the stages show.
    """
    stages, turned = seen.terms.signal(values[: at.stages], opened)
    power, volts, flow, clamp = values[at.power], values[at.volts], values[at.flow], values[at.clamp]
    factor = np.where(seen.heat, power * volts**2 / flow, power * volts * clamp)
    base = factor * stages
    slopes = np.zeros((len(base), at.size))
    slopes[:, : at.stages] = factor[:, None] * turned
    slopes[:, at.power] = base / power
    slopes[:, at.volts] = np.where(seen.heat, 2.0, 1.0) * base / volts
    slopes[:, at.flow] = np.where(seen.heat, -base / flow, 0.0)
    slopes[:, at.rise] = seen.per_kelvin
    slopes[:, at.clamp] = np.where(seen.heat, 0.0, base / clamp)
    return base + seen.per_kelvin * values[at.rise], slopes


def _scales(values: FloatArray, covariance: FloatArray, at: Layout) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return by stage its power over the nameplate's, and the standard uncertainty of that."""
    scales, errors = [], []
    for place in range(at.stages):
        slope = np.zeros(at.size)
        slope[place], slope[at.power] = values[at.power], values[place]
        scales.append(float(values[at.power] * values[place]))
        errors.append(_root(slope @ covariance @ slope))
    return tuple(scales), tuple(errors)


def _whole(values: FloatArray, covariance: FloatArray, at: Layout, *, shares: Sequence[float]) -> tuple[float, float]:
    """Return the power of all stages over the nameplate's, and the standard uncertainty of that."""
    slope, own = np.zeros(at.size), np.array(shares)
    slope[: at.stages] = own * values[at.power]
    slope[at.power] = float(own @ values[: at.stages])
    return float(values[at.power] * slope[at.power]), _root(slope @ covariance @ slope)


def _root(variance: np.float64 | FloatArray) -> float:
    """Return the root of a variance; one that the arithmetic leaves a hair below zero is none."""
    return math.sqrt(max(float(variance), 0.0))

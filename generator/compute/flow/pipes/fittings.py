"""What fittings and open valves cost in pressure: as a length of the same pipe (L/D) or as velocity heads (K).

Source: Crane Technical Paper 410 (2013), appendix A, valve and fitting coefficients, as the `fluids` package codes
them (elbows and tees from memory); the pipe's own friction factor at its flow is applied to L/D, which at the low
Reynolds numbers of small pipes costs more than the paper's fully turbulent one. Coupling and union: Perry's Chemical
Engineers' Handbook, 7th ed., table 6-4, K = 0.04 each, from memory. Strainer: K = 2, a clean Y-strainer, common
practice, no source. Stop valve: a straight or angle stop of globe pattern, taken as the globe valve.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from generator.compute.flow.pipes.materials import Where, unknown

SOURCE = "Crane Technical Paper 410 (2013), appendix A"


@dataclass(frozen=True, slots=True)
class Fitting:
    """The loss of one fitting: `lengths` of its own diameter of pipe, and `heads` of velocity. `closes`: a valve."""

    lengths: float = 0.0
    heads: float = 0.0
    closes: bool = False


FITTINGS: dict[str, Fitting] = {
    "elbow-90": Fitting(lengths=30.0),
    "elbow-45": Fitting(lengths=16.0),
    "tee-run": Fitting(lengths=20.0),
    "tee-branch": Fitting(lengths=60.0),
    "ball-valve": Fitting(lengths=3.0, closes=True),
    "gate-valve": Fitting(lengths=8.0, closes=True),
    "globe-valve": Fitting(lengths=340.0, closes=True),
    "stop-valve": Fitting(lengths=340.0, closes=True),
    "check-valve": Fitting(lengths=100.0, closes=True),
    "coupling": Fitting(heads=0.04),
    "union": Fitting(heads=0.04),
    "strainer": Fitting(heads=2.0),
}


def fitting_losses(counts: Mapping[str, int], where: Where) -> tuple[float, float]:
    """Return the summed pipe diameters (L/D) and velocity heads (K) of fittings by kind and number.

    `where` is the key path of their run; CannotCompute, naming the nearest known, for an unknown kind.
    """
    for kind in counts:
        if kind not in FITTINGS:
            raise unknown((*where, "fittings", kind), "fitting", kind, FITTINGS)
    lengths = sum(FITTINGS[kind].lengths * count for kind, count in counts.items())
    return lengths, sum(FITTINGS[kind].heads * count for kind, count in counts.items())

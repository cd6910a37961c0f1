"""The power by stage at a site: the whole of the supply's, and what the circuits' voltage drop leaves of it.

What must be reached (the target, a fixture's demand) is reckoned with what is left; what must not be passed (limits,
the hottest water) with the whole, since a shorter run, larger conductors or a higher voltage would bring it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from generator.compute.circuit.circuits import site_circuits
from generator.compute.circuit.divider import KIRCHHOFF
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel
from generator.model.results import CircuitResult
from generator.model.site import Site

SOURCE = f"voltage drop of the circuits; {KIRCHHOFF}"
NOTE = "P: what the circuit's voltage drop leaves"


@dataclass(frozen=True, slots=True)
class Powers:
    """Cumulative power [W] with 1, 2, ... stages closed: `full_w` without, `reach_w` after the voltage drop."""

    full_w: tuple[float, ...]
    reach_w: tuple[float, ...]


def delivered(prefix: str, circuits: Sequence[CircuitResult]) -> tuple[Figure, ...]:
    """Return the power at the heater after the voltage drop of all feeds, by stage; ids `<prefix>.delivered.<n>`."""
    by_stage = zip(*(circuit.power_by_stage for circuit in circuits), strict=True)
    names = [circuit.name for circuit in circuits]
    return tuple(_sum(f"{prefix}.delivered.{number}", number, names, feeds) for number, feeds in enumerate(by_stage, 1))


def powers_w(figures: Sequence[Figure]) -> tuple[float, ...]:
    """Return the powers [W] that the figures of `delivered` hold."""
    return tuple(float(figure.value or 0.0) for figure in figures)


def reach_w(site: Site, model: HeaterModel, basis: CodeBasis) -> tuple[float, ...] | None:
    """Return what the voltage drop leaves of a model's power at this site, by stage [W]; None where no circuit can be.

    The conductors are those of an existing circuit where there is one, else those that the model's circuit takes.
    """
    try:
        circuits, _ = site_circuits(site, model, basis)
    except CannotCompute:
        return None
    return powers_w(delivered("", circuits))


def _sum(id: str, number: int, names: Sequence[str], feeds: Sequence[Figure]) -> Figure:
    label = f"Power at the heater after the voltage drop, stage {number}"
    if len(feeds) == 1:
        return replace(feeds[0], id=id, label=label)
    parts = tuple(Value(f"P_{name}", found, "power") for name, found in zip(names, powers_w(feeds), strict=True))
    total = math.fsum(float(part.value) for part in parts)
    formula = f"P = {' + '.join(part.symbol for part in parts)}"
    steps = tuple(step for feed in feeds for step in feed.steps)
    step = Step(formula, parts, Value("P", total, "power", "down"), SOURCE)
    return Figure(id, label, total, "power", "down", (*steps, step))

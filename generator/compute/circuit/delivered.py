"""The power by stage at a site: the whole of the supply's, and what the circuits' voltage drop leaves of it.

What must be reached (the target, a fixture's demand) is computed with what is left; what must not be passed (limits,
the hottest water) with the whole, since a shorter run, larger conductors or a higher voltage would bring it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.circuits import designed
from generator.compute.circuit.drop.divider import KIRCHHOFF
from generator.compute.circuit.drop.voltage_drop import feed_powers_w
from generator.compute.sources import sources
from generator.errors import CannotCompute
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel
from generator.model.results import CircuitResult
from generator.model.said import say
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis

SOURCE = sources(say("drop-of-circuits"), KIRCHHOFF)
NOTE = say("left-by-drop")


@dataclass(frozen=True, slots=True)
class Powers:
    """Cumulative power [W] with 1, 2, ... stages closed: `full_w` without, `reach_w` after the voltage drop."""

    full_w: tuple[float, ...]
    reach_w: tuple[float, ...]


def delivered(prefix: str, circuits: Sequence[CircuitResult]) -> tuple[Figure, ...]:
    """Return the power at the heater after the voltage drop of all feeds, by stage; ids `<prefix>.delivered.<n>`."""
    by_stage = enumerate(zip(*(circuit.power_by_stage for circuit in circuits), strict=True), start=1)
    names = [circuit.name for circuit in circuits]
    return tuple(
        replace(_sum(names, feeds), id=f"{prefix}.delivered.{number}", label=say("delivered", stage=number))
        for number, feeds in by_stage
    )


def delivered_w(circuits: Sequence[Circuit]) -> tuple[float, ...]:
    """Return what the voltage drop of all feeds leaves of the power, by stage [W].

    The conductors are those of an existing circuit where there is one, else those to lay.
    """
    feeds = [feed_powers_w(one.load, one.wires(one.installed)) for one in circuits]
    return tuple(map(math.fsum, zip(*feeds, strict=True)))


def reach_w(site: Site, model: HeaterModel, basis: CodeBasis) -> tuple[float, ...] | None:
    """Return `delivered_w` of a model at this site; None where it can have no circuit there."""
    try:
        return delivered_w(designed(site, model, basis))
    except CannotCompute:
        return None


def _sum(names: Sequence[str], feeds: Sequence[Figure]) -> Figure:
    if len(feeds) == 1:
        return feeds[0]
    named = zip(names, feeds, strict=True)
    parts = tuple(Value(f"P_{name}", feed.steps[-1].result.value, "power") for name, feed in named)
    total = math.fsum(float(part.value) for part in parts)
    step = Step(
        f"P = {' + '.join(part.symbol for part in parts)}", parts, Value("P", total, "power", "at_most"), SOURCE
    )
    steps = tuple(step for feed in feeds for step in feed.steps)
    return Figure("", "", total, "power", "at_most", (*steps, step))

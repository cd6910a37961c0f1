"""Whether a panel has room for every heater on it: pole spaces, and demand against rating.

The demand that a site states is the panel's without the heaters of this handbook, and the spaces are those free before
any of them is connected. Sites that name the same panel share both.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from generator.compute.circuit.findings import Judgement, judgement
from generator.compute.circuit.load import Load
from generator.compute.circuit.working import amps, count, text
from generator.model.figures import Severity, Value
from generator.model.site import Panel, Site


@dataclass(frozen=True, slots=True)
class Share:
    """What one site's heater takes of its panel.

    `heater_a`: current [A] of its greatest line; `factor`: that of a continuous load; `poles`: of its devices;
    `existing`: poles that are there already.
    """

    site: str
    heater_a: float
    factor: float
    poles: int
    existing: int

    @property
    def spaces(self) -> int:
        """Pole spaces that its new devices need; the poles of an existing device are there already."""
        return max(0, self.poles - self.existing)


def share(site: Site, circuits: Sequence[Load], poles: int, factor: float) -> Share:
    """Return what a site's heater, by the loads of its `circuits` of `poles` each, takes of the panel."""
    heater_a = circuits[0].heater_current_a * max(1.0, circuits[0].connection.ratio)
    existing = site.existing_circuit.poles if site.existing_circuit else 0
    return Share(site.title, heater_a, factor, poles * len(circuits), existing)


def panel_spaces(panel: Panel, own: Share, others: Sequence[Share], sources: Mapping[str, str]) -> Judgement:
    """Judge the free spaces for the new devices of all heaters on the panel. A heater that needs none is no matter."""
    needed = own.spaces + sum(other.spaces for other in others)
    named, values = _on_it(panel, others, lambda symbol, other: count(symbol, other.spaces))
    values = (
        count("needed", needed),
        count("free", panel.spaces),
        count("poles", own.poles),
        count("existing", own.existing),
        *values,
    )
    template = (
        f"Poles of the heater's devices: {{poles}}, there already: {{existing}}.{named} "
        "Spaces needed: {needed}, free: {free}."
    )
    why = "Each pole takes a space of the panel; two circuits never share one terminal."
    do = "Free spaces, or have a panel with more of them fitted. Do not double up conductors."
    fits = own.spaces == 0 or needed <= panel.spaces
    return judgement("panel-spaces", "ok" if fits else "stop", template, values, why, do, sources["panel-spaces"])


def panel_demand(panel: Panel, own: Share, others: Sequence[Share], sources: Mapping[str, str]) -> Judgement:
    """Judge the demand already on the panel plus all heaters on it [A] against its rating.

    Each heater counts at the full current of its greatest line, as if all stood on one line and ran at once: no
    diversity. `stop` when even the plain sum is above the rating, `attention` when the sum is with each heater's
    factor for a continuous load.
    """
    every = (own, *others)
    total = panel.demand_a + math.fsum(one.heater_a for one in every)
    cautious = panel.demand_a + math.fsum(one.factor * one.heater_a for one in every)
    most_a = panel.rating_a * (1.0 + 1e-9)
    severity: Severity = "stop" if total > most_a else "attention" if cautious > most_a else "ok"
    named, values = _on_it(panel, others, lambda symbol, other: amps(symbol, other.heater_a, "up"))
    values = (
        amps("demand", panel.demand_a, "up"),
        text("method", panel.demand_method),
        amps("heater", own.heater_a, "up"),
        amps("total", total, "up"),
        amps("cautious", cautious, "up"),
        amps("rating", panel.rating_a),
        *values,
    )
    template = (
        f"Demand already on the panel {{demand}} ({{method}}), heater {{heater}}.{named} {{total}} together, "
        "{cautious} with the factor for a continuous load, on a panel rated {rating}."
    )
    why = "An overloaded panel heats its bus and conductors, and its main device opens at the worst moment."
    do = (
        "Have the load calculated by the adopted code before anything is connected; then a larger supply, listed "
        "load management, or a smaller heater."
    )
    return judgement("panel-demand", severity, template, values, why, do, sources["panel-demand"])


def _on_it(panel: Panel, others: Sequence[Share], of: Callable[[str, Share], Value]) -> tuple[str, tuple[Value, ...]]:
    """Return a sentence that names the other heaters on the panel, each with its value; none for a panel unnamed."""
    if panel.id is None:
        return "", ()
    if not others:
        return " No other site of this handbook names panel {panel}.", (text("panel", panel.id),)
    listed = ", ".join(f"{{site_{number}}} {{of_{number}}}" for number in range(1, len(others) + 1))
    values = (
        value
        for number, other in enumerate(others, 1)
        for value in (text(f"site_{number}", other.site), of(f"of_{number}", other))
    )
    return f" Other heaters on panel {{panel}}: {listed}.", (text("panel", panel.id), *values)

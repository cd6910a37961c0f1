"""Whether the panel has room for the heater: pole spaces, and demand against rating."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import Judgement, judgement
from generator.compute.circuit.working import amps, count, text
from generator.model.figures import Severity
from generator.model.site import Site


def panel_spaces(site: Site, poles: int, sources: Mapping[str, str]) -> Judgement:
    """Judge the free spaces for `poles` of new devices; the poles of an existing device are there already."""
    existing = site.existing_circuit.poles if site.existing_circuit else 0
    needed = max(0, poles - existing)
    free = site.supply.panel.spaces
    values = (count("needed", needed), count("free", free), count("poles", poles), count("existing", existing))
    template = (
        "Poles of the heater's devices: {poles}, there already: {existing}. Spaces needed: {needed}, free: {free}."
    )
    why = "Each pole takes a space of the panel; two circuits never share one terminal."
    do = "Free spaces, or have a panel with more of them fitted. Do not double up conductors."
    return judgement(
        "panel-spaces", "ok" if needed <= free else "stop", template, values, why, do, sources["panel-spaces"]
    )


def panel_demand(site: Site, heater_a: float, factor: float, sources: Mapping[str, str]) -> Judgement:
    """Judge the demand already on the panel plus the heater [A] against the panel's rating.

    The heater counts at its full current, with no diversity; `factor` is the one for a continuous load, at which the
    sum deserves attention. `stop` when even the plain sum is above the rating.
    """
    panel = site.supply.panel
    total, cautious = panel.demand_a + heater_a, panel.demand_a + factor * heater_a
    severity: Severity = "stop" if total > panel.rating_a else "attention" if cautious > panel.rating_a else "ok"
    values = (
        amps("demand", panel.demand_a, "up"),
        text("method", panel.demand_method),
        amps("heater", heater_a, "up"),
        amps("total", total, "up"),
        amps("cautious", cautious, "up"),
        amps("rating", panel.rating_a),
    )
    template = (
        "Demand already on the panel {demand} ({method}), heater {heater}: {total} together, {cautious} with the "
        "factor for a continuous load, on a panel rated {rating}."
    )
    why = "An overloaded panel heats its bus and conductors, and its main device opens at the worst moment."
    do = (
        "Have the load calculated by the adopted code before anything is connected; then a larger supply, listed "
        "load management, or a smaller heater."
    )
    return judgement("panel-demand", severity, template, values, why, do, sources["panel-demand"])

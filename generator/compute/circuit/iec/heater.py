"""The circuits of a whole heater by IEC 60364: at a site, and by its nameplate alone."""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.circuit.connection import INTERNATIONAL, connect
from generator.compute.circuit.existing import require_known_sizes
from generator.compute.circuit.iec.circuit import Circuit, design, result
from generator.compute.circuit.iec.conditions import reference_conditions, site_conditions
from generator.compute.circuit.iec.site_findings import site_findings
from generator.compute.circuit.laid import laid_at
from generator.compute.circuit.leads import require_leads
from generator.compute.circuit.load import loads, model_prefix, site_prefix
from generator.compute.circuit.panel import Share, share
from generator.compute.circuit.site_connection import connect_site
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from generator.model.results import CircuitResult
from generator.model.site import Site


def at_site(
    site: Site, model: HeaterModel, basis: CodeBasis, others: Sequence[Share]
) -> tuple[tuple[CircuitResult, ...], tuple[Finding, ...]]:
    """Return the circuits, one a feed, and the findings. CannotCompute for what the basis cannot state.

    `others`: what the heaters of other sites take of the same panel.
    """
    require_known_sizes(site, basis)
    connection = connect_site(site, model, INTERNATIONAL)
    conditions = site_conditions(site, model, connection, basis)
    circuits = [
        design(load, conditions, model.electrical.terminals, basis, laid_at(site, model))
        for load in loads(model, connection, site_prefix(site), site=True)
    ]
    on_panel = panel_share(site, model), others
    return tuple(map(result, circuits)), site_findings(site, model, circuits, on_panel)


def panel_share(site: Site, model: HeaterModel) -> Share:
    """Return what a site's heater takes of its panel. CannotCompute where no rating fits the supply."""
    connection = connect_site(site, model, INTERNATIONAL)
    poles = connection.lines + connection.neutral
    return share(site, loads(model, connection, site_prefix(site), site=True), poles, 1.0)


def by_nameplate(model: HeaterModel, basis: CodeBasis) -> tuple[CircuitResult, ...]:
    """Return the circuits at every rating, one a feed, under the basis's reference conditions."""
    connections = [connect(model, rating, rating.voltage_v, INTERNATIONAL) for rating in model.ratings]
    require_leads(model, connections)
    found = []
    for connection in connections:
        conditions = reference_conditions(model, connection, basis)
        for load in loads(model, connection, model_prefix(model, connection.rating), site=False):
            circuit = design(load, conditions, model.electrical.terminals, basis)
            _require_sound_model(circuit)
            found.append(result(circuit))
    return tuple(found)


def _require_sound_model(circuit: Circuit) -> None:
    marked_a, load = circuit.ratings.marked_a, circuit.load
    if marked_a is not None and marked_a < load.rated_current_a * (1.0 - 1e-6):
        wrong = f"the greatest device, {marked_a:g} A, is below the feed's own current, {load.rated_current_a:.1f} A"
        raise CannotCompute((*load.where, "maximum_device"), wrong, "the maximum as the nameplate marks it")

"""The branch circuits of a heater, at a site or by its nameplate alone, on whichever code basis governs."""

from __future__ import annotations

from generator.compute.circuit.connection import connect, connect_site
from generator.compute.circuit.load import loads
from generator.compute.circuit.working import slug
from generator.compute.circuit_us import circuit as us
from generator.compute.circuit_us.conditions import reference_conditions, site_conditions
from generator.compute.circuit_us.site_findings import site_findings
from generator.model.codes import CodeBasis
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from generator.model.results import CircuitResult
from generator.model.site import Site


def site_circuits(
    site: Site, model: HeaterModel, basis: CodeBasis
) -> tuple[tuple[CircuitResult, ...], tuple[Finding, ...]]:
    """Return the circuits of a site's heater, one a feed, and the electrical findings, one a rule.

    CannotCompute, with its place in the site's YAML, for what the basis cannot state.
    """
    connection = connect_site(site, model, north_american=True)
    conditions = site_conditions(site, model, connection, basis)
    reason = None if site.use.continuous else site.use.reason
    circuits = [
        us.design(load, conditions, model.electrical.terminals, basis, reason, site.route.length_m)
        for load in loads(model, connection, f"site.{site.id}.circuit", site=True)
    ]
    return tuple(us.result(circuit) for circuit in circuits), site_findings(site, model, circuits)


def model_circuits(model: HeaterModel, basis: CodeBasis) -> tuple[CircuitResult, ...]:
    """Return the circuits by the nameplate alone, one a feed at each rating, under the basis's reference conditions."""
    found = []
    for rating in model.ratings:
        connection = connect(model, rating, rating.voltage_v, north_american=True)
        conditions = reference_conditions(model, connection, basis)
        prefix = f"model.{model.id}.circuit.{slug(f'{rating.voltage_v:g} V {rating.phases}')}"
        for load in loads(model, connection, prefix, site=False):
            found.append(us.result(us.design(load, conditions, model.electrical.terminals, basis)))
    return tuple(found)

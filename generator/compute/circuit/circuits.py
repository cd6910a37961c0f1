"""The branch circuits of a heater, at a site or by its nameplate alone, on whichever code basis governs."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from generator.compute.band import Band
from generator.compute.blank import blanked
from generator.compute.circuit.circuit import Circuit, Laid, Rules, Wired, design
from generator.compute.circuit.circuit_figures import circuit_result
from generator.compute.circuit.fit.leads import require_leads
from generator.compute.circuit.fit.marked_device import marked_device
from generator.compute.circuit.fit.panel import Share, share
from generator.compute.circuit.iec.rules import IecRules
from generator.compute.circuit.load import loads, model_prefix, site_prefix
from generator.compute.circuit.site_findings import site_findings
from generator.compute.circuit.supply_connection import SupplyConnection, connect
from generator.compute.circuit.us.rules import UsRules
from generator.compute.circuit.values import settle_first
from generator.compute.heat.stages import rating_for_supply
from generator.compute.verdict.built import voiding
from generator.compute.verdict.set_flow import selected_stage
from generator.errors import CannotCompute
from generator.model.figures import Finding
from generator.model.finding_rules import Judgement
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.results import CircuitResult
from generator.model.site import Site
from generator.model.tables.clauses import Family
from generator.model.tables.codes import CodeBasis

FAMILIES: Mapping[Family, type[Rules]] = {"nfpa70": UsRules, "iec60364": IecRules}


def site_circuits(
    site: Site, model: HeaterModel, basis: CodeBasis, *, others: Sequence[Share] = ()
) -> tuple[tuple[CircuitResult, ...], tuple[Finding, ...]]:
    """Return the circuits of a site's heater, one a feed, and the electrical findings, one a rule.

    `others`: what the heaters of other sites take of the same panel. Where a finding voids the circuit, its
    figures have no value but the state "stop" and the reason.
    CannotCompute, with its place in the site's YAML, for what the basis cannot state.
    """
    circuits, findings = judged_circuits(site, model, basis, others=others)
    return circuit_results(circuits, findings), findings


def judged_circuits(
    site: Site, model: HeaterModel, basis: CodeBasis, *, others: Sequence[Share]
) -> tuple[tuple[Circuit, ...], tuple[Finding, ...]]:
    """Return the circuits of `site_circuits` in numbers alone, and its findings, made without a figure."""
    circuits = designed(site, model, basis)
    return circuits, site_findings(Wired(site, model, circuits), own=_share(site, model, basis), others=others)


def circuit_results(
    circuits: Iterable[Circuit], findings: Iterable[Finding], band: Band | None = None
) -> tuple[CircuitResult, ...]:
    """Return the figures of circuits; without a value where a finding voids the circuit, for whoever shows it.

    `band`: that of the heater at the site, where its greatest current over it is shown.
    """
    cause = voiding(findings)
    return tuple(_voided(circuit_result(circuit, band), cause) for circuit in circuits)


def designed(site: Site, model: HeaterModel, basis: CodeBasis) -> tuple[Circuit, ...]:
    """Return the circuits of a heater at a site as they are sized, one a feed, whatever the findings say of them."""
    connection = _connection(site, model, basis)
    rules = FAMILIES[basis.header.family].at_site(site, model, connection, basis=basis)
    existing = site.existing_circuit.conductor if site.existing_circuit else None
    laid = Laid(site.route.length_m, existing, selected_stage(site, model))
    every = loads(model, connection, site_prefix(site), site=True)
    return tuple(design(load, rules, model.electrical.terminals, laid=laid) for load in every)


def others_on_panel(site: Site, inputs: Inputs) -> tuple[Share, ...]:
    """Return what the heaters of the other sites that name this site's panel take of it; none for a panel unnamed.

    A site whose own supply is refused is left out: the run ends with that refusal.
    """
    panel_id = site.supply.panel.id
    return tuple(
        found
        for other in inputs.beside(site)
        if panel_id is not None and other.supply.panel.id == panel_id and other.id != site.id
        for found in _share_of(other, inputs)
    )


def _share_of(site: Site, inputs: Inputs) -> tuple[Share, ...]:
    try:
        return (_share(site, inputs.model(site.heater), inputs.basis_of(site)),)
    except CannotCompute:
        return ()


def _share(site: Site, model: HeaterModel, basis: CodeBasis) -> Share:
    """Return what a site's heater takes of its panel. CannotCompute where no rating fits the supply."""
    connection, rules = _connection(site, model, basis), FAMILIES[basis.header.family]
    every = loads(model, connection, site_prefix(site), site=True)
    factor = rules.continuous(basis) if site.use.continuous else 1.0
    return share(site, every, poles=rules.poles(connection), factor=factor)


def _connection(site: Site, model: HeaterModel, basis: CodeBasis) -> SupplyConnection:
    supply = site.supply
    rating = rating_for_supply(model, supply.voltage_v, supply.phases)
    return connect(model, rating, supply.voltage_v, to_neutral=FAMILIES[basis.header.family].TO_NEUTRAL)


def model_circuits(model: HeaterModel, basis: CodeBasis) -> tuple[CircuitResult, ...]:
    """Return the circuits by the nameplate alone, one a feed at each rating.

    They hold under the basis's reference conditions: copper, reference ambient, one circuit by itself, terminals as
    the heater's. CannotCompute, with its place in the model's YAML, for what the basis cannot state and for data that
    cannot be true of a listed heater.
    """
    family, found = FAMILIES[basis.header.family], []
    connections = [connect(model, rating, rating.voltage_v, to_neutral=family.TO_NEUTRAL) for rating in model.ratings]
    require_leads(model, connections)
    for connection in connections:
        rules = family.by_nameplate(model, connection, basis)
        for load in loads(model, connection, model_prefix(model, connection.rating), site=False):
            circuit = design(load, rules, model.electrical.terminals)
            for refuse in rules.REFUSALS:
                refuse(load, basis)
            _require_marking(circuit)
            found.append(circuit_result(circuit))
    return tuple(found)


def model_marking(model: HeaterModel, basis: CodeBasis) -> Judgement:
    """Return whether the devices that a nameplate marks can be true, on a code basis."""
    family, rating = FAMILIES[basis.header.family], model.ratings[0]
    connection = connect(model, rating, rating.voltage_v, to_neutral=family.TO_NEUTRAL)
    return marked_device(model, family.by_nameplate(model, connection, basis))


def _require_marking(circuit: Circuit) -> None:
    """Refuse a marked maximum below the feed's own load."""
    load, marked_a = circuit.load, circuit.load.feed.maximum_device_a
    if marked_a is not None and marked_a < load.rated_current_a * (1.0 - 1e-9):
        wrong = f"the greatest device, {marked_a:g} A, is below the feed's own current, {load.rated_current_a:.1f} A"
        raise CannotCompute((*load.where, "maximum_device"), wrong, "the maximum as the nameplate marks it")


def _voided(circuit: CircuitResult, cause: Finding | None) -> CircuitResult:
    """Return a circuit that must not be built without any value but the power that it would leave."""
    if cause is None:
        return circuit
    blank = blanked(circuit, settle_first(cause))
    return replace(blank, governing="", power_by_stage=circuit.power_by_stage)

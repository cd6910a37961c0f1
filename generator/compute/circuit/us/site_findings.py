"""Every electrical finding of a site by NFPA 70, one a rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from generator.compute.circuit import panel, place, supply_match, terminals
from generator.compute.circuit.drop_finding import voltage_drop
from generator.compute.circuit.existing import existing_circuits
from generator.compute.circuit.findings import worst
from generator.compute.circuit.leads import heater_leads
from generator.compute.circuit.panel import Share
from generator.compute.circuit.us import existing as existing_rules
from generator.compute.circuit.us.circuit import Circuit
from generator.compute.circuit.us.ground_fault import ground_fault_protection
from generator.compute.circuit.us.limiter import limiter_marking
from generator.compute.circuit.us.new_circuit import circuit_device, element_subdivision, wiring_method
from generator.model.figures import Finding
from generator.model.finding_rules import Judgement
from generator.model.heater import HeaterModel
from generator.model.site import ExistingCircuit, Site


def site_findings(
    site: Site, model: HeaterModel, circuits: Sequence[Circuit], on_panel: tuple[Share, Sequence[Share]]
) -> tuple[Finding, ...]:
    """Return the findings about supply, circuit, panel and place, and about an existing circuit where there is one.

    `on_panel`: what this heater takes of its panel, and what the others on it do.
    """
    sources = circuits[0].basis.rules.sources
    supply = _supply(site, model, circuits, on_panel, sources)
    found = [*supply, *_circuit(site, model, circuits, sources)]
    if site.existing_circuit is not None:
        found += _existing(site, site.existing_circuit, circuits, sources)
    return tuple(one.at(site.id) for one in found)


def _supply(
    site: Site,
    model: HeaterModel,
    circuits: Sequence[Circuit],
    on_panel: tuple[Share, Sequence[Share]],
    sources: Mapping[str, str],
) -> Iterator[Judgement]:
    connection = circuits[0].load.connection
    yield supply_match.supply_voltage(connection, sources)
    yield supply_match.supply_frequency(site, model, sources)
    yield supply_match.supply_phases(site, connection, sources)
    yield supply_match.supply_neutral(site, connection, sources)
    yield heater_leads(model, connection, sources)
    yield panel.panel_spaces(site.supply.panel, *on_panel, sources)
    yield panel.panel_demand(site.supply.panel, *on_panel, sources)


def _circuit(
    site: Site, model: HeaterModel, circuits: Sequence[Circuit], sources: Mapping[str, str]
) -> Iterator[Judgement]:
    largest_a = max(circuit.ratings.device_a for circuit in circuits)
    existing = site.existing_circuit is not None
    yield worst(circuit_device(circuit, sources) for circuit in circuits)
    yield wiring_method(site, circuits[0].conditions, sources)
    yield worst(element_subdivision(circuit, sources) for circuit in circuits)
    yield worst(
        voltage_drop(circuit.load, circuit.run(circuit.installed), circuit.terminals, sources, existing=existing)
        for circuit in circuits
    )
    yield terminals.terminal_material(site, model.electrical.terminals, sources)
    sizes = [*(circuit.size for circuit in circuits), *(circuit.installed for circuit in circuits)]
    yield worst(terminals.terminal_size(size, model.electrical.terminals, sources) for size in sizes)
    yield place.disconnect(site, len(circuits), sources)
    yield place.enclosure(site, model, sources)
    yield ground_fault_protection(site, largest_a, sources)
    yield limiter_marking(model, sources)


def _existing(
    site: Site, existing: ExistingCircuit, circuits: Sequence[Circuit], sources: Mapping[str, str]
) -> Iterator[Judgement]:
    method = site.route.method
    yield existing_circuits(len(circuits), sources)
    yield worst(existing_rules.existing_device(circuit, existing, sources) for circuit in circuits)
    yield worst(existing_rules.existing_conductor(circuit, existing, sources) for circuit in circuits)
    yield worst(existing_rules.existing_poles(circuit, existing, sources) for circuit in circuits)
    yield worst(existing_rules.existing_neutral(circuit, existing, sources) for circuit in circuits)
    yield worst(existing_rules.existing_ground(circuit, existing, method, sources) for circuit in circuits)

"""Every electrical finding of a site by IEC 60364, one a rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from generator.compute.circuit import panel, place, supply_match, terminals
from generator.compute.circuit.drop_finding import voltage_drop
from generator.compute.circuit.existing import existing_circuits
from generator.compute.circuit.findings import worst
from generator.compute.circuit.iec import existing as existing_rules
from generator.compute.circuit.iec.circuit import Circuit
from generator.compute.circuit.iec.residual_current import residual_current_protection
from generator.compute.circuit.iec.wiring_method import wiring_method
from generator.compute.circuit.leads import heater_leads
from generator.compute.circuit.panel import Share
from generator.compute.circuit.working import amps, text
from generator.compute.severity import ok_or_stop
from generator.model.figures import Finding
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import HeaterModel
from generator.model.site import ExistingCircuit, Site

DEVICE_VALUES = ("feed", "load", "device", "marked")
DEVICE = Rule("circuit-device", {"iec-fits": DEVICE_VALUES, "iec-too-small": DEVICE_VALUES})


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
        found += _existing(site.existing_circuit, circuits, sources)
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
    existing = site.existing_circuit is not None
    yield worst(circuit_device(circuit, sources) for circuit in circuits)
    yield wiring_method(site, circuits[0].conditions, sources)
    yield worst(
        voltage_drop(circuit.load, circuit.run(circuit.installed), circuit.terminals, sources, existing=existing)
        for circuit in circuits
    )
    yield terminals.terminal_material(site, model.electrical.terminals, sources)
    sizes = [*(circuit.size for circuit in circuits), *(circuit.installed for circuit in circuits)]
    yield worst(terminals.terminal_size(size, model.electrical.terminals, sources) for size in sizes)
    yield place.disconnect(site, len(circuits), sources)
    yield place.enclosure(site, model, sources)
    yield residual_current_protection(site, sources)


def circuit_device(circuit: Circuit, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the marking leaves room for the design current."""
    ratings, load_a = circuit.ratings, circuit.load.current_a
    marked = () if ratings.marked_a is None else (amps("marked", ratings.marked_a, "down"),)
    values = (text("feed", circuit.load.name), amps("load", load_a, "up"), amps("device", ratings.device_a), *marked)
    fits = ratings.device_a >= load_a - 1e-9
    case, severity = "iec-fits" if fits else "iec-too-small", ok_or_stop(fits)
    return DEVICE.judge(case, severity, values, source=sources[DEVICE.name])


def _existing(
    existing: ExistingCircuit, circuits: Sequence[Circuit], sources: Mapping[str, str]
) -> Iterator[Judgement]:
    yield existing_circuits(len(circuits), sources)
    yield worst(existing_rules.existing_device(circuit, existing, sources) for circuit in circuits)
    yield worst(existing_rules.existing_conductor(circuit, existing, sources) for circuit in circuits)
    yield worst(existing_rules.existing_poles(circuit, existing, sources) for circuit in circuits)
    yield worst(existing_rules.existing_ground(circuit, existing, sources) for circuit in circuits)

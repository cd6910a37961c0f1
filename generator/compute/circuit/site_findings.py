"""Every electrical finding of a site, one a rule: the worst of its circuits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from generator.compute.circuit.circuit import Wired
from generator.compute.circuit.drop.drop_finding import voltage_drop
from generator.compute.circuit.existing import existing_circuits
from generator.compute.circuit.fit import location, panel, supply_match, terminals
from generator.compute.circuit.fit.leads import heater_leads
from generator.compute.circuit.fit.marked_device import marked_device
from generator.compute.circuit.fit.panel import Share
from generator.compute.severity import worst
from generator.model.figures import Finding
from generator.model.finding_rules import Judgement


def site_findings(at: Wired, *, own: Share, others: Sequence[Share]) -> tuple[Finding, ...]:
    """Return the findings about supply, circuit, panel and place, and about an existing circuit where there is one.

    `own`: what this heater takes of its panel; `others`: what the other heaters on it do.
    """
    rules, on_panel, existing = at.circuits[0].rules, at.site.supply.panel, at.site.existing_circuit
    sources = rules.basis.rules.sources
    found = [
        *_supply(at, sources),
        panel.panel_spaces(on_panel, own, others, sources=sources),
        panel.panel_demand(on_panel, own, others, sources=sources),
        *rules.about_circuit(at),
        *_run(at, sources),
        *rules.about_people(at),
    ]
    if existing is not None:
        found += [existing_circuits(len(at.circuits), sources), *rules.about_existing(at, existing)]
    return tuple(one.at(at.site.id) for one in found)


def _supply(at: Wired, sources: Mapping[str, str]) -> Iterator[Judgement]:
    connection = at.circuits[0].load.connection
    service = at.circuits[0].rules.basis.header.service_voltage
    known, ratings = at.site.supply.voltage_range, at.model.ratings
    yield supply_match.supply_voltage(connection, sources, service, ratings=ratings, known=known)
    yield supply_match.supply_frequency(at.site, at.model, sources)
    yield supply_match.supply_phases(at.site, connection, sources)
    yield supply_match.supply_neutral(at.site, connection, sources)
    yield heater_leads(at.model, connection, sources)
    yield marked_device(at.model, at.circuits[0].rules)


def _run(at: Wired, sources: Mapping[str, str]) -> Iterator[Judgement]:
    takes, existing = at.model.electrical.terminals, at.site.existing_circuit is not None
    yield worst(voltage_drop(circuit, sources, existing=existing) for circuit in at.circuits)
    yield terminals.terminal_material(at.site, takes, sources)
    sizes = [*(circuit.size for circuit in at.circuits), *(circuit.installed for circuit in at.circuits)]
    yield worst(terminals.terminal_size(size, takes, sources) for size in sizes)
    yield location.disconnect(at.site, len(at.circuits), sources)
    yield location.enclosure(at.site, at.model, sources)

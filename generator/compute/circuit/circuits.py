"""The branch circuits of a heater, at a site or by its nameplate alone, on whichever code basis governs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from generator.compute.blank import blanked
from generator.compute.circuit.iec import heater as iec
from generator.compute.circuit.panel import Share
from generator.compute.circuit.us import heater as us
from generator.compute.circuit.working import settle_first
from generator.compute.verdict.built import voiding
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.results import CircuitResult
from generator.model.site import Site

AT_SITE = {"nfpa70": us.at_site, "iec60364": iec.at_site}
PANEL_SHARE = {"nfpa70": us.panel_share, "iec60364": iec.panel_share}
BY_NAMEPLATE = {"nfpa70": us.by_nameplate, "iec60364": iec.by_nameplate}


def site_circuits(
    site: Site, model: HeaterModel, basis: CodeBasis, others: Sequence[Share] = ()
) -> tuple[tuple[CircuitResult, ...], tuple[Finding, ...]]:
    """Return the circuits of a site's heater, one a feed, and the electrical findings, one a rule.

    `others`: what the heaters of other sites take of the same panel. Where a finding voids the circuit, its
    figures have no value but the state "stop" and the reason.
    CannotCompute, with its place in the site's YAML, for what the basis cannot state.
    """
    circuits, findings = AT_SITE[basis.header.family](site, model, basis, others)
    return tuple(_voided(circuit, findings) for circuit in circuits), findings


def others_on_panel(site: Site, inputs: Inputs) -> tuple[Share, ...]:
    """Return what the heaters of the other sites that name this site's panel take of it; none for a panel unnamed.

    A site whose own supply is refused is left out: the run ends with that refusal.
    """
    panel_id = site.supply.panel.id
    return tuple(
        found
        for other in inputs.sites
        if panel_id is not None and other.supply.panel.id == panel_id and other.id != site.id
        for found in _share_of(other, inputs)
    )


def _share_of(site: Site, inputs: Inputs) -> tuple[Share, ...]:
    try:
        return (PANEL_SHARE[inputs.basis_of(site).header.family](site, inputs.model(site.heater)),)
    except CannotCompute:
        return ()


def model_circuits(model: HeaterModel, basis: CodeBasis) -> tuple[CircuitResult, ...]:
    """Return the circuits by the nameplate alone, one a feed at each rating.

    They hold under the basis's reference conditions: copper, reference ambient, one circuit by itself, terminals as
    the heater's. CannotCompute, with its place in the model's YAML, for what the basis cannot state.
    """
    return BY_NAMEPLATE[basis.header.family](model, basis)


def _voided(circuit: CircuitResult, findings: Iterable[Finding]) -> CircuitResult:
    """Return a circuit that must not be built without any value; compute still needs the power that it would leave."""
    cause = voiding(findings)
    if cause is None:
        return circuit
    blank = blanked(circuit, settle_first(cause))
    return replace(blank, governing="", power_by_stage=circuit.power_by_stage)

"""Everything that follows for one heater at one site: what is found, and the figures for whoever looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from generator.compute.circuit.circuits import circuit_results
from generator.compute.circuit.delivered import delivered
from generator.compute.circuit.fit.torque import terminal_torque
from generator.compute.circuit.lost import lost_table
from generator.compute.editions import editions
from generator.compute.flow.operating_point import flow_bounds
from generator.compute.flow.shared_source import shared_source
from generator.compute.flow.water_side import water_findings, water_side
from generator.compute.heat.figures.band import supply_range
from generator.compute.heat.figures.hottest import hottest_figure, top_figure, with_band
from generator.compute.heat.figures.outlet import outlet_table
from generator.compute.heat.figures.outlet_rows import own_flows, summer_rows, winter_rows
from generator.compute.heat.figures.stages import stage_results
from generator.compute.heat.figures.window import window_figures
from generator.compute.heat.findings import thermal_findings
from generator.compute.heat.hottest import coolest_hottest
from generator.compute.heat.outlet import Heated
from generator.compute.known import Known, known
from generator.compute.plumbing import cited
from generator.compute.unfit_supply import judged, publishable
from generator.compute.use.allowed_reading import allowed_readings
from generator.compute.use.figures import limit_figure, target_figure
from generator.compute.verdict.decisions import with_decisions
from generator.model.figures import Figure, FigureTable, Finding
from generator.model.inputs import Inputs
from generator.model.outlet_flows import Most
from generator.model.results import SiteResult
from generator.model.site import Site
from generator.model.water_results import SUPPLY_LIMIT

WINTER_NOTE = (
    "What can be counted on: a stage counts from the flow at which it turns on, with the power that the circuit's "
    "voltage drop leaves, rounded down. Limits are judged in the table of the warmest inlet."
)
SUMMER_NOTE = (
    "What a hand can meet: a stage counts until the flow falls to the one at which it drops out, with the full power, "
    "without the circuit's voltage drop, rounded up."
)


def compute_site(site: Site, inputs: Inputs) -> SiteResult:
    """Return the site's results. Ids start with `site.<id>`.

    CannotCompute, with its key path in the site's YAML, for what cannot be computed from the tables.
    """
    facts = known(site, inputs)
    result = publishable(_figures(facts, inputs))
    return replace(result, findings=_marked(result.findings, site, inputs))


def judge_site(site: Site, inputs: Inputs) -> tuple[Finding, ...]:
    """Return the findings of `compute_site`, made without a figure; CannotCompute as there."""
    facts = known(site, inputs)
    return _marked(judged(_findings(facts, inputs, _wet(facts, inputs))), site, inputs)


def _marked(findings: tuple[Finding, ...], site: Site, inputs: Inputs) -> tuple[Finding, ...]:
    """Return the findings as they go out: sources cited, decisions marked."""
    return with_decisions(cited(findings, inputs.plumbing_of(site)), site.decisions)


def _wet(facts: Known, inputs: Inputs) -> tuple[Finding, ...]:
    return water_findings(facts.at, facts.climate, facts.most_k, models=inputs.models)


def _findings(facts: Known, inputs: Inputs, wet: tuple[Finding, ...]) -> tuple[Finding, ...]:
    site = facts.at.site
    adopted = editions(site, inputs.basis_of(site).header, inputs.plumbing_of(site))
    return (*thermal_findings(facts.heat), *facts.circuit_findings, *wet, *shared_source(site, inputs.sites), *adopted)


def _figures(facts: Known, inputs: Inputs) -> SiteResult:
    """Return the results, whatever the supply makes void still among them."""
    heat, site, model = facts.heat, facts.at.site, facts.at.model
    prefix, supply, default_limit_k = f"site.{site.id}", site.supply, inputs.settings.limit_temperature_k
    wet, circuits = _wet(facts, inputs), circuit_results(facts.circuits, facts.circuit_findings)
    water = water_side(facts.at, facts.climate, facts.most_k, findings=wet)
    stages = stage_results(prefix, model, supply.voltage_v, phases=supply.phases)
    winter, summer = _outlets(prefix, facts, inputs.settings.flows_shown_m3_s)
    hottest, hottest_top = _hottest(prefix, facts)
    return SiteResult(
        id=site.id,
        supply_power=stages[-1].power,
        stages=stages,
        winter_inlet=water.inlet.coldest,
        summer_inlet=water.inlet.hottest,
        target=target_figure(prefix, site),
        limit=limit_figure(prefix, site, default_limit_k, code=facts.at.plumbing.limits),
        outlet_winter=winter,
        outlet_summer=summer,
        windows=tuple(window_figures(prefix, window) for window in heat.windows),
        hottest=hottest[heat.selected - 1],
        circuits=circuits,
        torque=terminal_torque(prefix, model, inputs.basis_of(site)),
        findings=_findings(facts, inputs, wet),
        hottest_by_stage=hottest,
        hottest_top=hottest_top[heat.selected - 1],
        delivered=delivered(prefix, circuits),
        water=water,
        lost=None if facts.unfit else lost_table(prefix, facts.at, heat.season.coldest_k),
        allowed=allowed_readings(
            prefix, site, heat.band, default_limit_k=default_limit_k, code=facts.at.plumbing.limits
        ),
        supply_range=supply_range(prefix, site, volts=heat.band.volts, basis=inputs.basis_of(site)),
    )


def _hottest(prefix: str, facts: Known) -> tuple[tuple[Figure, ...], tuple[Figure, ...]]:
    """Return the hottest water by stage: as stated with its band, and at the top of the band."""
    heat, model = facts.heat, facts.at.model
    cut_out_k, warmest_k = model.water.cut_out_k, heat.season.warmest_k
    coolest = coolest_hottest(model, facts.at.site.supply.phases, band=heat.band, burns=heat.burns)
    stated = (
        with_band(hottest_figure(prefix, one, warmest_k, cut_out_k=cut_out_k), low, top)
        for one, low, top in zip(heat.hottest, coolest, heat.at_top, strict=True)
    )
    return tuple(stated), tuple(top_figure(prefix, top, band=heat.band, cut_out_k=cut_out_k) for top in heat.at_top)


def _most(facts: Known) -> Most:
    """Return the greatest flow at which supply and pressure let stages be on."""
    flow_m3_s, reason = min(flow_bounds(facts.at).greatest)
    return Most(flow_m3_s, "beyond-supply" if reason == SUPPLY_LIMIT else "below-working-pressure")


def _outlets(prefix: str, facts: Known, round_m3_s: Sequence[float]) -> tuple[FigureTable, FigureTable]:
    """Return the outlet tables: at the coldest inlet, voltage drop counted, and at the warmest, without it."""
    heat, model, most = facts.heat, facts.at.model, _most(facts)
    own = own_flows(facts.at.working_m3_s, None if facts.unfit else heat.windows[heat.selected - 1])
    coolest = Heated(model, heat.powers.reach_w, heat.season.coldest_k, heat.limits.limit_k, most, "down")
    hottest = Heated(model, heat.powers.full_w, heat.season.warmest_k, heat.limits.limit_k, most)
    return (
        outlet_table(
            f"{prefix}.outlet.winter",
            "Outlet at the coldest inlet",
            coolest,
            heads=winter_rows(model, own, round_m3_s, most=most),
            note=WINTER_NOTE,
        ),
        outlet_table(
            f"{prefix}.outlet.summer",
            "Outlet at the warmest inlet",
            hottest,
            heads=summer_rows(model, own, round_m3_s, most=most),
            note=SUMMER_NOTE,
        ),
    )

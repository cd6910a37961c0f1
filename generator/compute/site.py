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
from generator.compute.heat.figures.band import supply_range, supply_that_holds
from generator.compute.heat.figures.hottest import hottest_figure, hottest_flow, top_figure, with_band
from generator.compute.heat.figures.hottest_year import hottest_by_month
from generator.compute.heat.figures.margin import margin_figure, shortfall_figure
from generator.compute.heat.figures.outlet import outlet_table
from generator.compute.heat.figures.outlet_by_flow import Seasons, outlet_by_flow, outlet_curves
from generator.compute.heat.figures.outlet_rows import own_flows, summer_rows, winter_rows
from generator.compute.heat.figures.stages import stage_results
from generator.compute.heat.figures.window import window_figures
from generator.compute.heat.findings import thermal_findings
from generator.compute.heat.hottest import coolest_hottest
from generator.compute.heat.outlet import Heated
from generator.compute.known import Known, known
from generator.compute.on_file import on_file
from generator.compute.own_rules import own_findings
from generator.compute.plumbing import cited
from generator.compute.record.pocket_tables import pocket_tables
from generator.compute.record.visits import measured, recorded
from generator.compute.unfit_supply import publishable, waiting_for_power
from generator.compute.use.allowed_reading import allowed_readings, kept_by_cut_out_k, open_limit_k
from generator.compute.use.figures import limit_figure, target_figure
from generator.compute.usual import usual_values
from generator.compute.verdict.decisions import with_decisions
from generator.model.figures import Figure, FigureTable, Finding
from generator.model.inputs import Inputs
from generator.model.outlet_flows import Most
from generator.model.results import SiteResult
from generator.model.said import say
from generator.model.site import Site
from generator.model.water_results import SUPPLY_LIMIT, Curve


def compute_site(site: Site, inputs: Inputs) -> SiteResult:
    """Return the site's results. Ids start with `site.<id>`.

    CannotCompute, with its key path in the site's YAML, for what cannot be computed from the tables.
    """
    facts = known(site, inputs)
    result = publishable(_figures(facts, inputs))
    found = (*result.findings, *own_findings(result, inputs.rules))
    result = replace(result, findings=_marked(found, site, inputs), pocket=pocket_tables(facts))
    return recorded(result, facts, inputs)


def judge_site(site: Site, inputs: Inputs) -> tuple[Finding, ...]:
    """Return the findings of `compute_site`, those that were measured last; CannotCompute as there.

    Figures are made only where something rests on them: of a site with records, or where there are rules of one's own.
    """
    if inputs.rules or inputs.records_of(site):
        result = compute_site(site, inputs)
        return (*result.findings, *result.measured)
    facts = known(site, inputs)
    return (*_judged(facts, inputs), *measured(facts, (), ()))


def _judged(facts: Known, inputs: Inputs) -> tuple[Finding, ...]:
    return _marked(waiting_for_power(_findings(facts, inputs, _wet(facts, inputs))), facts.at.site, inputs)


def _marked(findings: tuple[Finding, ...], site: Site, inputs: Inputs) -> tuple[Finding, ...]:
    """Return the findings as they go out: sources cited, decisions marked."""
    return with_decisions(cited(findings, inputs.plumbing_of(site)), site.decisions)


def _wet(facts: Known, inputs: Inputs) -> tuple[Finding, ...]:
    return water_findings(facts.at, facts.terms, facts.most_k, models=inputs.models)


def _findings(facts: Known, inputs: Inputs, wet: tuple[Finding, ...]) -> tuple[Finding, ...]:
    site = facts.at.site
    adopted = editions(site, inputs.basis_of(site).header, inputs.plumbing_of(site))
    shared = shared_source(site, inputs.beside(site))
    told = (on_file(site, facts.at.model), usual_values(site.id, site, inputs.usual.sites))
    return (*thermal_findings(facts.heat), *facts.circuit_findings, *wet, *shared, *adopted, *told)


def _figures(facts: Known, inputs: Inputs) -> SiteResult:
    """Return the results, whatever the supply makes void still among them."""
    heat, site, model = facts.heat, facts.at.site, facts.at.model
    prefix, supply, default_limit_k = f"site.{site.id}", site.supply, inputs.settings.limit_temperature_k
    wet, circuits = _wet(facts, inputs), circuit_results(facts.circuits, facts.circuit_findings, heat.band)
    water = water_side(facts.at, facts.terms, facts.most_k, findings=wet)
    stages = stage_results(prefix, model, supply.voltage_v, phases=supply.phases)
    by_flow, curves, winter, summer = _outlets(prefix, facts, inputs.settings.flows_shown_m3_s)
    findings, basis = _findings(facts, inputs, wet), inputs.basis_of(site)
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
        windows=tuple(
            replace(window_figures(prefix, window), margin=margin_figure(prefix, window, heat))
            for window in heat.windows
        ),
        outlet_by_flow=by_flow,
        outlet_curves=curves,
        hottest_by_month=None if facts.unfit else hottest_by_month(prefix, heat, water.inlet),
        hottest=hottest[heat.selected - 1],
        circuits=circuits,
        torque=terminal_torque(prefix, model, basis),
        findings=findings,
        hottest_by_stage=hottest,
        hottest_top=hottest_top[heat.selected - 1],
        shortfall=shortfall_figure(prefix, facts.at, heat),
        hottest_flow=None if facts.unfit else hottest_flow(prefix, heat.hottest[heat.selected - 1]),
        delivered=delivered(prefix, circuits),
        water=water,
        lost=None if facts.unfit else lost_table(prefix, facts.at, heat.season.coldest_k),
        allowed=_allowed(prefix, facts, default_limit_k),
        supply_range=supply_range(prefix, site, volts=heat.band.volts, basis=basis),
        supply_holds=supply_that_holds(prefix, findings, heat.band),
    )


def _allowed(prefix: str, facts: Known, default_limit_k: float) -> FigureTable | None:
    """Return the hottest readings allowed today; where the cut-out alone keeps the limit it may be reached any day."""
    site, code, heat = facts.at.site, facts.at.plumbing.limits, facts.heat
    held_k = kept_by_cut_out_k(facts.at.model, open_limit_k(site, default_limit_k, code) or 0.0, heat.burns)
    return allowed_readings(prefix, site, heat.band, default_limit_k=default_limit_k, code=code, held_k=held_k)


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


def _outlets(
    prefix: str, facts: Known, round_m3_s: Sequence[float]
) -> tuple[FigureTable | None, tuple[Curve, ...], FigureTable, FigureTable]:
    """Return the outlet flow by flow with its curves, and the tables by stage: at the coldest inlet, voltage drop
    counted, and at the warmest, without it."""
    heat, model, most = facts.heat, facts.at.model, _most(facts)
    own = own_flows(facts.at.working_m3_s, None if facts.unfit else heat.windows[heat.selected - 1])
    coolest = Heated(model, heat.powers.reach_w, heat.season.coldest_k, heat.limits.limit_k, most, "at_most")
    hottest = Heated(model, heat.powers.full_w, heat.season.warmest_k, heat.limits.limit_k, most)
    seasons = Seasons(coolest, hottest, heat.selected)
    return (
        None if facts.unfit else outlet_by_flow(prefix, seasons, own, most=most),
        () if facts.unfit else outlet_curves(prefix, seasons, own, most=most),
        outlet_table(
            f"{prefix}.outlet.winter",
            say("outlet-winter"),
            coolest,
            heads=winter_rows(model, own, round_m3_s, most=most),
            note=say("outlet-winter-note"),
        ),
        outlet_table(
            f"{prefix}.outlet.summer",
            say("outlet-summer"),
            hottest,
            heads=summer_rows(model, own, round_m3_s, most=most),
            note=say("outlet-summer-note"),
        ),
    )

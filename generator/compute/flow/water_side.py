"""The wet side of one heater at one site, put together: what is found, and what is shown.

Ids start with `site.<id>.water`.
"""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.flow.device_table import device_table
from generator.compute.flow.operating_point import Operating, flow_bounds, operating_figures
from generator.compute.flow.pipe_findings import pipe_findings
from generator.compute.flow.pressure_along import pressure_along
from generator.compute.flow.pressure_findings import pressure_findings
from generator.compute.flow.run_table import run_table
from generator.compute.flow.stage_reach import stage_reach, stage_reach_table
from generator.compute.flow.throttling import pressure_curves, throttling_table
from generator.compute.flow.throttling_finding import throttling_finding
from generator.compute.heat.boiling import altitude_finding, boiling_figure
from generator.compute.heat.figures.inlet import inlet_year
from generator.compute.heat.inlet import Season
from generator.compute.heat.inlet_year_finding import inlet_year_finding
from generator.compute.heat.stages import stage_powers_w
from generator.compute.use.delivery import delivery_figures, delivery_finding
from generator.compute.use.energy import energy_figures
from generator.compute.use.expansion import expansion_figure, relief_valve, thermal_expansion
from generator.compute.use.figures import fixture_table
from generator.compute.use.fixture_findings import fixture_findings
from generator.compute.use.fixtures import Terms
from generator.compute.use.hardness import hardness_finding
from generator.model.figures import Figure, FigureTable, Finding
from generator.model.heater import HeaterModel
from generator.model.water_results import Curve, InletYear, WaterSide


def water_findings(
    at: Operating, terms: Terms, hottest_k: float, *, models: Sequence[HeaterModel]
) -> tuple[Finding, ...]:
    """Return the findings of the wet side of a site at work.

    `terms` is what the fixtures are judged with, `hottest_k` the hottest water the heater can give [K], `models` the
    whole range.
    """
    return (
        inlet_year_finding(at.site, Season(terms.winter_k, terms.summer_k)),
        *pressure_findings(at, stage_reach(at)),
        throttling_finding(at),
        *pipe_findings(at, terms.summer_k, hottest_k, target_k=terms.target_k, warmest_k=terms.warmest_k),
        thermal_expansion(at, hottest_k),
        relief_valve(at),
        *fixture_findings(at, terms, models),
        delivery_finding(at),
        hardness_finding(at.site),
        altitude_finding(at.site, at.model),
    )


def water_side(at: Operating, terms: Terms, hottest_k: float, *, findings: tuple[Finding, ...]) -> WaterSide:
    """Return the wet side of a site at work, with what `water_findings` found with the same."""
    site, prefix = at.site, f"site.{at.site.id}.water"
    inlet, working = inlet_year(site), operating_figures(prefix, at)
    working_flow, greatest_flow, *_ = working
    return WaterSide(
        id=site.id,
        inlet=inlet,
        working_flow=working_flow,
        greatest_flow=greatest_flow,
        bounds=flow_bounds(at),
        figures=(inlet.coldest, inlet.hottest, *working, *_figures(prefix, at, hottest_k)),
        tables=_tables(prefix, at, inlet, terms=terms),
        findings=findings,
        curves=_curves(prefix, at, inlet),
        along=pressure_along(at),
    )


def _figures(prefix: str, at: Operating, hottest_k: float) -> tuple[Figure, ...]:
    supply = at.site.supply
    return (
        *delivery_figures(prefix, at),
        expansion_figure(prefix, at, hottest_k),
        boiling_figure(prefix, at.site),
        *energy_figures(prefix, at, stage_powers_w(at.model, supply.voltage_v, supply.phases)),
    )


def _tables(prefix: str, at: Operating, inlet: InletYear, *, terms: Terms) -> tuple[FigureTable, ...]:
    months = (inlet.months,) if inlet.months is not None else ()
    return (
        *months,
        run_table(prefix, at.at_greatest, terms.target_k),
        *device_table(prefix, at),
        stage_reach_table(prefix, at, stage_reach(at)),
        throttling_table(prefix, at),
        fixture_table(prefix, at, terms),
    )


def _curves(prefix: str, at: Operating, inlet: InletYear) -> tuple[Curve, ...]:
    year = (inlet.curve,) if inlet.curve is not None else ()
    return (*year, *pressure_curves(prefix, at))

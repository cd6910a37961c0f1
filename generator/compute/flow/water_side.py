"""The wet side of one heater at one site, put together. Ids start with `site.<id>.water`."""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.flow.operating_point import Operating, flow_bounds, operating_figures
from generator.compute.flow.pipe_findings import pipe_findings
from generator.compute.flow.pressure_findings import pressure_findings
from generator.compute.flow.run_table import run_table
from generator.compute.flow.stage_reach import StageReach, stage_reach, stage_reach_table
from generator.compute.flow.throttling import pressure_curves, throttling_table
from generator.compute.flow.throttling_finding import throttling_finding
from generator.compute.heat.boiling import altitude_finding, boiling_figure
from generator.compute.heat.inlet import inlet_year
from generator.compute.heat.inlet_finding import inlet_finding
from generator.compute.use.delivery import delivery_figures, delivery_finding
from generator.compute.use.energy import energy_figures
from generator.compute.use.expansion import expansion_figure, relief_valve, thermal_expansion
from generator.compute.use.fixture_findings import fixture_findings
from generator.compute.use.fixtures import Climate, fixture_table
from generator.compute.use.hardness import hardness_finding
from generator.model.figures import Figure, FigureTable, Finding
from generator.model.heater import HeaterModel
from generator.model.results import StageResult
from generator.model.rules import Family
from generator.model.water_results import Curve, InletYear, WaterSide


def water_side(
    at: Operating,
    models: Sequence[HeaterModel],
    stages: tuple[StageResult, ...],
    climate: Climate,
    hottest_k: float,
    family: Family,
) -> WaterSide:
    """Return the wet side of a site at work.

    `models` is the whole range, `stages` those of the site's model there, `climate` what the fixtures are judged with,
    `hottest_k` the hottest water the heater can give [K], `family` that of the site's code basis: rules of the United
    States are held on its basis alone.
    """
    site, prefix = at.site, f"site.{at.site.id}.water"
    reach, inlet = stage_reach(at, stages), inlet_year(site)
    working_flow, greatest_flow, pressure, *more = operating_figures(prefix, at)
    figures = (inlet.coldest, inlet.hottest, working_flow, greatest_flow, pressure, *more)
    return WaterSide(
        id=site.id,
        inlet=inlet,
        working_flow=working_flow,
        greatest_flow=greatest_flow,
        pressure_at_heater=pressure,
        bounds=flow_bounds(at),
        figures=(*figures, *_figures(prefix, at, stages, hottest_k)),
        tables=_tables(prefix, at, stages, reach, inlet, climate),
        findings=(inlet_finding(site, inlet), *_findings(at, reach, climate, hottest_k, models, family)),
        curves=_curves(prefix, at, inlet),
    )


def _figures(prefix: str, at: Operating, stages: tuple[StageResult, ...], hottest_k: float) -> tuple[Figure, ...]:
    return (
        *delivery_figures(prefix, at),
        expansion_figure(prefix, at, hottest_k),
        boiling_figure(prefix, at.site),
        *energy_figures(prefix, at, stages),
    )


def _tables(
    prefix: str,
    at: Operating,
    stages: tuple[StageResult, ...],
    reach: tuple[StageReach, ...],
    inlet: InletYear,
    climate: Climate,
) -> tuple[FigureTable, ...]:
    months = (inlet.months,) if inlet.months is not None else ()
    return (
        *months,
        run_table(prefix, at, climate.target_k),
        stage_reach_table(prefix, at, stages, reach),
        throttling_table(prefix, at),
        fixture_table(prefix, at, climate),
    )


def _findings(
    at: Operating,
    reach: tuple[StageReach, ...],
    climate: Climate,
    hottest_k: float,
    models: Sequence[HeaterModel],
    family: Family,
) -> tuple[Finding, ...]:
    return (
        *pressure_findings(at, reach, family),
        throttling_finding(at),
        *pipe_findings(at, climate.summer_k, hottest_k, climate.target_k),
        thermal_expansion(at, hottest_k),
        relief_valve(at),
        *fixture_findings(at, climate, models, family),
        delivery_finding(at),
        hardness_finding(at.site),
        altitude_finding(at.site, at.model),
    )


def _curves(prefix: str, at: Operating, inlet: InletYear) -> tuple[Curve, ...]:
    year = (inlet.curve,) if inlet.curve is not None else ()
    return (*year, *pressure_curves(prefix, at))

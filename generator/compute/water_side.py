"""The wet side of one heater at one site, put together. Ids start with `site.<id>.water`."""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.hydraulics import waterway
from generator.compute.mains_temperature import inlet_year
from generator.compute.operating_point import flow_bounds, operating, operating_figures
from generator.compute.stage_reach import stage_reach, stage_reach_table
from generator.compute.throttling import pressure_curves, throttling_finding, throttling_table
from generator.model.heater import HeaterModel
from generator.model.results import StageResult
from generator.model.site import Site
from generator.model.water_results import WaterSide


def water_side(
    site: Site,
    model: HeaterModel,
    models: Sequence[HeaterModel],
    stages: tuple[StageResult, ...],
    winter_k: float,
    summer_k: float,
    hottest_k: float,
    target_k: float,
    limit_k: float,
) -> WaterSide:
    """Return the wet side of a site.

    `models` is the whole range, `stages` those of `model` at the site; temperatures [K]: coldest and warmest inlet,
    the hottest water the heater can give, the site's target and limit. CannotCompute, with its key path in the site's
    YAML, for a pipe material, size or fitting that is not known and for a screen stated as shut.
    """
    prefix = f"site.{site.id}.water"
    at = operating(site, model, waterway(site, model, winter_k))
    reach = stage_reach(at, stages)
    inlet = inlet_year(site)
    working_flow, greatest_flow, pressure, *more = operating_figures(prefix, at)
    tables = (stage_reach_table(prefix, at, stages, reach), throttling_table(prefix, at))
    return WaterSide(
        id=site.id,
        inlet=inlet,
        working_flow=working_flow,
        greatest_flow=greatest_flow,
        pressure_at_heater=pressure,
        bounds=flow_bounds(at),
        figures=(inlet.coldest, inlet.hottest, working_flow, greatest_flow, pressure, *more),
        tables=tables,
        findings=(throttling_finding(at),),
        curves=pressure_curves(prefix, at),
    )

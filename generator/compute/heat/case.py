"""What the thermal findings of a site are judged by."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.circuit.delivered import Powers
from generator.compute.heat.hottest import Hottest
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.compute.verdict.set_flow import selected_stage
from generator.model.heater import HeaterModel
from generator.model.results import FlowWindow
from generator.model.rules import Family
from generator.model.site import Site


@dataclass(frozen=True, slots=True)
class ThermalCase:
    """A site's thermal side: powers by stage, windows and hottest water for every stage of the model;
    coldest and warmest inlet, target, the handbook's limit [K]; the family of the site's code basis;
    what keeps a mixing valve at each fixture from working with the heater, in words."""

    site: Site
    model: HeaterModel
    powers: Powers
    windows: tuple[FlowWindow, ...]
    hottest: tuple[Hottest, ...]
    winter_k: float
    summer_k: float
    target_k: float
    default_limit_k: float
    family: Family
    obstacles: tuple[tuple[str, ...], ...]

    @property
    def allowed_k(self) -> float:
        """The hottest water allowed [K]: the lowest limit at a fixture, or the model's greatest outlet below it."""
        limits = (fixture_limit_k(fixture, self.default_limit_k) for fixture in self.site.fixtures)
        return min(*limits, self.model.water.greatest_outlet_k)

    @property
    def selected(self) -> int:
        """The most stages that close at the site."""
        return selected_stage(self.site, self.model)

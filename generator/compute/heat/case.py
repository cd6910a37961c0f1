"""What the thermal findings of a site are judged by."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.band import Band
from generator.compute.circuit.delivered import Powers
from generator.compute.heat.hottest import Hottest
from generator.compute.heat.inlet import Season
from generator.compute.heat.window import Window
from generator.compute.plumbing import Plumbing
from generator.compute.use.fixture_limit import Limits
from generator.compute.verdict.set_flow import selected_stage
from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.model.tables.burns import BurnTable


@dataclass(frozen=True, slots=True)
class ThermalCase:
    """A site's thermal side: inlet and limits; powers by stage, windows and hottest water for every stage of the model,
    as stated and at the adverse end of the band; the band; the handbook's limit [K]; the plumbing limits that hold
    there; what keeps a mixing valve at each fixture from working with the heater; the published burn tables;
    the flow the fixtures run at [m3/s], where it is known; the hottest water that was met there, carried to the warmest
    day [K], where it was measured."""

    site: Site
    model: HeaterModel
    season: Season
    limits: Limits
    powers: Powers
    windows: tuple[Window, ...]
    hottest: tuple[Hottest, ...]
    at_top: tuple[Hottest, ...]
    band: Band
    default_limit_k: float
    plumbing: Plumbing
    obstacles: tuple[tuple[str, ...], ...]
    burns: tuple[BurnTable, ...]
    working_m3_s: float | None = None
    met_k: float | None = None

    @property
    def selected(self) -> int:
        """The most stages that close at the site."""
        return selected_stage(self.site, self.model)

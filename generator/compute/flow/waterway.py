"""From the start of the cold run to the open outlet: the pressure at each place as a function of the flow.

The supply holds its static pressure at every flow (a main that sags does not: see `pressure_sag`): the least that is
stated for the site, but where a rule asks what the greatest does (`at_greatest`). Water is
taken at the coldest inlet all the way, the thickest it can be, hot run included: at a cold start the hot run is cold,
and a pressure is never overstated. Changes of bore between runs are left out. At the open end of the hot run one
velocity head is lost (exit, K = 1, Crane Technical Paper 410).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from generator.compute.flow.heater_loss import HeaterLoss, heater_loss
from generator.compute.flow.pipes.friction import GRAVITY_M_S2
from generator.compute.flow.pipes.run import PipeRun, pipe_runs
from generator.compute.heat import water
from generator.compute.root import falling_root
from generator.model.heater import HeaterModel
from generator.model.pipes import Pipes
from generator.model.site import Site
from generator.si import GPM_M3_S

# No flow above this is looked for: the greatest a model or a site may state (60 gpm).
MOST_FLOW_M3_S = 60.0 * GPM_M3_S


@dataclass(frozen=True, slots=True)
class Waterway:
    """Supply, cold runs, heater, hot runs and outlet. Pressures are gauge [Pa], flows [m3/s] at the inlet."""

    static_pa: float
    greatest_static_pa: float
    water_k: float
    density_kg_m3: float
    viscosity_pa_s: float
    cold: tuple[PipeRun, ...]
    hot: tuple[PipeRun, ...]
    heater: HeaterLoss

    @property
    def at_greatest(self) -> Waterway:
        """The same with the supply at its greatest static pressure."""
        return replace(self, static_pa=self.greatest_static_pa)

    @property
    def specific_weight_pa_m(self) -> float:
        """Pressure of a metre of height [Pa/m]."""
        return self.density_kg_m3 * GRAVITY_M_S2

    def friction_pa(self, run: PipeRun, flow_m3_s: float) -> float:
        """Return what one run loses to friction and fittings [Pa]."""
        return run.friction_pa(flow_m3_s, self.density_kg_m3, self.viscosity_pa_s)

    def _through(self, runs: tuple[PipeRun, ...], flow_m3_s: float) -> float:
        lift_m = sum(run.rise_m for run in runs)
        return self.specific_weight_pa_m * lift_m + sum(self.friction_pa(run, flow_m3_s) for run in runs)

    def exit_pa(self, flow_m3_s: float) -> float:
        """Return the velocity head lost at the open end of the hot run [Pa]."""
        return 0.5 * self.density_kg_m3 * self.hot[-1].velocity_m_s(max(flow_m3_s, 0.0)) ** 2

    def at_heater(self, flow_m3_s: float) -> float:
        """Return the pressure at the heater's cold connection."""
        return self.static_pa - self._through(self.cold, flow_m3_s)

    def at_switches(self, flow_m3_s: float) -> float:
        """Return the pressure behind the screen as it is, which the model's working pressure is held against."""
        return self.at_heater(flow_m3_s) - self.heater.screen_pa(flow_m3_s)

    def at_fixture(self, flow_m3_s: float) -> float:
        """Return the pressure at the end of the hot run, before the fixture."""
        return self.at_heater(flow_m3_s) - self.heater.total_pa(flow_m3_s) - self._through(self.hot, flow_m3_s)

    def left_for_outlet(self, flow_m3_s: float) -> float:
        """Return what an outlet valve and the fixture must take up for this flow; below zero: out of reach."""
        return self.at_fixture(flow_m3_s) - self.exit_pa(flow_m3_s)

    def behind_inlet_valve(self, flow_m3_s: float) -> float:
        """Return the pressure behind the screen when a valve before the heater holds the flow, outlet fully open."""
        return self.at_switches(flow_m3_s) - self.left_for_outlet(flow_m3_s)

    def greatest_flow(self) -> float | None:
        """Return the greatest flow with the outlet fully open; None where the height alone uses up the pressure.

        Held to where the pressure at the heater is not below the air's: no siphon is relied on.
        """
        return self.flow_holding(lambda flow: min(self.left_for_outlet(flow), self.at_heater(flow)))

    @staticmethod
    def flow_holding(surplus: Callable[[float], float]) -> float | None:
        """Return the greatest flow at which a `surplus` that falls with flow is not below zero; None: at no flow."""
        return falling_root(surplus, 0.0, MOST_FLOW_M3_S)


def waterway(site: Site, model: HeaterModel, water_k: float, *, pipes: Pipes) -> Waterway:
    """Return the waterway of a model at a site with water of this temperature [K]; `pipes` are the tables of them.

    CannotCompute for a material, size or fitting that is not known, and for a screen stated as shut.
    """
    return Waterway(
        site.water.static_pressure.least_pa,
        site.water.static_pressure.greatest_pa,
        water_k,
        water.density(water_k),
        water.viscosity(water_k),
        pipe_runs(site.water.cold_run, "cold", pipes),
        pipe_runs(site.water.hot_run, "hot", pipes),
        heater_loss(site, model),
    )

"""From the start of the cold run to the open outlet: the pressure at each place as a function of the flow.

The supply stands at the least static pressure that is stated for the site, and falls with the flow as far as a flow
test says (`supply_pressure`; how a supply that others draw on sags: `pressure_sag`). Where a rule asks what the
greatest does (`at_greatest`) it does not fall, and a regulator holds the most that it may. The devices of a run stand
at its start. Water is taken at the coldest inlet all the way, the thickest it can be, hot run included: at a cold start
the hot run is cold, and a pressure is never overstated. Changes of bore between runs are left out. At the open end of
the hot run one velocity head is lost (exit, K = 1, Crane Technical Paper 410).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property

from generator.compute.flow.heater_loss import HeaterLoss, heater_loss
from generator.compute.flow.pipes.friction import GRAVITY_M_S2
from generator.compute.flow.pipes.run import PipeRun, pipe_runs
from generator.compute.flow.supply_pressure import fall_pa
from generator.compute.heat import water
from generator.compute.root import falling_root
from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.model.site_water import FlowTest
from generator.model.tables.pipes import Pipes
from generator.si import GPM_M3_S

# No flow above this is looked for: the greatest a model or a site may state (60 gpm).
MOST_FLOW_M3_S = 60.0 * GPM_M3_S
# As good as none, but water runs.
FIRST_FLOW_M3_S = 1e-9


@dataclass(frozen=True)
class Waterway:
    """Supply, cold runs, heater, hot runs and outlet. Pressures are gauge [Pa], flows [m3/s] at the inlet.

    What it computed at a flow it keeps: what is found of a site asks for the same flows again and again.
    """

    static_pa: float
    greatest_static_pa: float
    water_k: float
    density_kg_m3: float
    viscosity_pa_s: float
    cold: tuple[PipeRun, ...]
    hot: tuple[PipeRun, ...]
    heater: HeaterLoss
    flow_test: FlowTest | None = None

    @cached_property
    def at_greatest(self) -> Waterway:
        """The same with the supply, and what a regulator holds, at the greatest at every flow."""
        cold = tuple(run.at_greatest for run in self.cold)
        return replace(self, static_pa=self.greatest_static_pa, flow_test=None, cold=cold)

    @cached_property
    def specific_weight_pa_m(self) -> float:
        """Pressure of a metre of height [Pa/m]."""
        return self.density_kg_m3 * GRAVITY_M_S2

    def friction_pa(self, run: PipeRun, flow_m3_s: float) -> float:
        """Return what one run loses to friction and fittings [Pa]."""
        return run.friction_pa(flow_m3_s, self.density_kg_m3, self.viscosity_pa_s)

    def behind(self, run: PipeRun, before_pa: float, flow_m3_s: float) -> float:
        """Return the pressure at the end of a run of one at its start [Pa]."""
        for device in run.devices:
            before_pa = device.behind_pa(before_pa, flow_m3_s)
        density_kg_m3 = self.density_kg_m3
        height_pa = density_kg_m3 * GRAVITY_M_S2 * run.rise_m
        return before_pa - height_pa - run.friction_pa(flow_m3_s, density_kg_m3, self.viscosity_pa_s)

    def static_for(self, at_heater_pa: float, flow_m3_s: float) -> float:
        """Return the least static pressure that brings this to the heater's cold connection at a flow [Pa].

        Infinite where a regulator holds it lower.
        """
        before_pa = at_heater_pa
        for run in reversed(self.cold):
            before_pa += self.specific_weight_pa_m * run.rise_m + self.friction_pa(run, flow_m3_s)
            for device in reversed(run.devices):
                before_pa = device.before_pa(before_pa, flow_m3_s)
        return before_pa + fall_pa(self.flow_test, flow_m3_s)

    def exit_pa(self, flow_m3_s: float) -> float:
        """Return the velocity head lost at the open end of the hot run [Pa]."""
        return 0.5 * self.density_kg_m3 * self.hot[-1].velocity_m_s(max(flow_m3_s, 0.0)) ** 2

    def at_start(self, flow_m3_s: float) -> float:
        """Return the pressure at the start of the cold run."""
        return self.static_pa - fall_pa(self.flow_test, flow_m3_s)

    def at_heater(self, flow_m3_s: float) -> float:
        """Return the pressure at the heater's cold connection."""
        if flow_m3_s not in self._at_heater:
            pressure_pa = self.at_start(flow_m3_s)
            for run in self.cold:
                pressure_pa = self.behind(run, pressure_pa, flow_m3_s)
            self._at_heater[flow_m3_s] = pressure_pa
        return self._at_heater[flow_m3_s]

    @cached_property
    def _at_heater(self) -> dict[float, float]:
        return {}

    @cached_property
    def _at_fixture(self) -> dict[float, float]:
        return {}

    def at_switches(self, flow_m3_s: float) -> float:
        """Return the pressure behind the screen as it is, which the model's working pressure is held against."""
        return self.at_heater(flow_m3_s) - self.heater.screen_pa(flow_m3_s)

    def at_fixture(self, flow_m3_s: float) -> float:
        """Return the pressure at the end of the hot run, before the fixture."""
        if flow_m3_s not in self._at_fixture:
            pressure_pa = self.at_heater(flow_m3_s) - self.heater.total_pa(flow_m3_s)
            for run in self.hot:
                pressure_pa = self.behind(run, pressure_pa, flow_m3_s)
            self._at_fixture[flow_m3_s] = pressure_pa
        return self._at_fixture[flow_m3_s]

    def left_for_outlet(self, flow_m3_s: float) -> float:
        """Return what an outlet valve and the fixture must take up for this flow; below zero: out of reach."""
        return self.at_fixture(flow_m3_s) - self.exit_pa(flow_m3_s)

    def behind_inlet_valve(self, flow_m3_s: float) -> float:
        """Return the pressure behind the screen when a valve before the heater holds the flow, outlet fully open."""
        return self.at_switches(flow_m3_s) - self.left_for_outlet(flow_m3_s)

    def greatest_flow(self) -> float | None:
        """Return the greatest flow with the outlet fully open; None where nothing flows.

        Held to where the pressure at the heater is not below the air's: no siphon is relied on. None also where the
        springs of a device hold back the first drop.
        """
        return self.flow_holding(self._surplus) if self.brings(FIRST_FLOW_M3_S) else None

    def brings(self, flow_m3_s: float) -> bool:
        """Return whether this flow can run at all: it is at most `greatest_flow`."""
        return self._surplus(flow_m3_s) >= 0.0

    def _surplus(self, flow_m3_s: float) -> float:
        return min(self.left_for_outlet(flow_m3_s), self.at_heater(flow_m3_s))

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
        site.water.flow_test,
    )

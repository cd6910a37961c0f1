"""Everything that follows for one heater at one site: inlets, outlets, flow windows, water side, circuits, findings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from generator.compute.blank import blanked
from generator.compute.circuit.circuits import others_on_panel, site_circuits
from generator.compute.circuit.delivered import Powers, delivered, powers_w, reach_w
from generator.compute.circuit.torque import terminal_torque
from generator.compute.flow.operating_point import SUPPLY_LIMIT, operating
from generator.compute.flow.shared_source import shared_source
from generator.compute.flow.water_side import water_side
from generator.compute.flow.waterway import waterway
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.findings import thermal_findings
from generator.compute.heat.hottest import hottest_water
from generator.compute.heat.inlet import inlet_year
from generator.compute.heat.outlet import outlet_table
from generator.compute.heat.outlet_rows import Named, own_flows, summer_rows, winter_rows
from generator.compute.heat.stages import stage_powers_w, stage_results
from generator.compute.heat.window import flow_window, next_stage_bound
from generator.compute.plumbing import cited
from generator.compute.unfit_supply import publishable
from generator.compute.use.allowed_reading import allowed_readings
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.compute.use.fixtures import Climate
from generator.compute.use.valve_fit import all_obstacles
from generator.compute.verdict.acceptance import with_acceptances
from generator.compute.verdict.built import unfit_supply
from generator.compute.verdict.set_flow import selected_stage, settable
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.outlet_flows import Most
from generator.model.results import FlowWindow, SiteResult
from generator.model.site import Site
from generator.model.water_results import InletYear, WaterSide

WINTER_NOTE = (
    "What can be counted on: a stage counts from the flow at which it turns on, with the power that the circuit's "
    "voltage drop leaves, rounded down. Limits are judged in the table of the warmest inlet."
)
SUMMER_NOTE = (
    "What a hand can meet: a stage counts until the flow falls to the one at which it drops out, with the full power, "
    "without the circuit's voltage drop, rounded up."
)


@dataclass(frozen=True, slots=True)
class _Heat:
    """The thermal frame of a site: coldest and warmest inlet [K], target and limit [K], powers by stage."""

    coldest_k: float
    warmest_k: float
    target: Figure
    limit: Figure
    powers: Powers

    @property
    def target_k(self) -> float:
        return float(self.target.value or 0.0)

    @property
    def limit_k(self) -> float:
        return float(self.limit.value or 0.0)

    @property
    def temperatures_k(self) -> tuple[float, float, float]:
        """Coldest and warmest inlet and target [K]."""
        return self.coldest_k, self.warmest_k, self.target_k


def compute_site(site: Site, inputs: Inputs) -> SiteResult:
    """Return the site's results. Ids start with `site.<id>`.

    CannotCompute, with its key path in the site's YAML, for what cannot be computed from the tables.
    """
    prefix, model, basis = f"site.{site.id}", inputs.model(site.heater), inputs.basis_of(site)
    volts, phases, default_limit_k = site.supply.voltage_v, site.supply.phases, inputs.settings.limit_temperature_k
    year, stages = inlet_year(site), stage_results(prefix, model, volts, phases)
    circuits, circuit_findings = site_circuits(site, model, basis, others_on_panel(site, inputs))
    left = delivered(prefix, circuits)
    powers = Powers(stage_powers_w(model, volts, phases), powers_w(left))
    heat = _heat(prefix, site, powers, year, default_limit_k)
    hottest = hottest_water(prefix, model, volts, phases, heat.warmest_k)
    most_k = model.water.cut_out_k if unfit_supply(circuit_findings) else max(one.temperature_k for one in hottest)
    climate, family = _climate(site, model, inputs, heat), basis.header.family
    at = operating(site, model, waterway(site, model, climate.winter_k))
    water = water_side(at, inputs.models, stages, climate, most_k, family)
    windows = _windows(prefix, site, model, heat, water)
    fit = all_obstacles(at, climate)
    case = ThermalCase(site, model, powers, windows, hottest, *heat.temperatures_k, default_limit_k, family, fit)
    thermal = thermal_findings(case)
    lead = windows[selected_stage(site, model) - 1]
    own = own_flows(water.working_flow, blanked(lead, "") if unfit_supply(circuit_findings) else lead)
    winter, summer = _outlets(prefix, model, heat, own, inputs.settings.flows_shown_m3_s, _most(water))
    found = SiteResult(
        id=site.id,
        supply_power=stages[-1].power,
        stages=stages,
        winter_inlet=year.coldest,
        summer_inlet=year.hottest,
        target=heat.target,
        limit=heat.limit,
        outlet_winter=winter,
        outlet_summer=summer,
        windows=windows,
        hottest=hottest[selected_stage(site, model) - 1].figure,
        circuits=circuits,
        torque=terminal_torque(prefix, model, basis),
        findings=(*thermal, *circuit_findings, *water.findings, *shared_source(site, inputs.sites)),
        hottest_by_stage=tuple(found.figure for found in hottest),
        delivered=left,
        water=water,
        allowed=allowed_readings(prefix, site, heat.coldest_k, heat.warmest_k, default_limit_k),
    )
    return _published(found, site, inputs)


def _published(found: SiteResult, site: Site, inputs: Inputs) -> SiteResult:
    """Return the results as they go out: nothing that the supply makes void, sources cited, acceptances marked."""
    kept = publishable(found)
    findings = cited(kept.findings, inputs.plumbing_of(site))
    return replace(kept, findings=with_acceptances(findings, site.accepts, inputs.settings.date))


def _heat(prefix: str, site: Site, powers: Powers, year: InletYear, default_limit_k: float) -> _Heat:
    coldest_k, warmest_k = float(year.coldest.value or 0.0), float(year.hottest.value or 0.0)
    return _Heat(coldest_k, warmest_k, _target(prefix, site), _limit(prefix, site, default_limit_k), powers)


def _target(prefix: str, site: Site) -> Figure:
    """Return the target temperature of the heater: the hottest that a fixture asks for."""
    wanted = tuple(Value(fixture.name, fixture.target_k, "temperature") for fixture in site.fixtures)
    target_k = max(fixture.target_k for fixture in site.fixtures)
    step = Step(
        "T_target = max(targets of the fixtures)", wanted, Value("T_target", target_k, "temperature"), "site data"
    )
    return Figure(f"{prefix}.target", "Target temperature", target_k, "temperature", "nearest", (step,))


def _limit(prefix: str, site: Site, default_limit_k: float) -> Figure:
    """Return the limit temperature of the site: the lowest of its fixtures' limits."""
    limits = tuple(
        Value(fixture.name, fixture_limit_k(fixture, default_limit_k), "temperature", "down")
        for fixture in site.fixtures
    )
    limit_k = min(float(limit.value) for limit in limits)
    result = Value("T_limit", limit_k, "temperature", "down")
    step = Step(
        "T_limit = min(limits of the fixtures)",
        limits,
        result,
        "site data; the handbook's limit where none is given; the plumbing code's where that is lower",
    )
    return Figure(f"{prefix}.limit", "Limit temperature", limit_k, "temperature", "down", (step,))


def _most(water: WaterSide) -> Most:
    """Return the greatest flow at which supply and pressure let stages be on."""
    flow_m3_s, reason = min(water.bounds.greatest)
    return Most(flow_m3_s, "beyond-supply" if reason == SUPPLY_LIMIT else "below-working-pressure")


def _outlets(
    prefix: str,
    model: HeaterModel,
    heat: _Heat,
    own: Sequence[Named],
    round_m3_s: Sequence[float],
    most: Most,
) -> tuple[FigureTable, FigureTable]:
    """Return the outlet tables: at the coldest inlet, voltage drop counted, and at the warmest, without it."""
    winter = outlet_table(
        f"{prefix}.outlet.winter",
        "Outlet at the coldest inlet",
        model,
        heat.powers.reach_w,
        winter_rows(model, own, round_m3_s, most),
        heat.coldest_k,
        heat.limit_k,
        most,
        "down",
        WINTER_NOTE,
    )
    summer = outlet_table(
        f"{prefix}.outlet.summer",
        "Outlet at the warmest inlet",
        model,
        heat.powers.full_w,
        summer_rows(model, own, round_m3_s, most),
        heat.warmest_k,
        heat.limit_k,
        most,
        note=SUMMER_NOTE,
    )
    return winter, summer


def _climate(site: Site, model: HeaterModel, inputs: Inputs, heat: _Heat) -> Climate:
    basis, own_w = inputs.basis_of(site), heat.powers.reach_w

    def left_w(other: HeaterModel) -> tuple[float, ...] | None:
        return own_w if other is model else reach_w(site, other, basis)

    return Climate(*heat.temperatures_k, heat.limit_k, left_w)


def _windows(prefix: str, site: Site, model: HeaterModel, heat: _Heat, water: WaterSide) -> tuple[FlowWindow, ...]:
    """Return the flow window of every stage, within the bounds of the water side too; one too narrow to set is none."""
    windows = (
        flow_window(
            prefix,
            number,
            power_w,
            left_w,
            model.stages[number - 1],
            heat.coldest_k,
            heat.warmest_k,
            heat.target_k,
            heat.limit_k,
            model.water.greatest_outlet_k,
            water.bounds.least,
            (*water.bounds.greatest, *next_stage_bound(model, number)),
        )
        for number, (power_w, left_w) in enumerate(zip(heat.powers.full_w, heat.powers.reach_w, strict=True), start=1)
    )
    return tuple(map(settable, windows))

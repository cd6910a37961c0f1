"""What is known of one heater at one site, in records of numbers: all that its findings are judged by."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from generator.compute.band import Ends, band
from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.circuits import judged_circuits, others_on_panel
from generator.compute.circuit.delivered import Powers, delivered_w, reach_w
from generator.compute.flow.operating_point import Operating, flow_bounds, operating
from generator.compute.flow.waterway import waterway
from generator.compute.heat.case import ThermalCase
from generator.compute.heat.hottest import Circumstances, hottest_at_top, hottest_water
from generator.compute.heat.inlet import Season, season
from generator.compute.heat.stages import stage_powers_w
from generator.compute.heat.window import StagePower, Window, flow_window, next_stage_bound
from generator.compute.plumbing import plumbing_at
from generator.compute.record.judge import Judged, judge, measured_input, met_k, standing
from generator.compute.sent import visited_and_sent
from generator.compute.use.fixture_limit import Limits, limits
from generator.compute.use.fixtures import Terms
from generator.compute.use.valve_fit import all_obstacles
from generator.compute.verdict.built import unfit_supply
from generator.compute.verdict.set_flow import selected_stage
from generator.model.figures import Finding
from generator.model.heater import HeaterModel
from generator.model.inputs import Inputs
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis
from generator.model.tables.tolerances import SettingError
from generator.model.water_results import FlowBounds


@dataclass(frozen=True, slots=True)
class Known:
    """A site's circuits and what they leave of the power, its heat, its water at work, how fixtures are judged, its
    visits and what was sent as judged, and the input tolerance as stated, whatever they measured."""

    circuits: tuple[Circuit, ...]
    circuit_findings: tuple[Finding, ...]
    heat: ThermalCase
    at: Operating
    terms: Terms
    judged: tuple[Judged, ...]
    stated_input: Ends

    @property
    def unfit(self) -> bool:
        """Whether the supply does not fit the heater."""
        return unfit_supply(self.circuit_findings) is not None

    @property
    def most_k(self) -> float:
        """The hottest water the heater can give over its band [K]; where its supply does not fit, what the cut-out
        lets pass."""
        if self.unfit:
            return self.at.model.water.cut_out_k
        return max(one.temperature_k for one in self.heat.at_top)


def known(site: Site, inputs: Inputs) -> Known:
    """Return what is known of a site's heater.

    CannotCompute, with its key path in the site's YAML, for what cannot be computed from the tables.
    """
    model, basis = inputs.model(site.heater), inputs.basis_of(site)
    circuits, circuit_findings = judged_circuits(site, model, basis, others=others_on_panel(site, inputs))
    supply = site.supply.voltage_v, site.supply.phases
    powers = Powers(stage_powers_w(model, *supply), delivered_w(circuits))
    inlet, plumbing = season(site), plumbing_at(site, inputs)
    held = limits(site, model, inputs.settings.limit_temperature_k, code=plumbing.limits)

    left_w = _left_w(site, basis, {model.id: powers.reach_w})
    stated = band(site, model, inlet, service=basis.header.service_voltage, held_to=inputs.tolerances)
    records = standing(visited_and_sent(site, inputs))
    judged = tuple(judge(one, site, model, circuits=circuits, band=stated) for one in records)
    in_use = selected_stage(site, model)
    ends = replace(stated, input=measured_input(judged, stated.input, in_use))
    warmest_k = ends.warmest_k.greatest if site.water.inlet.method == "climate" else None
    hottest = hottest_water(model, Circumstances(*supply, inlet.warmest_k), inputs.burns)
    judged_k = None if unfit_supply(circuit_findings) else hottest[in_use - 1].judged_k
    terms = Terms(inlet.coldest_k, inlet.warmest_k, held.target_k, held.limit_k, left_w, warmest_k, judged_k)
    at = operating(site, model, waterway(site, model, inlet.coldest_k, pipes=inputs.pipes), plumbing=plumbing)
    at = replace(at, switching=ends.flows)
    heat = ThermalCase(
        site,
        model,
        inlet,
        held,
        powers,
        windows=_windows(at, powers, inlet, limits=held, setting=inputs.tolerances.setting),
        hottest=hottest,
        at_top=hottest_at_top(model, site.supply.phases, band=ends, burns=inputs.burns),
        band=ends,
        default_limit_k=inputs.settings.limit_temperature_k,
        plumbing=plumbing,
        obstacles=all_obstacles(at, terms),
        burns=inputs.burns,
        working_m3_s=at.working_m3_s,
        met_k=met_k(records, stated, in_use, drops_out=[stage.opens_at_m3_s for stage in model.stages]),
    )
    return Known(circuits, circuit_findings, heat, at, terms, judged, stated.input)


def _left_w(
    site: Site, basis: CodeBasis, known_w: dict[str, tuple[float, ...] | None]
) -> Callable[[HeaterModel], tuple[float, ...] | None]:
    """Return what the voltage drop leaves of a model's power here, by stage [W], worked out once for each asked for."""

    def left_w(other: HeaterModel) -> tuple[float, ...] | None:
        if other.id not in known_w:
            known_w[other.id] = reach_w(site, other, basis)
        return known_w[other.id]

    return left_w


def _windows(
    at: Operating, powers: Powers, inlet: Season, *, limits: Limits, setting: SettingError
) -> tuple[Window, ...]:
    """Return the flow window of every stage, within the bounds of the water side too."""
    bounds, model = flow_bounds(at), at.model
    by_stage = enumerate(zip(model.stages, powers.full_w, powers.reach_w, strict=True), start=1)
    return tuple(
        flow_window(
            stage,
            StagePower(number, full_w, left_w),
            inlet,
            limits=limits,
            given=FlowBounds(bounds.least, (*bounds.greatest, *next_stage_bound(model, number))),
            setting=setting,
        )
        for number, (stage, full_w, left_w) in by_stage
    )

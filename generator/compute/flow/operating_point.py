"""Which flow actually happens: where supply, pipework, heater and outlet meet, and what that does to each stage.

The working flow is what the site's fixtures ask for together, as if all of it ran through the heater (a fixture that
adds cold water beside it asks for less), held to the greatest flow the site can reach. The outlet valve stands where
it takes up the rest of the pressure at that flow; when the supply sags it stays there.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.flow.heater_loss import CURVE_SOURCE, SCREEN_SOURCE
from generator.compute.flow.pipes.friction import SOURCE as FRICTION_SOURCE
from generator.compute.flow.waterway import Waterway
from generator.compute.heat.stages import closed_stages
from generator.compute.plumbing import Plumbing
from generator.compute.verdict.set_flow import selected_stage
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.model.state import State
from generator.model.water_results import GREATEST_PRESSURE, LEAST_PRESSURE, SUPPLY_LIMIT, FlowBound, FlowBounds

STATED = "stated for the site"
# Why no stage turns on at a flow: the states of `Operating.why_off`, which are the reasons of figures too.
OFF: tuple[State, ...] = ("beyond-supply", "below-working-pressure", "not-on")
BALANCE = "pressure balance from supply to outlet"


@dataclass(frozen=True, slots=True)
class Operating:
    """The site at work: waterway, model, flows [m3/s], outlet valve setting, and the plumbing limits that hold there.

    `valve` is the outlet valve's k in loss = k Q^2 [Pa/(m3/s)^2], zero where the working flow takes all the pressure.
    `turn_on`: the most that the true turn-on flows can be of those stated.
    """

    site: Site
    model: HeaterModel
    way: Waterway
    wanted_m3_s: float
    greatest_m3_s: float
    valve: float
    plumbing: Plumbing
    turn_on: float = 1.0

    @property
    def working_m3_s(self) -> float:
        """The flow the site works at: wanted, or the greatest where that is less."""
        return min(self.wanted_m3_s, self.greatest_m3_s)

    def why_off(self, flow_m3_s: float) -> State | None:
        """Return the state that keeps every stage off at a flow [m3/s] that rises to it, or None.

        "beyond-supply": the site does not bring it. "below-working-pressure": at it the heater has less than its least.
        "not-on": it turns on no stage.
        """
        if flow_m3_s > self.greatest_m3_s:
            return "beyond-supply"
        if self.way.at_switches(flow_m3_s) < self.model.water.working_pressure.least_pa:
            return "below-working-pressure"
        return None if closed_stages(flow_m3_s, self.model, self.selected) else "not-on"

    def closed_at(self, flow_m3_s: float) -> tuple[int, ...]:
        """Return the stages on at a flow [m3/s] that rises to it; none where pressure or flow is short."""
        return () if self.why_off(flow_m3_s) else closed_stages(flow_m3_s, self.model, self.selected)

    @property
    def closed(self) -> tuple[int, ...]:
        """The stages on at the working flow."""
        return self.closed_at(self.working_m3_s)

    @property
    def at_greatest(self) -> Operating:
        """The site at work with the supply at its greatest static pressure."""
        if self.way.static_pa == self.way.greatest_static_pa:
            return self
        return operating(self.site, self.model, self.way.at_greatest, plumbing=self.plumbing)

    @property
    def selected(self) -> int:
        """The highest stage that may close."""
        return selected_stage(self.site, self.model)


def wanted_flow_m3_s(site: Site) -> float:
    """Return what the fixtures ask for together [m3/s]; where none counts as in use, the largest of them."""
    together = sum(fixture.flow_m3_s * fixture.at_once for fixture in site.fixtures)
    return together or max(fixture.flow_m3_s for fixture in site.fixtures)


def operating(site: Site, model: HeaterModel, way: Waterway, *, plumbing: Plumbing) -> Operating:
    """Return the site at work with this waterway."""
    wanted, greatest = wanted_flow_m3_s(site), way.greatest_flow() or 0.0
    working = min(wanted, greatest)
    valve = max(way.left_for_outlet(working), 0.0) / working**2 if working else 0.0
    return Operating(site, model, way, wanted, greatest, valve, plumbing)


def flow_bounds(at: Operating) -> FlowBounds:
    """Return the least and greatest flows that the site's pressure allows at any stage, each with its reason."""
    working = at.model.water.working_pressure
    high = at.way.flow_holding(lambda flow: at.way.at_switches(flow) - working.least_pa)
    least: tuple[FlowBound, ...] = ()
    strongest = at.way.at_greatest
    if strongest.at_switches(0.0) > working.greatest_pa:
        over = strongest.flow_holding(lambda flow: strongest.at_switches(flow) - working.greatest_pa)
        least = ((over or 0.0, GREATEST_PRESSURE),)
    return FlowBounds(least, ((at.greatest_m3_s, SUPPLY_LIMIT), (high or 0.0, LEAST_PRESSURE)))


def pressure_steps(way: Waterway, flow_m3_s: float) -> tuple[Step, ...]:
    """Return the working of the pressure at the heater's switches at a flow."""
    flow = Value("Q", flow_m3_s, "flow")
    water_in = (
        Value("T", way.water_k, "temperature"),
        Value("ρ", way.density_kg_m3, "density"),
        Value("μ", way.viscosity_pa_s, "viscosity"),
    )
    steps, losses = [], []
    for number, run in enumerate(way.cold, start=1):
        loss = Value(f"Δp_{number}", way.friction_pa(run, flow_m3_s), "pressure", "up")
        bore = Value("D", run.bore_m, "length", "down")
        along = (Value("L", run.length_m, "length"), Value("L_fittings", run.fitting_lengths * run.bore_m, "length"))
        heads = Value("K", run.fitting_heads, "number")
        speed = Value("v", run.velocity_m_s(flow_m3_s), "velocity")
        formula = f"Δp_{number} = (f × (L + L_fittings) / D + K) × ρ v² / 2"
        note = f"{run.label}: {run.size} {run.material.title}, {run.sizes_from}"
        steps.append(Step(formula, (*water_in, flow, bore, *along, heads, speed), loss, FRICTION_SOURCE, note))
        losses.append(loss)
    lift = Value("Δz", sum(run.rise_m for run in way.cold), "length")
    static = Value("p_static", way.static_pa, "pressure", "down")
    at_heater = Value("p_inlet", way.at_heater(flow_m3_s), "pressure", "down")
    summed = " − ".join(("p_static", "ρ g Δz", *(loss.symbol for loss in losses)))
    steps.append(Step(f"p_inlet = {summed}", (static, lift, *losses), at_heater, BALANCE))
    return (*steps, _screen_step(way, flow_m3_s, at_heater))


def _screen_step(way: Waterway, flow_m3_s: float, at_heater: Value) -> Step:
    inputs = (
        at_heater,
        Value("Δp_clean", way.heater.clean_pa(flow_m3_s), "pressure", "up"),
        Value("free area", way.heater.screen_open, "ratio", "down"),
    )
    result = Value("p", way.at_switches(flow_m3_s), "pressure", "down")
    formula = "p = p_inlet − 0.2 × Δp_clean × (1 / free area² − 1)"
    return Step(formula, inputs, result, f"{SCREEN_SOURCE}; {CURVE_SOURCE}")


def _greatest_flow(prefix: str, at: Operating) -> Figure:
    id_, label = f"{prefix}.greatest-flow", "Greatest flow, outlet fully open"
    if not at.greatest_m3_s:
        reason = "the height of the pipework uses up the static pressure"
        return Figure(id_, label, None, "flow", "down", (), "none", reason)
    q = at.greatest_m3_s
    inputs = (
        Value("p_static", at.way.static_pa, "pressure", "down"),
        Value("cold run and height", at.way.static_pa - at.way.at_heater(q), "pressure", "up"),
        Value("heater", at.way.heater.total_pa(q), "pressure", "up"),
        Value("hot run and height", at.way.at_heater(q) - at.way.heater.total_pa(q) - at.way.at_fixture(q), "pressure"),
        Value("exit", at.way.exit_pa(q), "pressure", "up"),
    )
    formula = "p_static = cold run + heater + hot run + exit, each at Q"
    step = Step(formula, inputs, Value("Q", q, "flow", "down"), f"{BALANCE}; {FRICTION_SOURCE}")
    return Figure(id_, label, q, "flow", "down", (step,), reason="the fixture's own loss is left out")


def _working_flow(prefix: str, at: Operating) -> Figure:
    asked = tuple(
        Value(f"{fixture.name} × {fixture.at_once}", fixture.flow_m3_s, "flow") for fixture in at.site.fixtures
    )
    wanted = Value("Q_wanted", at.wanted_m3_s, "flow")
    greatest = Value("Q_greatest", at.greatest_m3_s, "flow", "down")
    steps = (
        Step("Q_wanted = sum of the fixtures in use together", asked, wanted, STATED),
        Step("Q = min(Q_wanted, Q_greatest)", (wanted, greatest), Value("Q", at.working_m3_s, "flow"), BALANCE),
    )
    state: State = "ok"
    reason = ""
    if at.wanted_m3_s > at.greatest_m3_s:
        state, reason = "below-wanted", "the supply and pipework cannot bring what the fixtures ask for"
    label = "Working flow, through the heater"
    return Figure(f"{prefix}.working-flow", label, at.working_m3_s, "flow", "nearest", steps, state, reason)


def operating_figures(prefix: str, at: Operating) -> tuple[Figure, ...]:
    """Return working flow, greatest flow, pressure at the heater and at the fixture at work, and with no flow."""
    q, way, working = at.working_m3_s, at.way, at.model.water.working_pressure
    strongest = way.at_greatest
    pressure, static = way.at_switches(q), strongest.at_heater(0.0)
    state: State = "ok" if pressure >= working.least_pa else "below-working-pressure"
    lift = Value("Δz", sum(run.rise_m for run in way.cold), "length")
    inputs = (Value("p_static", strongest.static_pa, "pressure", "up"), lift)
    no_flow = Step("p = p_static − ρ g Δz", inputs, Value("p", static, "pressure", "up"), BALANCE)
    left = way.at_fixture(q)
    rest = (Value("p_heater", pressure, "pressure"), Value("heater", way.heater.clean_pa(q), "pressure"))
    formula = "p = p_heater − heater (clean) − hot run − height"
    fixture = Step(formula, rest, Value("p", left, "pressure", "down"), BALANCE)
    steps = pressure_steps(way, q)
    return (
        _working_flow(prefix, at),
        _greatest_flow(prefix, at),
        Figure(
            f"{prefix}.pressure-at-heater",
            "Pressure at the heater, at the working flow",
            pressure,
            "pressure",
            "down",
            steps,
            state,
        ),
        Figure(f"{prefix}.pressure-at-rest", "Pressure at the heater, no flow", static, "pressure", "up", (no_flow,)),
        Figure(
            f"{prefix}.pressure-at-fixture",
            "Pressure left at the fixture, at the working flow",
            left,
            "pressure",
            "down",
            (*steps, fixture),
        ),
    )

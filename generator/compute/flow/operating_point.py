"""Which flow actually happens: where supply, pipework, heater and outlet meet, and what that does to each stage.

The working flow is what the site's fixtures ask for together, as if all of it ran through the heater (a fixture that
adds cold water beside it asks for less), held to the greatest flow the site can reach. The outlet valve stands where
it takes up the rest of the pressure at that flow; when the supply sags it stays there.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from generator.compute.band import Ends
from generator.compute.flow.pipes.friction import SOURCE as FRICTION_SOURCE
from generator.compute.flow.pressure_working import BALANCE, pressure_steps, rest_step
from generator.compute.flow.waterway import Waterway
from generator.compute.heat.stages import closed_stages
from generator.compute.plumbing import Plumbing
from generator.compute.sources import STATED, sources
from generator.compute.verdict.set_flow import selected_stage
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel
from generator.model.said import say
from generator.model.site import Site
from generator.model.state import State
from generator.model.water_results import GREATEST_PRESSURE, LEAST_PRESSURE, SUPPLY_LIMIT, FlowBound, FlowBounds
from generator.si import added

# Why no stage turns on at a flow: the states of `Operating.why_off`, which are the reasons of figures too.
OFF: tuple[State, ...] = ("beyond-supply", "below-working-pressure", "not-on")
AS_STATED = Ends(1.0, 1.0, 1.0)


@dataclass(frozen=True)
class Operating:
    """The site at work: waterway, model, flows [m3/s], outlet valve setting, and the plumbing limits that hold there.

    `valve` is the outlet valve's k in loss = k Q^2 [Pa/(m3/s)^2], zero where the working flow takes all the pressure.
    `switching`: the true flows at which stages turn on and drop out, over those stated.
    """

    site: Site
    model: HeaterModel
    way: Waterway
    wanted_m3_s: float
    greatest_m3_s: float
    valve: float
    plumbing: Plumbing
    switching: Ends = AS_STATED

    @cached_property
    def kept(self) -> dict[Hashable, Any]:
        """What was computed of the site at work under some terms, for whoever asks again."""
        return {}

    @property
    def working_m3_s(self) -> float:
        """The flow the site works at: wanted, or the greatest where that is less."""
        return min(self.wanted_m3_s, self.greatest_m3_s)

    def why_off(self, flow_m3_s: float, turn_on: float = 1.0) -> State | None:
        """Return the state that keeps every stage off at a flow [m3/s] that rises to it, or None.

        `turn_on`: the true turn-on flows over those stated.

        "beyond-supply": the site does not bring it. "below-working-pressure": at it the heater has less than its least.
        "not-on": it turns on no stage.
        """
        if flow_m3_s > self.greatest_m3_s:
            return "beyond-supply"
        if self.way.at_switches(flow_m3_s) < self.model.water.working_pressure.least_pa:
            return "below-working-pressure"
        return None if closed_stages(flow_m3_s / turn_on, self.model, self.selected) else "not-on"

    def closed_at(self, flow_m3_s: float, turn_on: float = 1.0) -> tuple[int, ...]:
        """Return the stages on at a flow [m3/s] that rises to it; none where pressure or flow is short."""
        off = self.why_off(flow_m3_s, turn_on)
        return () if off else closed_stages(flow_m3_s / turn_on, self.model, self.selected)

    @cached_property
    def closed(self) -> tuple[int, ...]:
        """The stages on at the working flow."""
        return self.closed_at(self.working_m3_s)

    @cached_property
    def at_greatest(self) -> Operating:
        """The site at work with the supply at its greatest static pressure."""
        strongest = self.way.at_greatest
        if strongest == self.way:
            return self
        at = operating(self.site, self.model, strongest, plumbing=self.plumbing)
        return replace(at, switching=self.switching)

    @cached_property
    def selected(self) -> int:
        """The highest stage that may close."""
        return selected_stage(self.site, self.model)


def wanted_flow_m3_s(site: Site) -> float:
    """Return what the fixtures ask for together [m3/s]; where none counts as in use, the largest of them."""
    together = added(fixture.flow_m3_s * fixture.at_once for fixture in site.fixtures)
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


def _greatest_flow(prefix: str, at: Operating) -> Figure:
    id_, label = f"{prefix}.greatest-flow", say("greatest-flow-open")
    if not at.greatest_m3_s:
        return Figure(id_, label, None, "flow", "at_most", (), "none", say("height-uses-up"))
    q = at.greatest_m3_s
    inputs = (
        Value("p_static", at.way.static_pa, "pressure", "at_most"),
        Value(say("cold-run-and-height"), at.way.static_pa - at.way.at_heater(q), "pressure", "at_least"),
        Value(say("heater"), at.way.heater.total_pa(q), "pressure", "at_least"),
        Value(
            say("hot-run-and-height"),
            at.way.at_heater(q) - at.way.heater.total_pa(q) - at.way.at_fixture(q),
            "pressure",
        ),
        Value(say("exit"), at.way.exit_pa(q), "pressure", "at_least"),
    )
    step = Step(say("static-used-up"), inputs, Value("Q", q, "flow", "at_most"), sources(BALANCE, FRICTION_SOURCE))
    return Figure(id_, label, q, "flow", "at_most", (step,), reason=say("fixture-loss-left-out"))


def _working_flow(prefix: str, at: Operating) -> Figure:
    asked = tuple(
        Value(f"{fixture.name} × {fixture.at_once}", fixture.flow_m3_s, "flow") for fixture in at.site.fixtures
    )
    wanted = Value("Q_wanted", at.wanted_m3_s, "flow")
    greatest = Value("Q_greatest", at.greatest_m3_s, "flow", "at_most")
    steps = (
        Step(say("wanted-together"), asked, wanted, STATED),
        Step("Q = min(Q_wanted, Q_greatest)", (wanted, greatest), Value("Q", at.working_m3_s, "flow"), BALANCE),
    )
    state: State = "ok"
    reason = ""
    if at.wanted_m3_s > at.greatest_m3_s:
        state, reason = "below-wanted", say("less-than-wanted")
    label = say("working-flow")
    return Figure(f"{prefix}.working-flow", label, at.working_m3_s, "flow", "neither", steps, state, reason)


def operating_figures(prefix: str, at: Operating) -> tuple[Figure, ...]:
    """Return working flow, greatest flow, pressure at the heater and at the fixture at work, and with no flow."""
    q, way, working = at.working_m3_s, at.way, at.model.water.working_pressure
    strongest = way.at_greatest
    pressure, static = way.at_switches(q), strongest.at_heater(0.0)
    state: State = "ok" if pressure >= working.least_pa else "below-working-pressure"
    left = way.at_fixture(q)
    rest = (Value("p_heater", pressure, "pressure"), Value(say("heater"), way.heater.clean_pa(q), "pressure"))
    fixture = Step(say("left-at-fixture"), rest, Value("p", left, "pressure", "at_most"), BALANCE)
    steps = pressure_steps(way, q)
    return (
        _working_flow(prefix, at),
        _greatest_flow(prefix, at),
        Figure(
            f"{prefix}.pressure-at-heater",
            say("pressure-at-heater"),
            pressure,
            "pressure",
            "at_most",
            steps,
            state,
        ),
        Figure(
            f"{prefix}.pressure-at-rest",
            say("pressure-at-rest"),
            static,
            "pressure",
            "at_least",
            (rest_step(strongest),),
        ),
        Figure(
            f"{prefix}.pressure-at-fixture",
            say("pressure-at-fixture"),
            left,
            "pressure",
            "at_most",
            (*steps, fixture),
        ),
    )

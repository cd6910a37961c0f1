"""What the fixtures of a site ask for, are held to and get, with working."""

from __future__ import annotations

from generator.compute.circuit.delivered import NOTE
from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance as heating
from generator.compute.heat.figures.outlet import ABOVE, UNREACHED
from generator.compute.heat.outlet import above_limit
from generator.compute.sources import SITE_DATA, STATED
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.compute.use.fixtures import Duty, Terms, duties, together
from generator.model.figures import BoundKind, Figure, FigureTable, Step, Value
from generator.model.heater import HeaterModel
from generator.model.said import because, say
from generator.model.site import Site
from generator.model.state import State
from generator.model.tables.plumbing import PlumbingLimits

_HEADS = (
    say("flow-head"),
    say("target-head"),
    say("power-head"),
    say("stage-head"),
    say("would-do-head"),
    say("coldest-head"),
    say("warmest-head"),
    say("hot-share-head"),
)


def target_figure(prefix: str, site: Site) -> Figure:
    """Return the target temperature of the heater: the hottest that a fixture asks for."""
    wanted = tuple(Value(fixture.name, fixture.target_k, "temperature") for fixture in site.fixtures)
    target_k = max(fixture.target_k for fixture in site.fixtures)
    step = Step(say("greatest-target"), wanted, Value("T_target", target_k, "temperature"), SITE_DATA)
    return Figure(f"{prefix}.target", say("target-temperature"), target_k, "temperature", "neither", (step,))


def limit_figure(prefix: str, site: Site, default_limit_k: float, *, code: PlumbingLimits) -> Figure:
    """Return the limit temperature of the site: the lowest of its fixtures' limits."""
    limits = tuple(
        Value(fixture.name, fixture_limit_k(fixture, default_limit_k, code), "temperature", "at_most")
        for fixture in site.fixtures
    )
    limit_k = min(float(limit.value) for limit in limits)
    result = Value("T_limit", limit_k, "temperature", "at_most")
    step = Step(
        say("least-limit"),
        limits,
        result,
        say("site-data-or-limit"),
    )
    return Figure(f"{prefix}.limit", say("limit-temperature"), limit_k, "temperature", "at_most", (step,))


def _outlet(id_: str, label: str, model: HeaterModel, *, duty: Duty, by: heating.Heating, bound: BoundKind) -> Figure:
    """Return what comes out of the heater; none where no stage turns on or the cut-out opens."""
    if duty.off:
        return Figure(id_, label, None, "temperature", bound, (), duty.off, because(duty.off))
    reached: State = "ok" if by.outlet_k >= duty.target_k - 1e-6 else "below-target"
    state = above_limit(model, by.outlet_k, duty.limit_k) or reached
    if state == "above-cut-out":
        return Figure(id_, label, None, "temperature", bound, (), state, UNREACHED[state])
    power, flow = Value("P", by.power_w, "power"), Value("Q", duty.heated_m3_s, "flow")
    outlet = Value("T_out", by.outlet_k, "temperature", bound)
    step = heating.outlet_step(heating.inlet_values(by.inlet_k), power, flow, outlet=outlet)
    return Figure(id_, label, by.outlet_k, "temperature", bound, (step,), state, ABOVE.get(state, ""))


def _stage(id_: str, label: str, duty: Duty, *, needed: Step) -> Figure:
    if duty.off:
        return Figure(id_, label, None, "count", "neither", (), duty.off, because(duty.off))
    inputs = (Value("P_needed", duty.needed_w, "power", "at_least"), Value("P", duty.reach_w, "power", "at_most"))
    formula = say("highest-that-closes")
    step = Step(formula, inputs, Value("stage", duty.at_stage, "count"), heating.BALANCE, NOTE)
    return Figure(id_, label, duty.at_stage, "count", "neither", (needed, step), "ok" if duty.stage else "below-target")


def _would_do(id_: str, label: str, duty: Duty, *, needed: Step) -> Figure:
    if duty.stage is None:
        state: State = duty.off or "below-target"
        return Figure(
            id_, label, None, "count", "neither", (), state, because(duty.off) if duty.off else say("none-gives-it")
        )
    formula = say("lowest-that-does")
    step = Step(formula, (needed.result,), Value("stage", duty.stage, "count"), heating.BALANCE, NOTE)
    return Figure(id_, label, duty.stage, "count", "neither", (needed, step))


def _cells(prefix: str, at: Operating, terms: Terms, *, duty: Duty) -> tuple[Figure, ...]:
    flow, target = Value("Q", duty.heated_m3_s, "flow"), Value("T_target", duty.target_k, "temperature")
    needed = Value("P_needed", duty.needed_w, "power", "at_least")
    formula = "P_needed = ρ(T_in) × Q × (h(T_target) − h(T_in))"
    needs = Step(formula, (*heating.inlet_values(terms.winter_k), flow, target), needed, heating.BALANCE)
    cold, limit = Value("T_in", terms.winter_k, "temperature"), Value("T_limit", duty.limit_k, "temperature")
    share = Value("x", duty.hot_share, "ratio", "at_least")
    shared = say("share-of-hot")
    share_step = Step(shared, (cold, target, limit), share, heating.BALANCE)
    winter = heating.Heating(terms.winter_k, duty.winter_k, duty.reach_w)
    summer = heating.Heating(terms.summer_k, duty.summer_k, duty.power_w)
    name = duty.name
    coldest, warmest = say("fixture-coldest", fixture=name), say("fixture-warmest", fixture=name)
    return (
        _stated(f"{prefix}.flow", say("fixture-flow", fixture=name), Value("Q", duty.flow_m3_s, "flow")),
        _stated(f"{prefix}.target", say("fixture-target", fixture=name), target),
        Figure(f"{prefix}.power", say("fixture-power", fixture=name), duty.needed_w, "power", "at_least", (needs,)),
        _stage(f"{prefix}.stage", say("fixture-stage", fixture=name), duty, needed=needs),
        _would_do(f"{prefix}.would-do", say("fixture-would-do", fixture=name), duty, needed=needs),
        _outlet(f"{prefix}.coldest", coldest, at.model, duty=duty, by=winter, bound="at_most"),
        _outlet(f"{prefix}.warmest", warmest, at.model, duty=duty, by=summer, bound="at_least"),
        Figure(
            f"{prefix}.hot-share",
            say("fixture-hot-share", fixture=name),
            duty.hot_share,
            "ratio",
            "at_least",
            (share_step,),
        ),
    )


def _stated(id_: str, label: str, value: Value) -> Figure:
    return Figure(id_, label, value.value, value.kind, "neither", (Step(value.symbol, (), value, STATED),))


def fixture_table(prefix: str, at: Operating, terms: Terms) -> FigureTable:
    """Return the fixtures, and all in use together where that is more than one, with what they ask for and get."""
    rows = []
    for number, (fixture, duty) in enumerate(zip(at.site.fixtures, duties(at, terms), strict=True), start=1):
        cells = _cells(f"{prefix}.fixture.{number}", at, terms, duty=duty)
        rows.append((Value("fixture", fixture.name, "text"), cells))
    if sum(fixture.at_once for fixture in at.site.fixtures) > 1:
        together_duty = together(at, terms)
        cells = _cells(f"{prefix}.fixture.all", at, terms, duty=together_duty)
        rows.append((Value("fixture", together_duty.name, "text"), cells))
    columns = tuple(Value(head, head, "text") for head in _HEADS)
    note, title = say("fixtures-note"), say("fixtures")
    conditions = (
        Value(say("at-coldest-inlet"), terms.winter_k, "temperature"),
        Value(say("at-warmest-inlet"), terms.summer_k, "temperature"),
    )
    return FigureTable(f"{prefix}.fixtures", title, say("fixture-head"), columns, tuple(rows), note, conditions)

"""What the fixtures of a site ask for, are held to and get, with working."""

from __future__ import annotations

from generator.compute.circuit.delivered import NOTE
from generator.compute.flow.operating_point import STATED, Operating
from generator.compute.heat import balance as heating
from generator.compute.heat.figures.outlet import ABOVE, UNREACHED
from generator.compute.heat.outlet import too_hot
from generator.compute.use.fixture_limit import fixture_limit_k
from generator.compute.use.fixtures import Climate, Duty, duties, together
from generator.model.figures import Figure, FigureTable, Side, Step, Value
from generator.model.heater import HeaterModel
from generator.model.plumbing import PlumbingLimits
from generator.model.site import Site
from generator.model.state import State

_HEADS = (
    "flow",
    "target",
    "power needed at the coldest inlet",
    "stage in use",
    "lowest stage that would do",
    "coldest inlet gives",
    "warmest inlet gives",
    "hot share at the limit temperature",
)


def target_figure(prefix: str, site: Site) -> Figure:
    """Return the target temperature of the heater: the hottest that a fixture asks for."""
    wanted = tuple(Value(fixture.name, fixture.target_k, "temperature") for fixture in site.fixtures)
    target_k = max(fixture.target_k for fixture in site.fixtures)
    step = Step(
        "T_target = max(targets of the fixtures)", wanted, Value("T_target", target_k, "temperature"), "site data"
    )
    return Figure(f"{prefix}.target", "Target temperature", target_k, "temperature", "nearest", (step,))


def limit_figure(prefix: str, site: Site, default_limit_k: float, *, code: PlumbingLimits) -> Figure:
    """Return the limit temperature of the site: the lowest of its fixtures' limits."""
    limits = tuple(
        Value(fixture.name, fixture_limit_k(fixture, default_limit_k, code), "temperature", "down")
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


def _outlet(id_: str, label: str, model: HeaterModel, *, duty: Duty, by: heating.Heating, side: Side) -> Figure:
    """Return what comes out of the heater; none where no stage turns on or the cut-out opens."""
    if duty.off:
        return Figure(id_, label, None, "temperature", side, (), duty.off, duty.off)
    reached: State = "ok" if by.outlet_k >= duty.target_k - 1e-6 else "below-target"
    state = too_hot(model, by.outlet_k, duty.limit_k) or reached
    if state == "above-cut-out":
        return Figure(id_, label, None, "temperature", side, (), state, UNREACHED[state])
    power, flow = Value("P", by.power_w, "power"), Value("Q", duty.heated_m3_s, "flow")
    outlet = Value("T_out", by.outlet_k, "temperature", side)
    step = heating.outlet_step(heating.inlet_values(by.inlet_k), power, flow, outlet=outlet)
    return Figure(id_, label, by.outlet_k, "temperature", side, (step,), state, ABOVE.get(state, ""))


def _stage(id_: str, label: str, duty: Duty, *, needed: Step) -> Figure:
    if duty.off:
        return Figure(id_, label, None, "count", "nearest", (), duty.off, duty.off)
    inputs = (Value("P_needed", duty.needed_w, "power", "up"), Value("P", duty.reach_w, "power", "down"))
    formula = "highest stage in use that closes at Q"
    step = Step(formula, inputs, Value("stage", duty.at_stage, "count"), heating.BALANCE, NOTE)
    return Figure(id_, label, duty.at_stage, "count", "nearest", (needed, step), "ok" if duty.stage else "below-target")


def _would_do(id_: str, label: str, duty: Duty, *, needed: Step) -> Figure:
    if duty.stage is None:
        state: State = duty.off or "below-target"
        return Figure(id_, label, None, "count", "nearest", (), state, duty.off or "no stage in use gives that power")
    formula = "lowest stage that can be set, closes at Q and gives P_needed"
    step = Step(formula, (needed.result,), Value("stage", duty.stage, "count"), heating.BALANCE, NOTE)
    return Figure(id_, label, duty.stage, "count", "nearest", (needed, step))


def _cells(prefix: str, at: Operating, climate: Climate, *, duty: Duty) -> tuple[Figure, ...]:
    flow, target = Value("Q", duty.heated_m3_s, "flow"), Value("T_target", duty.target_k, "temperature")
    needed = Value("P_needed", duty.needed_w, "power", "up")
    formula = "P_needed = ρ(T_in) × Q × (h(T_target) − h(T_in))"
    needs = Step(formula, (*heating.inlet_values(climate.winter_k), flow, target), needed, heating.BALANCE)
    cold, limit = Value("T_in", climate.winter_k, "temperature"), Value("T_limit", duty.limit_k, "temperature")
    share = Value("x", duty.hot_share, "ratio", "up")
    shared = "x = (h(T_target) − h(T_in)) / (h(T_limit) − h(T_in)), within 0 to 1"
    share_step = Step(shared, (cold, target, limit), share, heating.BALANCE)
    winter = heating.Heating(climate.winter_k, duty.winter_k, duty.reach_w)
    summer = heating.Heating(climate.summer_k, duty.summer_k, duty.power_w)
    coldest, warmest = f"{duty.name}: at the coldest inlet", f"{duty.name}: at the warmest inlet"
    return (
        _stated(f"{prefix}.flow", f"{duty.name}: flow", Value("Q", duty.flow_m3_s, "flow")),
        _stated(f"{prefix}.target", f"{duty.name}: target", target),
        Figure(f"{prefix}.power", f"{duty.name}: power needed", duty.needed_w, "power", "up", (needs,)),
        _stage(f"{prefix}.stage", f"{duty.name}: stage in use", duty, needed=needs),
        _would_do(f"{prefix}.would-do", f"{duty.name}: lowest stage that would do", duty, needed=needs),
        _outlet(f"{prefix}.coldest", coldest, at.model, duty=duty, by=winter, side="down"),
        _outlet(f"{prefix}.warmest", warmest, at.model, duty=duty, by=summer, side="up"),
        Figure(f"{prefix}.hot-share", f"{duty.name}: hot share", duty.hot_share, "ratio", "up", (share_step,)),
    )


def _stated(id_: str, label: str, value: Value) -> Figure:
    return Figure(id_, label, value.value, value.kind, "nearest", (Step(value.symbol, (), value, STATED),))


def fixture_table(prefix: str, at: Operating, climate: Climate) -> FigureTable:
    """Return the fixtures, and all in use together where that is more than one, with what they ask for and get."""
    rows = []
    for number, (fixture, duty) in enumerate(zip(at.site.fixtures, duties(at, climate), strict=True), start=1):
        cells = _cells(f"{prefix}.fixture.{number}", at, climate, duty=duty)
        rows.append((Value("fixture", fixture.name, "text"), cells))
    if sum(fixture.at_once for fixture in at.site.fixtures) > 1:
        cells = _cells(f"{prefix}.fixture.all", at, climate, duty=together(at, climate))
        rows.append((Value("fixture", "all in use together", "text"), cells))
    columns = tuple(Value(head, head, "text") for head in _HEADS)
    note = (
        "Mixed at the fixture or not, it is the same heat: the flow here is the whole flow, cold water included. Of "
        "several at once the heater heats what they take at the highest target. The stage and what the coldest inlet "
        "gives count the circuit's voltage drop; the warmest inlet is without it, with the stages still on where the "
        "flow falls to this one."
    )
    conditions = (
        Value("coldest inlet", climate.winter_k, "temperature"),
        Value("warmest inlet", climate.summer_k, "temperature"),
    )
    return FigureTable(f"{prefix}.fixtures", "Fixtures", "fixture", columns, tuple(rows), note, conditions)

"""The findings about pressure and flow at a site.

Severity, and why:
- `static-pressure`: `stop` when the heater sees more than the model's greatest working pressure at rest: its shell and
  switches are not made for it. `attention` above what a plumbing basis that is held allows without a
  pressure-reducing valve.
- `working-pressure`: `stop` when no stage can close, however the outlet is set: the heater will not heat. `attention`
  (`band`) when a stage cannot close whose turn-on flow is at the top of its tolerance, which no person can settle. Also
  when the working flow leaves less than the least working pressure, or a selected stage cannot close.
- `working-flow`: `stop` when what the fixtures ask for together turns no stage on, for want of flow or of pressure: the
  heater stays cold in ordinary use. Also (`alone-cold`) when none of them does alone: whoever opens one tap gets cold
  water. `attention` (`some-alone-cold`) when one of several does not alone, hot only while another runs; or when supply
  and pipework cannot bring what they ask for. `band`, which no person settles, when a heater whose turn-on flows are at
  the top of their tolerance stays cold, at work or for a fixture alone.
- `fixture-pressure`: `attention` when less pressure is left at the fixture than the plumbing code's table asks for.
- `pressure-sag`: `attention` when a sag drops a stage at work, the outlet set at the greatest static pressure: a sag to
  the least where a range is stated, else one of less than a fifth: mains and wells move that much when others draw (a
  fifth: common practice, no source). `band`, which no person settles, when it drops only a stage that switches
  elsewhere in its tolerance.
- `filter-screen`: `attention` when the screen loses twice what it loses clean, or is near to costing the least working
  pressure or the working flow: a nuisance that grows unseen. Where even a clean screen would leave too little the
  screen is not to blame: `working-pressure` tells what is.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from generator.compute.flow.heater_loss import SCREEN_SHARE, SCREEN_SOURCE
from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pressure_working import BALANCE
from generator.compute.flow.stage_reach import FALLS, StageReach
from generator.compute.plumbing import plumbing
from generator.compute.severity import ATTENTION, OK, STOP, ok_or_attention
from generator.compute.sources import NAMEPLATE, sources
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Rule
from generator.model.said import say
from generator.model.site import Fixture
from generator.model.tables.plumbing import PlumbingLimits

SAG_SHARE = 0.2
DIRTY_SCREEN = 0.7
SCREEN_MARGIN = 1.25

_SAG = say("sag-balance")

_STATIC = ("static", "rest", "greatest", "code", "regulator")
STATIC = Rule(
    "static-pressure", {"within": _STATIC, "above-code": _STATIC, "above-model": _STATIC}, stops=("above-model",)
)
_PRESSURE = ("flow", "pressure", "least", "closing", "selected")
PRESSURE = Rule(
    "working-pressure",
    {"enough": _PRESSURE, "band": (*_PRESSURE, "surely"), "short": _PRESSURE, "none-closes": _PRESSURE},
    stops=("none-closes",),
)
_FLOW = ("wanted", "greatest", "closed", "first")
FLOW = Rule(
    "working-flow",
    {
        "enough": _FLOW,
        "band": (*_FLOW, "surely"),
        "less-than-wanted": _FLOW,
        "none-on": _FLOW,
        "below-working-pressure": _FLOW,
        "alone-cold": _FLOW,
        "some-alone-cold": _FLOW,
        "no-water": ("static", "site"),
    },
    lists={"cold": ("fixture", "flow")},
    stops=("no-water", "alone-cold", "below-working-pressure", "none-on"),
)
_FIXTURE = ("left", "flow", "needed", "fixture")
FIXTURE = Rule("fixture-pressure", {"enough": _FIXTURE, "short": _FIXTURE})
_DROP = ("static", "least", "drop", "spare", "stage", "reason")
SAG = Rule(
    "pressure-sag",
    {"none-on": ("static",), "holds": _DROP, "band": (*_DROP, "top"), "drops-out": _DROP},
    choices={"reason": FALLS},
)
_SCREEN = ("open", "lost", "flow", "least")
SCREEN = Rule("filter-screen", {"clean": _SCREEN, "clogged": _SCREEN})


def static_pressure(at: Operating) -> Finding:
    """Return `static-pressure`: the pressure at rest against the model's greatest and, where one is held, a code's.

    A code's is held against what the first regulator holds, where one is stated.
    """
    strongest, greatest_pa = at.way.at_greatest, at.model.water.working_pressure.greatest_pa
    rest_pa = strongest.at_heater(0.0)
    values: tuple[Value, ...] = (
        Value("static", strongest.static_pa, "pressure", "at_least"),
        Value("rest", rest_pa, "pressure", "at_least"),
        Value("greatest", greatest_pa, "pressure", "at_most"),
    )
    regulator = next((device for run in strongest.cold for device in run.devices if device.regulates), None)
    if regulator is not None:
        values += (Value("regulator", regulator.device.name, "text"),)
    case, severity, source = "within", OK, NAMEPLATE
    if at.plumbing.held:
        limit = at.plumbing.limits.static_pressure
        values += (Value("code", limit.at_most_pa, "pressure", "at_most"),)
        source = sources(plumbing(limit.rule), NAMEPLATE)
        before_pa = strongest.static_pa if regulator is None else min(strongest.static_pa, regulator.outlet_pa)
        if max(rest_pa, before_pa) > limit.at_most_pa * (1.0 + 1e-9):
            case, severity = "above-code", ATTENTION
    if rest_pa > greatest_pa:
        case, severity = "above-model", STOP
    return STATIC.judge(case, severity, values, source=source).at(at.site.id)


def working_pressure(at: Operating, reach: tuple[StageReach, ...]) -> Finding:
    """Return `working-pressure`: what the heater gets as its stages close and at work, against its least."""
    least_pa, at_work_pa = at.model.water.working_pressure.least_pa, at.way.at_switches(at.working_m3_s)
    selected = [found for found in reach if found.state != "not-selected"]
    closing = [found for found in selected if found.state == "ok"]
    values: tuple[Value, ...] = (
        Value("flow", at.working_m3_s, "flow"),
        Value("pressure", at_work_pa, "pressure", "at_most"),
        Value("least", least_pa, "pressure", "at_least"),
        Value("closing", len(closing), "count"),
        Value("selected", len(selected), "count"),
    )
    case, severity, surely = "enough", OK, sum(_surely_on(at, found) for found in closing)
    if surely < len(closing):
        case, severity, values = "band", ATTENTION, (*values, Value("surely", surely, "count"))
    if at_work_pa < least_pa or len(closing) < len(selected):
        case, severity = "short", ATTENTION
    if not closing:
        case, severity = "none-closes", STOP
    values = tuple(value for value in values if value.symbol in PRESSURE.cases[case])
    return PRESSURE.judge(case, severity, values, source=sources(BALANCE, NAMEPLATE)).at(at.site.id)


def _surely_on(at: Operating, found: StageReach) -> bool:
    """Return whether pressure and flow turn a stage on whose turn-on flow is as great as it can be."""
    flow_m3_s = at.switching.greatest * found.stage.closes_at_m3_s
    enough = at.way.at_switches(flow_m3_s) >= at.model.water.working_pressure.least_pa
    return enough and flow_m3_s <= at.greatest_m3_s


def working_flow(at: Operating) -> Finding:
    """Return `working-flow`: what the fixtures ask for against what the supply brings and what closes the stages."""
    source, subject = sources(BALANCE, NAMEPLATE), at.site.id
    if not at.greatest_m3_s:
        none = (Value("static", at.way.static_pa, "pressure", "at_most"), Value("site", at.site.id, "text"))
        return FLOW.judge("no-water", STOP, none, source=source).at(subject)
    values: tuple[Value, ...] = (
        Value("wanted", at.wanted_m3_s, "flow"),
        Value("greatest", at.greatest_m3_s, "flow", "at_most"),
        Value("closed", len(at.closed), "count"),
        Value("first", at.model.stages[0].closes_at_m3_s, "flow", "at_least"),
    )
    case, severity = "enough", OK
    if at.wanted_m3_s > at.greatest_m3_s:
        case, severity = "less-than-wanted", ATTENTION
    cold = _cold(at)
    if cold:
        case, severity = ("alone-cold", STOP) if len(cold) == len(at.site.fixtures) else ("some-alone-cold", ATTENTION)
    if not at.closed:
        below = at.why_off(at.working_m3_s) == "below-working-pressure"
        case, severity = "below-working-pressure" if below else "none-on", STOP
    surely, maybe_cold = at.closed_at(at.working_m3_s, at.switching.greatest), _cold(at, at.switching.greatest)
    if case == "enough" and (maybe_cold or not surely):
        case, severity, cold = "band", ATTENTION, maybe_cold
        values = (*values, Value("surely", len(surely), "count"))
    lists = {"cold": _by_flow(cold)} if case in ("band", "alone-cold", "some-alone-cold") else {}
    return FLOW.judge(case, severity, values, lists=lists, source=source).at(subject)


def _cold(at: Operating, turn_on: float = 1.0) -> list[Fixture]:
    """Return the fixtures that alone turn no stage on whose true turn-on flow is this over the stated one."""
    return [fixture for fixture in at.site.fixtures if at.why_off(fixture.flow_m3_s, turn_on) == "not-on"]


def _by_flow(fixtures: Iterable[Fixture]) -> tuple[Row, ...]:
    return tuple(
        {
            "fixture": Value("fixture", fixture.name, "text"),
            "flow": Value("flow", fixture.flow_m3_s, "flow", "at_most"),
        }
        for fixture in fixtures
    )


def fixture_needs_pa(fixture: Fixture, code: PlumbingLimits, *, valved: bool = False) -> float:
    """Return the flowing pressure that the plumbing code's table asks for at a fixture [Pa].

    A shower with a balancing or thermostatic valve, and any tub, need more than all else (a rinse bay as a hose tap).
    `valved`: once it has one.
    """
    balanced = fixture.kind == "tub" or (fixture.kind == "shower" and (valved or fixture.mixing_valve is not None))
    return code.fixture_pressure.with_valve_pa if balanced else code.fixture_pressure.at_least_pa


def fixture_pressure(at: Operating) -> Finding:
    """Return `fixture-pressure`: what is left at the end of the hot run at the working flow, against the code."""
    code = at.plumbing.limits
    needed = max(at.site.fixtures, key=lambda fixture: fixture_needs_pa(fixture, code))
    left_pa, needed_pa = at.way.at_fixture(at.working_m3_s), fixture_needs_pa(needed, code)
    values = (
        Value("left", left_pa, "pressure", "at_most"),
        Value("flow", at.working_m3_s, "flow"),
        Value("needed", needed_pa, "pressure", "at_least"),
        Value("fixture", needed.name, "text"),
    )
    enough = left_pa >= needed_pa
    source = sources(BALANCE, plumbing(code.fixture_pressure.rule))
    return FIXTURE.judge("enough" if enough else "short", ok_or_attention(enough), values, source=source).at(at.site.id)


def pressure_sag(at: Operating, reach: tuple[StageReach, ...]) -> Finding:
    """Return `pressure-sag`: how far the static pressure may fall at work before a stage drops out."""
    dropping = [(found.drop_out_pa, found) for found in reach if found.drop_out_pa is not None]
    stated = at.site.water.static_pressure
    static = Value("static", stated.greatest_pa, "pressure", "at_most")
    if not dropping:
        return SAG.judge("none-on", OK, (static,), source=_SAG).at(at.site.id)
    drop_pa, first = max(dropping, key=lambda pair: (pair[0], pair[1].number))
    spare_pa = max(stated.greatest_pa - drop_pa, 0.0)
    values: tuple[Value, ...] = (
        static,
        *((Value("least", stated.least_pa, "pressure", "at_most"),) if stated.moves else ()),
        Value("drop", drop_pa, "pressure", "at_least"),
        Value("spare", spare_pa, "pressure", "at_most"),
        Value("stage", first.number, "count"),
        Value("reason", first.drop_out_reason, "text"),
    )
    least_pa = stated.least_pa if stated.moves else (1.0 - SAG_SHARE) * stated.greatest_pa
    top_pa = max(found.top_drop_out_pa for found in reach if found.top_drop_out_pa is not None)
    case = "holds"
    if drop_pa > least_pa:
        case = "drops-out"
    elif top_pa > least_pa:
        case, values = "band", (*values, Value("top", top_pa, "pressure", "at_least"))
    return SAG.judge(case, ok_or_attention(case == "holds"), values, source=_SAG).at(at.site.id)


def least_screen(at: Operating) -> float:
    """Return the free share of the screen (0..1) below which it costs the least working pressure or the flow.

    1 or more where even a clean screen does not hold them.
    """
    flow, least_pa = at.working_m3_s, at.model.water.working_pressure.least_pa
    clean_pa = SCREEN_SHARE * at.way.heater.clean_pa(flow)
    spare_pa = min(at.way.at_heater(flow) - least_pa, at.way.left_for_outlet(flow) + at.way.heater.screen_pa(flow))
    if clean_pa <= 0.0:
        return 0.0
    return 1.0 / math.sqrt(1.0 + spare_pa / clean_pa) if spare_pa > 0.0 else 1.0


def filter_screen(at: Operating) -> Finding:
    """Return `filter-screen`: what the screen costs as it is, and how far it may clog."""
    is_open, least = at.way.heater.screen_open, least_screen(at)
    values: tuple[Value, ...] = (
        Value("open", is_open, "ratio", "at_most"),
        Value("lost", at.way.heater.screen_pa(at.working_m3_s), "pressure", "at_least"),
        Value("flow", at.working_m3_s, "flow"),
    )
    clogged = is_open < DIRTY_SCREEN or (least < 1.0 and is_open < SCREEN_MARGIN * least)
    if least < 1.0:
        values += (Value("least", least, "ratio", "at_least"),)
    case = "clogged" if clogged else "clean"
    return SCREEN.judge(case, ok_or_attention(not clogged), values, source=SCREEN_SOURCE).at(at.site.id)


def pressure_findings(at: Operating, reach: tuple[StageReach, ...]) -> tuple[Finding, ...]:
    """Return the findings of this module."""
    return (
        static_pressure(at),
        working_pressure(at, reach),
        working_flow(at),
        fixture_pressure(at),
        pressure_sag(at, reach),
        filter_screen(at),
    )

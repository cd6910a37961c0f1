"""The finding `mixing-valve`: a valve that a fixture needs and has not, or that and the heater work against each other.

Severity, and why: `attention` when the plumbing code asks for a limiting valve at a fixture and none is stated
(`hottest-water` is `stop` when the water there can pass the limit today), or when the valve and the heater work against
each other, so that the user gets swings of temperature: the stage gives more heat than the fixture's flow can take at
its target, the hot share alone does not turn the stage on, or the valve's own least flow or hot excess is not met.
`band`, which no person settles, when it is so only with turn-on flows at the top of their tolerance.
Or when the valve guards nobody: it senses pressure alone, is set above the limit, or (`unlisted`) is marked with no
standard that is made for such a fixture and setting. Where no plumbing code is held for
the site the missing valve is named all the same, against the handbook's own limits, and neither asked for nor fitted to
the heater by a code of another place.
"""

from __future__ import annotations

from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance as heating
from generator.compute.plumbing import plumbing
from generator.compute.severity import ATTENTION, OK, ok_or_attention
from generator.compute.sources import sources
from generator.compute.use.fixture_limit import code_limit, fixture_limit_k
from generator.compute.use.fixtures import Duty, Terms, duties
from generator.compute.use.guard import UNLISTED, guarded, unlisted
from generator.compute.use.valve_fit import (
    HUNTS,
    LEAST_FLOW,
    NO_EXCESS,
    NO_PRESSURE,
    OBSTACLES,
    STAYS_OFF,
    WAYS,
    coded,
    hot_m3_s,
    least_flow_m3_s,
    named,
    needs_stage,
    obstacles,
    part_off,
    standards,
    valve_needs_pa,
    ways,
)
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import FIXTURE_KINDS, SAME_K, Fixture
from generator.model.tables.plumbing import PlumbingLimits

_PART = ("flow", "hot_flow", "at_limit", "needs", "closes")
_SERVED = ("fixture", "target", "standard", "setting", "stage", "mixed", "opens", "hot", *_PART)
_BARE = ("fixture", *_PART, "passes", "least_flow")
MIXING = Rule(
    "mixing-valve",
    {
        "no-valve": (),
        "suits": _SERVED,
        "unlisted": _SERVED,
        "band": _SERVED,
        "disagrees": _SERVED,
        "disagrees-selector": _SERVED,
        "missing": ("hottest", "listed"),
        "missing-not-held": (),
        "missing-unsuited": (*_BARE, "greatest", "target", "left", "needed", "hottest", "listed"),
    },
    lists={
        "troubles": ("trouble",),
        "wanted": ("standard", "fixture"),
        "bare": ("fixture", "kind", "limit"),
        "obstacles": ("obstacle",),
        "others": ("fixture",),
        "ways": ("way",),
    },
    choices={
        "kind": FIXTURE_KINDS,
        "trouble": (*UNLISTED, "senses-pressure", "set-too-high", "heat", LEAST_FLOW, HUNTS, STAYS_OFF, NO_EXCESS),
        "obstacle": OBSTACLES,
        "way": WAYS,
    },
)
_Served = tuple[Fixture, Duty]


def _part_values(at: Operating, terms: Terms, fixture: Fixture, *, duty: Duty) -> tuple[Value, ...]:
    """Return what part of the flow passes the heater, and what turns its stage on."""
    return (
        Value("flow", fixture.flow_m3_s, "flow"),
        Value("hot_flow", hot_m3_s(duty), "flow", "at_most"),
        Value("at_limit", fixture_limit_k(fixture, terms.limit_k, at.plumbing.limits), "temperature", "at_most"),
        Value("needs", needs_stage(duty), "count"),
        Value("closes", at.model.stages[needs_stage(duty) - 1].closes_at_m3_s, "flow", "at_least"),
    )


def _troubles(at: Operating, fixture: Fixture, duty: Duty) -> tuple[str, ...]:
    """Return what sets a valve that is there and this heater against each other, as codes.

    Its pressure is left to `fixture-pressure`.
    """
    valve = fixture.mixing_valve
    standard = unlisted(fixture, valve, at.plumbing.limits) if valve else ()
    senses = ("senses-pressure",) if valve and valve.type == "pressure-balancing" else ()
    high = ("set-too-high",) if valve and valve.setting_k > duty.limit_k + SAME_K else ()
    heat = ("heat",) if duty.summer_k > fixture.target_k else ()
    apart = tuple(found for found in obstacles(at, fixture, duty) if found != NO_PRESSURE)
    return standard + senses + high + heat + apart


def _bare(bare: list[_Served], code: PlumbingLimits) -> tuple[Row, ...]:
    """Return the fixtures without the valve, each with its kind and that kind's limit."""
    return tuple(
        {
            "fixture": Value("fixture", fixture.name, "text"),
            "kind": Value("kind", fixture.kind, "text"),
            "limit": Value("limit", code.temperatures[fixture.kind].at_most_k, "temperature", "at_most"),
        }
        for fixture, _ in bare
    )


def _unsuited(at: Operating, terms: Terms, fixture: Fixture, *, duty: Duty, found: tuple[str, ...]) -> list[Value]:
    """Return in numbers what keeps a valve at this fixture from working with the heater."""
    values = [Value("fixture", fixture.name, "text")]
    if HUNTS in found or STAYS_OFF in found:
        values += _part_values(at, terms, fixture, duty=duty)
    if NO_EXCESS in found:
        greatest = Value("greatest", at.model.water.greatest_outlet_k, "temperature", "at_most")
        values += [greatest, Value("target", fixture.target_k, "temperature")]
    if LEAST_FLOW in found:
        values.append(Value("passes", fixture.flow_m3_s, "flow", "at_most"))
        values.append(Value("least_flow", least_flow_m3_s(fixture, at.plumbing.limits), "flow", "at_least"))
    if NO_PRESSURE in found:
        left = Value("left", at.way.at_fixture(at.working_m3_s), "pressure", "at_most")
        values += [left, Value("needed", valve_needs_pa(fixture, at.plumbing.limits), "pressure", "at_least")]
    return values


def _told_by_hottest(terms: Terms, bare: list[_Served]) -> tuple[Value, ...]:
    """Return the hottest water where it passes the limit of every fixture that lacks a valve: `hottest-water` then says
    which valve each needs and what to choose first, and this finding leaves the remedy to it."""
    hottest_k = terms.hottest_k
    if hottest_k is None or any(hottest_k <= duty.limit_k for _, duty in bare):
        return ()
    return (Value("hottest", hottest_k, "temperature", "at_least"),)


def _valve_missing(at: Operating, terms: Terms, bare: list[_Served]) -> Judgement:
    """Return `mixing-valve` for the fixtures at which the plumbing code asks for a valve and none is stated."""
    unsuited = [(*pair, found) for pair in bare if (found := obstacles(at, *pair))]
    code = at.plumbing.limits
    kinds = dict.fromkeys(plumbing(code.temperatures[fixture.kind].rule) for fixture, _ in bare)
    lists = {"bare": _bare(bare, code)}
    if not at.plumbing.held:
        return MIXING.judge("missing-not-held", ATTENTION, lists=lists, source="; ".join(kinds))
    listed = () if code.mixing_valve.heater is None else (Value("listed", code.mixing_valve.heater, "text"),)
    remedy = (*_told_by_hottest(terms, bare), *listed)
    if not unsuited:
        return MIXING.judge("missing", ATTENTION, remedy, lists=lists, source="; ".join(kinds))
    lists |= {
        "obstacles": coded("obstacle", unsuited[0][2]),
        "others": named(fixture for fixture, _, _ in unsuited[1:]),
        "ways": ways([one for _, _, found in unsuited for one in found]),
    }
    valve, pressure = plumbing(code.mixing_valve.rule), plumbing(code.fixture_pressure.rule)
    source = "; ".join((*kinds, heating.BALANCE, valve, pressure))
    fixture, duty, found = unsuited[0]
    values = (*_unsuited(at, terms, fixture, duty=duty, found=found), *remedy)
    return MIXING.judge("missing-unsuited", ATTENTION, values, lists=lists, source=source)


def _valve_values(fixture: Fixture) -> tuple[Value, ...]:
    valve = fixture.mixing_valve
    if valve is None:
        return ()
    return Value("standard", valve.standard, "text"), Value("setting", valve.setting_k, "temperature", "at_least")


def _served(at: Operating, terms: Terms, fixture: Fixture, *, duty: Duty) -> tuple[Value, ...]:
    """Return what a fixture with a valve gets of this heater; no more than its own data where no stage turns on."""
    values = (
        Value("fixture", fixture.name, "text"),
        Value("flow", fixture.flow_m3_s, "flow"),
        Value("target", fixture.target_k, "temperature"),
        *_valve_values(fixture),
    )
    if not duty.at_stage:
        return values
    opens = at.model.stages[duty.warm_stage - 1].opens_at_m3_s
    hot_k = heating.capped_outlet_k(terms.summer_k, opens, duty.power_w, ceiling_k=at.model.water.cut_out_k)
    return (
        *values,
        *_part_values(at, terms, fixture, duty=duty)[1:],
        Value("stage", duty.warm_stage, "count"),
        Value("mixed", duty.summer_k, "temperature", "at_least"),
        Value("opens", opens, "flow", "at_most"),
        Value("hot", hot_k, "temperature", "at_least"),
    )


def mixing_valve(at: Operating, terms: Terms) -> Finding:
    """Return `mixing-valve`: valves that are missing, else the one that disagrees most with the heater, else any."""
    served = list(zip(at.site.fixtures, duties(at, terms), strict=True))
    bare = [pair for pair in served if code_limit(pair[0], at.plumbing.limits) and pair[0].mixing_valve is None]
    if bare:
        return _valve_missing(at, terms, bare).at(at.site.id)
    valved = [pair for pair in served if pair[0].mixing_valve]
    if not valved:
        return MIXING.judge("no-valve", OK, source=heating.BALANCE).at(at.site.id)
    code = at.plumbing.limits
    fixture, duty = max(
        valved, key=lambda pair: (not guarded(pair[0], pair[1].limit_k, code), len(_troubles(at, *pair)))
    )
    found = _troubles(at, fixture, duty)
    case = ("disagrees-selector" if at.model.stage_selector else "disagrees") if found else "suits"
    if any(one in UNLISTED for one in found):
        case = "unlisted"
    elif not found:
        apart = {pair: part_off(at, pair[1], at.switching.greatest) for pair in valved}
        fixture, duty = max(valved, key=lambda pair: len(apart[pair]))
        found = apart[fixture, duty]
        case = "band" if found else "suits"
    troubles = coded("trouble", found)
    values = _served(at, terms, fixture, duty=duty)
    source = sources(heating.BALANCE, plumbing(code.mixing_valve.rule))
    lists = {"troubles": troubles} | ({"wanted": standards([fixture], at.plumbing)} if case == "unlisted" else {})
    judged = MIXING.judge(case, ok_or_attention(not troubles), values, lists=lists, source=source)
    return judged.at(at.site.id)

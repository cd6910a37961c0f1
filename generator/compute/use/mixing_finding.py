"""The finding `mixing-valve`: a valve that a fixture needs and has not, or that and the heater work against each other.

Severity, and why: `attention` when the plumbing code asks for a limiting valve at a fixture and none is stated
(`hottest-water` is `stop` when the water there can pass the limit today), or when the valve and the heater work against
each other, so that the user gets swings of temperature: the stage gives more heat than the fixture's flow can take at
its target, the hot share alone does not turn the stage on, or the valve's own least flow or hot excess is not met.
Or when the valve guards nobody: it senses pressure alone, or is set above the limit.
"""

from __future__ import annotations

from generator.compute.flow.operating_point import Operating
from generator.compute.heat import balance as heating
from generator.compute.plumbing import plumbing
from generator.compute.severity import ATTENTION, OK, ok_or_attention
from generator.compute.use.fixture_limit import code_limit, fixture_limit_k
from generator.compute.use.fixtures import Climate, Duty, duties
from generator.compute.use.valve_fit import (
    NO_EXCESS,
    NO_PRESSURE,
    OBSTACLES,
    STAYS_OFF,
    WAYS,
    coded,
    hot_m3_s,
    named,
    needs_stage,
    obstacles,
    valve_needs_pa,
    ways,
)
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.plumbing import PlumbingLimits
from generator.model.site import SAME_K, Fixture

_PART = ("flow", "hot_flow", "at_limit", "needs", "closes")
_SERVED = ("fixture", "target", "standard", "setting", "stage", "mixed", "opens", "hot", *_PART)
MIXING = Rule(
    "mixing-valve",
    {
        "no-valve": (),
        "suits": _SERVED,
        "disagrees": _SERVED,
        "disagrees-selector": _SERVED,
        "missing": (),
        "missing-unsuited": ("fixture", *_PART, "greatest", "target", "left", "needed"),
    },
    lists={
        "troubles": ("trouble",),
        "bare": ("fixture", "kind", "limit"),
        "obstacles": ("obstacle",),
        "others": ("fixture",),
        "ways": ("way",),
    },
    choices={
        "trouble": ("senses-pressure", "set-too-high", "heat", "least-flow", STAYS_OFF, NO_EXCESS),
        "obstacle": OBSTACLES,
        "way": WAYS,
    },
)
_Served = tuple[Fixture, Duty]


def _part_values(at: Operating, climate: Climate, fixture: Fixture, *, duty: Duty) -> tuple[Value, ...]:
    """Return what part of the flow passes the heater, and what turns its stage on."""
    return (
        Value("flow", fixture.flow_m3_s, "flow"),
        Value("hot_flow", hot_m3_s(duty), "flow", "down"),
        Value("at_limit", fixture_limit_k(fixture, climate.limit_k, at.plumbing.limits), "temperature", "down"),
        Value("needs", needs_stage(duty), "count"),
        Value("closes", at.model.stages[needs_stage(duty) - 1].closes_at_m3_s, "flow", "up"),
    )


def _troubles(at: Operating, fixture: Fixture, duty: Duty) -> tuple[str, ...]:
    """Return what sets a valve that is there and this heater against each other, as codes.

    Its pressure is left to `fixture-pressure`.
    """
    valve = fixture.mixing_valve
    least_m3_s = (valve and valve.least_flow_m3_s) or at.plumbing.limits.mixing_valve.least_flow_m3_s
    senses = ("senses-pressure",) if valve and valve.type == "pressure-balancing" else ()
    high = ("set-too-high",) if valve and valve.setting_k > duty.limit_k + SAME_K else ()
    heat = ("heat",) if duty.summer_k > fixture.target_k else ()
    least = ("least-flow",) if fixture.flow_m3_s < least_m3_s * (1.0 - 1e-9) else ()
    return senses + high + heat + least + tuple(found for found in obstacles(at, fixture, duty) if found != NO_PRESSURE)


def _bare(bare: list[_Served], code: PlumbingLimits) -> tuple[Row, ...]:
    """Return the fixtures without the valve, each with its kind and that kind's limit."""
    return tuple(
        {
            "fixture": Value("fixture", fixture.name, "text"),
            "kind": Value("kind", fixture.kind, "text"),
            "limit": Value("limit", code.temperatures[fixture.kind].at_most_k, "temperature", "down"),
        }
        for fixture, _ in bare
    )


def _unsuited(at: Operating, climate: Climate, fixture: Fixture, *, duty: Duty, found: tuple[str, ...]) -> list[Value]:
    """Return in numbers what keeps a valve at this fixture from working with the heater."""
    values = [Value("fixture", fixture.name, "text")]
    if STAYS_OFF in found:
        values += _part_values(at, climate, fixture, duty=duty)
    if NO_EXCESS in found:
        greatest = Value("greatest", at.model.water.greatest_outlet_k, "temperature", "down")
        values += [greatest, Value("target", fixture.target_k, "temperature")]
    if NO_PRESSURE in found:
        left = Value("left", at.way.at_fixture(at.working_m3_s), "pressure", "down")
        values += [left, Value("needed", valve_needs_pa(fixture, at.plumbing.limits), "pressure", "up")]
    return values


def _valve_missing(at: Operating, climate: Climate, bare: list[_Served]) -> Judgement:
    """Return `mixing-valve` for the fixtures at which the plumbing code asks for a valve and none is stated."""
    unsuited = [(*pair, found) for pair in bare if (found := obstacles(at, *pair))]
    code = at.plumbing.limits
    kinds = dict.fromkeys(plumbing(code.temperatures[fixture.kind].rule) for fixture, _ in bare)
    lists = {"bare": _bare(bare, code)}
    if not unsuited:
        return MIXING.judge("missing", ATTENTION, lists=lists, source="; ".join(kinds))
    lists |= {
        "obstacles": coded("obstacle", unsuited[0][2]),
        "others": named(fixture for fixture, _, _ in unsuited[1:]),
        "ways": ways([one for _, _, found in unsuited for one in found]),
    }
    valve, pressure = plumbing(code.mixing_valve.rule), plumbing(code.fixture_pressure.rule)
    source = "; ".join((*kinds, heating.BALANCE, valve, pressure))
    fixture, duty, found = unsuited[0]
    values = tuple(_unsuited(at, climate, fixture, duty=duty, found=found))
    return MIXING.judge("missing-unsuited", ATTENTION, values, lists=lists, source=source)


def _valve_values(fixture: Fixture) -> tuple[Value, ...]:
    valve = fixture.mixing_valve
    if valve is None:
        return ()
    return Value("standard", valve.standard, "text"), Value("setting", valve.setting_k, "temperature", "up")


def _served(at: Operating, climate: Climate, fixture: Fixture, *, duty: Duty) -> tuple[Value, ...]:
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
    hot_k = heating.capped_outlet_k(climate.summer_k, opens, duty.power_w, ceiling_k=at.model.water.cut_out_k)
    return (
        *values,
        *_part_values(at, climate, fixture, duty=duty)[1:],
        Value("stage", duty.warm_stage, "count"),
        Value("mixed", duty.summer_k, "temperature", "up"),
        Value("opens", opens, "flow", "down"),
        Value("hot", hot_k, "temperature", "up"),
    )


def mixing_valve(at: Operating, climate: Climate) -> Finding:
    """Return `mixing-valve`: valves that are missing, else the one that disagrees most with the heater, else any."""
    served = list(zip(at.site.fixtures, duties(at, climate), strict=True))
    bare = [pair for pair in served if code_limit(pair[0], at.plumbing.limits) and pair[0].mixing_valve is None]
    if bare:
        return _valve_missing(at, climate, bare).at(at.site.id)
    valved = [pair for pair in served if pair[0].mixing_valve]
    if not valved:
        return MIXING.judge("no-valve", OK, source=heating.BALANCE).at(at.site.id)
    fixture, duty = max(valved, key=lambda pair: (not pair[0].guarded(pair[1].limit_k), len(_troubles(at, *pair))))
    troubles = coded("trouble", _troubles(at, fixture, duty))
    case = ("disagrees-selector" if at.model.stage_selector else "disagrees") if troubles else "suits"
    values = _served(at, climate, fixture, duty=duty)
    source = f"{heating.BALANCE}; {plumbing(at.plumbing.limits.mixing_valve.rule)}"
    judged = MIXING.judge(case, ok_or_attention(not troubles), values, lists={"troubles": troubles}, source=source)
    return judged.at(at.site.id)

"""The finding `mixing-valve`: a valve that a fixture needs and has not, or that and the heater work against each other.

Severity, and why: `attention` when the plumbing code asks for a limiting valve at a fixture and none is stated
(`hottest-water` is `stop` when the water there can pass the limit today), or when the valve and the heater work against
each other, so that the user gets swings of temperature: the stage gives more heat than the fixture's flow can take at
its target, the hot share alone does not turn the stage on, or the valve's own least flow or hot excess is not met.
"""

from __future__ import annotations

from generator.compute.finding import finding
from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pressure_findings import CODE_FIXTURE
from generator.compute.heat import balance as heating
from generator.compute.use.fixture_limit import KIND_LIMITS, fixture_limit_k, needs_limiting_valve
from generator.compute.use.fixtures import Climate, Duty, duties
from generator.compute.use.valve_fit import (
    NO_EXCESS,
    NO_PRESSURE,
    STAYS_OFF,
    VALVE_FLOW_M3_S,
    VALVE_SOURCE,
    clearing,
    hot_m3_s,
    obstacles,
    valve_needs_pa,
)
from generator.model.figures import Finding, Value
from generator.model.site import Fixture

_PART = "{hot_flow} of {flow} passes the heater for hot water at {at_limit}; stage {stage} turns on at {closes}."
_MISSING = "United States plumbing codes ask for one there, whatever heats the water, set to that limit or below."
_MISSING_WHY = (
    "Stages and cut-out do not limit the water at a fixture: a stage that sticks sends hotter water to the user."
)
_WHY = (
    "A heater with fixed stages puts in the same heat however hot and cold are shared: adding cold at a fixed flow "
    "cools nothing. A valve that wants cooler water shuts the hot side, the heater runs hotter, and a stage drops out."
)
_Served = tuple[Fixture, Duty]
_Found = tuple[str, tuple[Value, ...]]


def _name(symbol: str, fixture: Fixture) -> Value:
    return Value(symbol, fixture.name, "text")


def _part_values(at: Operating, climate: Climate, fixture: Fixture, duty: Duty) -> tuple[Value, ...]:
    """Return the values of the sentence `_PART`."""
    return (
        Value("flow", fixture.flow_m3_s, "flow"),
        Value("hot_flow", hot_m3_s(duty), "flow", "down"),
        Value("at_limit", fixture_limit_k(fixture, climate.limit_k), "temperature", "down"),
        Value("stage", duty.at_stage, "count"),
        Value("closes", at.model.stages[duty.at_stage - 1].closes_at_m3_s, "flow", "up"),
    )


def _troubles(at: Operating, fixture: Fixture, duty: Duty) -> tuple[str, ...]:
    """Return what sets a valve that is there and this heater against each other, in words.

    Its pressure is left to `fixture-pressure`.
    """
    heat = ("the stage gives more heat than this flow takes at its target",) if duty.summer_k > fixture.target_k else ()
    small = fixture.flow_m3_s < VALVE_FLOW_M3_S * (1.0 - 1e-9)
    least = ("the flow is below what such valves are listed for",) if small else ()
    return heat + least + tuple(found for found in obstacles(at, fixture, duty) if found != NO_PRESSURE)


def _bare(bare: list[_Served]) -> _Found:
    """Return the fixtures without the valve, each with its kind and that kind's limit."""
    entries, values = [], []
    for number, (fixture, _) in enumerate(bare, 1):
        entries.append(f"{{fixture_{number}}} ({{kind_{number}}}, at most {{limit_{number}}})")
        values += [
            _name(f"fixture_{number}", fixture),
            Value(f"kind_{number}", fixture.kind, "text"),
            Value(f"limit_{number}", KIND_LIMITS[fixture.kind].limit_k, "temperature", "down"),
        ]
    return f"No mixing valve is stated at: {', '.join(entries)}. {_MISSING}", tuple(values)


def _unsuited(at: Operating, climate: Climate, fixture: Fixture, duty: Duty, found: tuple[str, ...]) -> _Found:
    """Return in numbers what keeps a valve at this fixture from working with the heater."""
    template, values = f" With such a valve at the {{fixture}}: {'; '.join(found)}.", [_name("fixture", fixture)]
    if STAYS_OFF in found:
        template += f" There {_PART}"
        values += _part_values(at, climate, fixture, duty)
    if NO_EXCESS in found:
        template += " The heater gives up to {greatest}, and {target} is wanted."
        greatest = Value("greatest", at.model.water.greatest_outlet_k, "temperature", "down")
        values += [greatest, Value("target", fixture.target_k, "temperature")]
    if NO_PRESSURE in found:
        template += " {left} is left there; {needed} is asked for."
        left = Value("left", at.way.at_fixture(at.working_m3_s), "pressure", "down")
        values += [left, Value("needed", valve_needs_pa(fixture), "pressure", "up")]
    return template, tuple(values)


def _valve_missing(at: Operating, climate: Climate, bare: list[_Served]) -> Finding:
    """Return `mixing-valve` for the fixtures at which the plumbing code asks for a valve and none is stated."""
    template, values = _bare(bare)
    unsuited = [(*pair, found) for pair in bare if (found := obstacles(at, *pair))]
    do = "Fit the listed limiting valve, one made for instantaneous heaters and this flow, and state it here."
    if unsuited:
        more, numbers = _unsuited(at, climate, *unsuited[0])
        template += f"{more} So the valve and this heater do not fit each other yet."
        values += numbers
        others = [fixture for fixture, _, _ in unsuited[1:]]
        if others:
            template += f" Nor do they at: {', '.join(f'{{other_{n}}}' for n in range(len(others)))}."
            values += tuple(_name(f"other_{n}", fixture) for n, fixture in enumerate(others))
        first = clearing([one for _, _, found in unsuited for one in found])
        do = f"{first} Then fit the listed limiting valve, made for instantaneous heaters and this flow; state it here."
    kinds = dict.fromkeys(KIND_LIMITS[fixture.kind].source for fixture, _ in bare)
    source = "; ".join((*kinds, heating.BALANCE, VALVE_SOURCE, CODE_FIXTURE) if unsuited else kinds)
    return finding(at.site, "mixing-valve", "attention", (template, values), _MISSING_WHY, do, source)


def _mixing_found(at: Operating, climate: Climate, fixture: Fixture, duty: Duty) -> _Found:
    values = [
        Value("fixture", fixture.name, "text"),
        Value("flow", fixture.flow_m3_s, "flow"),
        Value("target", fixture.target_k, "temperature"),
    ]
    if not duty.at_stage:
        return "At {flow} no stage turns on for the {fixture}, whatever its valve is set to ({target}).", tuple(values)
    opens = at.model.stages[duty.at_stage - 1].opens_at_m3_s
    hot_k = heating.capped_outlet_k(climate.summer_k, opens, duty.power_w, at.model.water.cut_out_k)
    values += [
        *_part_values(at, climate, fixture, duty)[1:],
        Value("mixed", duty.summer_k, "temperature", "up"),
        Value("opens", opens, "flow", "down"),
        Value("hot", hot_k, "temperature", "up"),
    ]
    template = (
        "With stage {stage} on the {fixture} gets {mixed} at {flow} at the warmest inlet, however hot and cold are "
        "shared; its target is {target}. A valve that shuts the hot side down to {opens} meets water at up to {hot}. "
        f"In the coldest month {_PART}"
    )
    return template, tuple(values)


def mixing_valve(at: Operating, climate: Climate) -> Finding:
    """Return `mixing-valve`: valves that are missing, else the one that disagrees most with the heater, else any."""
    served = list(zip(at.site.fixtures, duties(at, climate), strict=True))
    bare = [pair for pair in served if needs_limiting_valve(pair[0]) and not pair[0].mixing_valve]
    if bare:
        return _valve_missing(at, climate, bare)
    valved = [pair for pair in served if pair[0].mixing_valve]
    if not valved:
        found = ("No fixture has a mixing valve: what leaves the heater is what the user gets.", ())
        return finding(at.site, "mixing-valve", "ok", found, _WHY, "See `hottest-water`.", heating.BALANCE)
    fixture, duty = max(valved, key=lambda pair: len(_troubles(at, *pair)))
    troubles = _troubles(at, fixture, duty)
    template, values = _mixing_found(at, climate, fixture, duty)
    source = f"{heating.BALANCE}; {VALVE_SOURCE}"
    if not troubles:
        do = "Set and test the valve as its maker says, with the heater at work."
        return finding(at.site, "mixing-valve", "ok", (template, values), _WHY, do, source)
    more = "Select a lower stage, let" if at.model.stage_selector else "Let"
    do = f"{more} more water run, or use a valve listed for instantaneous heaters and this flow."
    told = "; ".join(troubles)
    return finding(at.site, "mixing-valve", "attention", (f"{template} So {told}.", values), _WHY, do, source)

"""Mixing valves at fixtures: the standard each calls for, and whether such a valve and the heater work together.

A valve of a type that senses pressures alone does not help at a heater whose hot side changes its temperature with
flow and season at one pressure, so the type is named too.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pressure_findings import fixture_needs_pa
from generator.compute.heat.stages import closed_stages
from generator.compute.plumbing import Plumbing
from generator.compute.use.fixtures import Duty, Terms, duties
from generator.model.figures import Row, Value
from generator.model.said import say
from generator.model.site import Fixture
from generator.model.tables.plumbing import PlumbingLimits

_NOT_HELD = say("standard-not-held")
# What keeps a valve at a fixture from working with the heater, and what to choose anew where it does.
OBSTACLES = ("hunts", "stays-off", "no-excess", "least-flow", "no-pressure")
HUNTS, STAYS_OFF, NO_EXCESS, LEAST_FLOW, NO_PRESSURE = OBSTACLES
OTHER_HEATER, MORE_FLOW, MORE_PRESSURE = WAYS = ("other-heater", "more-flow", "more-pressure")


def named(fixtures: Iterable[Fixture]) -> tuple[Row, ...]:
    """Return the fixtures by name, a row each."""
    return tuple({"fixture": Value("fixture", fixture.name, "text")} for fixture in fixtures)


def standards(fixtures: Iterable[Fixture], plumbing: Plumbing) -> tuple[Row, ...]:
    """Return the standard of the valve that each of these fixtures calls for, in order of the standards."""
    valve = plumbing.limits.mixing_valve
    pairs = [
        ((valve.shower if fixture.kind == "shower" else valve.other) if plumbing.held else _NOT_HELD, fixture)
        for fixture in fixtures
    ]
    return tuple(
        {"standard": Value("standard", standard, "text"), **named([fixture])[0]}
        for standard, fixture in sorted(pairs, key=lambda pair: pair[0])
    )


def coded(symbol: str, codes: Iterable[str]) -> tuple[Row, ...]:
    """Return these codes, each once, a row each."""
    return tuple({symbol: Value(symbol, code, "text")} for code in dict.fromkeys(codes))


def hot_m3_s(duty: Duty) -> float:
    """Return the flow [m3/s] through the heater when the valve takes hot water at the limit temperature."""
    return duty.hot_share * duty.flow_m3_s


def part_off(at: Operating, duty: Duty, turn_on: float = 1.0) -> tuple[str, ...]:
    """Return STAYS_OFF where the heater's part of the flow does not turn on the stage that the fixture needs.

    HUNTS where it turns no stage on: the heater turns on only while the valve shuts the cold off, and drops out when
    it mixes. `turn_on`: the true turn-on flows over those stated.
    """
    on = closed_stages(hot_m3_s(duty) / turn_on, at.model, at.selected)
    if not duty.at_stage or needs_stage(duty) in on:
        return ()
    return (STAYS_OFF,) if on else (HUNTS,)


def needs_stage(duty: Duty) -> int:
    """Return the lowest stage that would do for a fixture, or the one in use where none would (0: none turns on)."""
    return duty.stage or duty.at_stage


def valve_needs_pa(fixture: Fixture, code: PlumbingLimits) -> float:
    """Return the flowing pressure [Pa] that the plumbing code's table asks for at a fixture that has the valve."""
    return fixture_needs_pa(fixture, code, valved=True)


def setting_k(fixture: Fixture) -> float:
    """Return what the valve at a fixture is set to [K], or the target where there is none yet."""
    return fixture.mixing_valve.setting_k if fixture.mixing_valve else fixture.target_k


def least_flow_m3_s(fixture: Fixture, code: PlumbingLimits) -> float:
    """Return the least flow [m3/s] of the valve at a fixture, or what such valves need where none states its own."""
    own_m3_s = fixture.mixing_valve and fixture.mixing_valve.least_flow_m3_s
    return own_m3_s or code.mixing_valve.least_flow_m3_s


def obstacles(at: Operating, fixture: Fixture, duty: Duty) -> tuple[str, ...]:
    """Return what keeps a mixing valve at a fixture from working with this heater and supply: codes of OBSTACLES."""
    found = [*part_off(at, duty)]
    if at.model.water.greatest_outlet_k - setting_k(fixture) < at.plumbing.limits.mixing_valve.hotter_by_k:
        found.append(NO_EXCESS)
    if fixture.flow_m3_s < least_flow_m3_s(fixture, at.plumbing.limits) * (1.0 - 1e-9):
        found.append(LEAST_FLOW)
    if at.way.at_fixture(at.working_m3_s) < valve_needs_pa(fixture, at.plumbing.limits):
        found.append(NO_PRESSURE)
    return tuple(found)


def all_obstacles(at: Operating, terms: Terms) -> tuple[tuple[str, ...], ...]:
    """Return the obstacles at every fixture of the site, in its order."""
    pairs = zip(at.site.fixtures, duties(at, terms), strict=True)
    return tuple(obstacles(at, fixture, duty) for fixture, duty in pairs)


def ways(found: Collection[str]) -> tuple[Row, ...]:
    """Return what to choose anew where these obstacles keep a valve from working."""
    heater = any(one not in (LEAST_FLOW, NO_PRESSURE) for one in found)
    more = [MORE_FLOW] * (LEAST_FLOW in found) + [MORE_PRESSURE] * (NO_PRESSURE in found)
    return coded("way", [OTHER_HEATER] * heater + more)

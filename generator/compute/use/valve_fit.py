"""Mixing valves at fixtures: the standard each calls for, and whether such a valve and the heater work together.

A valve of a type that senses pressures alone does not help at a heater whose hot side changes its temperature with
flow and season at one pressure, so the type is named too.
"""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.finding import listed
from generator.compute.flow.operating_point import Operating
from generator.compute.flow.pressure_findings import fixture_needs_pa
from generator.compute.heat.stages import closed_stages
from generator.compute.use.fixtures import Climate, Duty, duties
from generator.model.rules import Family
from generator.model.site import Fixture
from generator.si import FAHRENHEIT_K, GPM_M3_S

# Valves by fixture: IPC 2021 412.3, 412.5, 419.5; UPC 2021 407.3, 408.3, 409.4 (from memory). Types of ASSE 1016: P
# senses the supplies' pressures, T the temperature at the outlet, T/P both: abstract of ASME A112.1016 (read).
_VALVE: dict[Family, dict[bool, str]] = {
    "nfpa70": {
        True: "ASSE 1016/ASME A112.1016/CSA B125.16 type T or T/P",
        False: "ASSE 1070/ASME A112.1070/CSA B125.70",
    },
    "iec60364": {True: "EN 1111 or EN 1287", False: "EN 1111 or EN 1287"},
}
VALVE_FLOW_M3_S = 0.5 * GPM_M3_S
VALVE_EXCESS_K = 20.0 * FAHRENHEIT_K
VALVE_SOURCE = (
    "hot supply 20 °F above the setting: ASSE 1017 (2023), scope; least flow 0.5 gpm: common practice, no source; "
    "use the valve's own listing"
)
STAYS_OFF = "the heater's part of the flow does not turn on the stage that it needs"
NO_EXCESS = "the heater cannot give water as much hotter than the target as such valves need"
NO_PRESSURE = "less pressure is left there than the plumbing code's table asks for with such a valve"
SET_STOP = (
    "Set its limit stop at or below the limit with the heater at its hottest, and again at the warmest inlet and after "
    "any change."
)


def named(fixtures: Sequence[Fixture]) -> str:
    """Return the fixtures' names in words."""
    return listed([fixture.name for fixture in fixtures])


def standards(fixtures: Sequence[Fixture], family: Family) -> str:
    """Return the standards of the valves that these fixtures call for, each with every fixture it is for, in words."""
    by_standard: dict[str, list[Fixture]] = {}
    for fixture in fixtures:
        by_standard.setdefault(_VALVE[family][fixture.kind == "shower"], []).append(fixture)
    return listed([f"{standard} ({named(those)})" for standard, those in sorted(by_standard.items())])


def hot_m3_s(duty: Duty) -> float:
    """Return the flow [m3/s] through the heater when the valve takes hot water at the limit temperature."""
    return duty.hot_share * duty.flow_m3_s


def stays_off(at: Operating, duty: Duty) -> bool:
    """Return whether the heater's part of the flow does not turn on the stage that serves the fixture."""
    return duty.at_stage > 0 and duty.at_stage not in closed_stages(hot_m3_s(duty), at.model, at.site.selected_stage)


def valve_needs_pa(fixture: Fixture) -> float:
    """Return the flowing pressure [Pa] that the plumbing code's table asks for at a fixture that has the valve."""
    return fixture_needs_pa(fixture.model_copy(update={"mixing_valve": True}))


def obstacles(at: Operating, fixture: Fixture, duty: Duty) -> tuple[str, ...]:
    """Return what keeps a mixing valve at a fixture from working with this heater and supply, in words."""
    found = []
    if stays_off(at, duty):
        found.append(STAYS_OFF)
    if at.model.water.greatest_outlet_k - fixture.target_k < VALVE_EXCESS_K:
        found.append(NO_EXCESS)
    if at.way.at_fixture(at.working_m3_s) < valve_needs_pa(fixture):
        found.append(NO_PRESSURE)
    return tuple(found)


def all_obstacles(at: Operating, climate: Climate) -> tuple[tuple[str, ...], ...]:
    """Return the obstacles at every fixture of the site, in its order."""
    pairs = zip(at.site.fixtures, duties(at, climate), strict=True)
    return tuple(obstacles(at, fixture, duty) for fixture, duty in pairs)


def clearing(found: Sequence[str]) -> str:
    """Return what to do first where these obstacles keep a valve from working, as a sentence."""
    ways = []
    if STAYS_OFF in found or NO_EXCESS in found:
        ways.append("another heater, or a lower target or a greater flow that a lower stage serves")
    if NO_PRESSURE in found:
        ways.append("wider or shorter pipe, or a higher supply pressure")
    return f"First choose {'; and '.join(ways)}."

"""The pressure at each place from the supply to the fixtures, at rest and at work."""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.flow.operating_point import Operating
from generator.compute.flow.waterway import Waterway
from generator.model.water_results import Along, PressurePlace


def pressure_along(at: Operating) -> tuple[PressurePlace, ...]:
    """Return the places in the order of flow.

    At rest: the supply, and what a regulator holds, at their greatest. At work: the working flow, both at their least.
    """
    rest, work = at.way.at_greatest, at.way
    pairs = zip(_places(rest, 0.0), _places(work, at.working_m3_s), strict=True)
    return tuple(PressurePlace(place, number, rest_pa, work_pa) for (place, number, rest_pa), (_, _, work_pa) in pairs)


def _places(way: Waterway, flow_m3_s: float) -> Iterator[tuple[Along, int, float]]:
    """Yield (place, number of the run, pressure [Pa]) along the way at a flow [m3/s]."""
    pressure_pa = way.at_start(flow_m3_s)
    yield "supply", 0, pressure_pa
    for number, run in enumerate(way.cold, 1):
        pressure_pa = way.behind(run, pressure_pa, flow_m3_s)
        yield "cold", number, pressure_pa
    yield "switches", 0, way.at_switches(flow_m3_s)
    pressure_pa -= way.heater.total_pa(flow_m3_s)
    yield "heater", 0, pressure_pa
    for number, run in enumerate(way.hot, 1):
        pressure_pa = way.behind(run, pressure_pa, flow_m3_s)
        yield "hot", number, pressure_pa

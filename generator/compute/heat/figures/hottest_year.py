"""The hottest water of a site in each month, by the month's own inlet."""

from __future__ import annotations

from generator.compute.heat.case import ThermalCase
from generator.compute.heat.hottest import Circumstances, hottest_water
from generator.model.said import say
from generator.model.water_results import Curve, InletYear


def hottest_by_month(prefix: str, heat: ThermalCase, inlet: InletYear) -> Curve | None:
    """Return (month from 1, hottest water [K]) with the stages in use, as `hottest_water`; id `<prefix>.hottest.year`.

    None where only the coldest and the warmest inlet are known.
    """
    if inlet.months_k is None:
        return None
    supply, model = heat.site.supply, heat.model
    points = []
    for month, inlet_k in enumerate(inlet.months_k, 1):
        on = Circumstances(supply.voltage_v, supply.phases, inlet_k)
        hottest = hottest_water(model, on, heat.burns)[heat.selected - 1]
        points.append((float(month), hottest.temperature_k))
    id_ = f"{prefix}.hottest.year"
    return Curve(id_, say("hottest-year"), say("month"), "number", say("outlet-axis"), "temperature", tuple(points))

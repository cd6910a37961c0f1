"""What the heater itself costs in pressure: its loss curve, and the screen at its inlet as it clogs.

Curve: a power law, loss = a Q^n, through each pair of neighbouring points of the maker's curve (a straight line on
logarithmic paper, as flow meters and valves are plotted; common practice, no source). One point alone: n = 2, fully
turbulent. Below the first point n is held within 1 to 2 (laminar to turbulent), above the last within 1.75 (turbulent
in a smooth passage, Blasius) to 2, so the curve always rises from zero.

Screen: a share of the clean loss at the same flow, which grows with the inverse square of the free area, as an
orifice's does (K ~ 1/area^2). The share is SCREEN_SHARE: common practice, no source; the maker's own figure is better.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from generator.errors import CannotCompute
from generator.model.heater import HeaterModel
from generator.model.said import say
from generator.model.site import Site

CURVE_SOURCE = say("loss-curve")
SCREEN_SOURCE = say("screen-share")
SCREEN_SHARE = 0.2

_TURBULENT, _BLASIUS, _LAMINAR = 2.0, 1.75, 1.0


def _exponent(low: tuple[float, float], high: tuple[float, float]) -> float:
    return (math.log(high[1]) - math.log(low[1])) / math.log(high[0] / low[0])


def _between(low: tuple[float, float], high: tuple[float, float], flow_m3_s: float) -> float:
    share = math.log(flow_m3_s / low[0]) / math.log(high[0] / low[0])
    return math.exp((1.0 - share) * math.log(low[1]) + share * math.log(high[1]))


def _beyond(point: tuple[float, float], exponent: float, flow_m3_s: float) -> float:
    return point[1] * math.pow(flow_m3_s / point[0], exponent)


@dataclass(frozen=True, slots=True)
class HeaterLoss:
    """The heater's loss curve as (flow [m3/s], loss [Pa]) points in rising order, and its screen's free share."""

    points: tuple[tuple[float, float], ...]
    screen_open: float

    def clean_pa(self, flow_m3_s: float) -> float:
        """Return the loss [Pa] at a flow (zero or more) with a clean screen."""
        return _clean_pa(self.points, flow_m3_s)

    def screen_pa(self, flow_m3_s: float) -> float:
        """Return what the screen loses beyond its clean loss [Pa]; zero when it is clean."""
        return self._screen_pa(self.clean_pa(flow_m3_s))

    def _screen_pa(self, clean_pa: float) -> float:
        return SCREEN_SHARE * clean_pa * (1.0 / self.screen_open**2 - 1.0)

    def total_pa(self, flow_m3_s: float) -> float:
        """Return the loss [Pa] of the heater with its screen as it is."""
        clean_pa = self.clean_pa(flow_m3_s)
        return clean_pa + self._screen_pa(clean_pa)


Curve = tuple[tuple[float, float], ...]


@lru_cache(maxsize=4_000)
def _clean_pa(curve: Curve, flow_m3_s: float) -> float:
    """Return the loss [Pa] by a curve, kept: what is found of a site asks for the same flows again and again."""
    points = [point for point in curve if point[1] > 0.0]
    if flow_m3_s <= 0.0 or not points:
        return 0.0
    if len(points) == 1:
        return _beyond(points[0], _TURBULENT, flow_m3_s)
    if flow_m3_s < points[0][0]:
        exponent = min(max(_exponent(points[0], points[1]), _LAMINAR), _TURBULENT)
        return _beyond(points[0], exponent, flow_m3_s)
    if flow_m3_s > points[-1][0]:
        exponent = min(max(_exponent(points[-2], points[-1]), _BLASIUS), _TURBULENT)
        return _beyond(points[-1], exponent, flow_m3_s)
    low, high = next(pair for pair in pairwise(points) if flow_m3_s <= pair[1][0])
    return _between(low, high, flow_m3_s)


def heater_loss(site: Site, model: HeaterModel) -> HeaterLoss:
    """Return the loss of a model at a site. CannotCompute where the site states a screen with no free area."""
    if site.water.screen_open <= 0.0:
        raise CannotCompute(("water", "screen_open"), "the screen is stated as wholly shut", "the free share above 0 %")
    points = tuple((point.flow_m3_s, point.loss_pa) for point in model.water.head_loss)
    return HeaterLoss(points, site.water.screen_open)

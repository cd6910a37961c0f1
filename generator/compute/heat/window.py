"""The flows at which a stage is active, safe and warm enough: from the least to the greatest, each end with its reason.

Least: the flow that closes the stage, and the flows below which the summer inlet comes out above the site's limit or
above the model's greatest outlet, at the full power. Greatest: the flow at which the winter inlet still reaches the
target, with the power that the circuit's voltage drop leaves. Bounds from elsewhere (working pressure, supply) are
handed in as (flow, reason) pairs.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from generator.compute.heat.balance import Heating, flow_for_outlet_m3_s
from generator.compute.heat.inlet import Season
from generator.compute.heat.stages import stage_powers_w
from generator.compute.use.fixture_limit import Limits
from generator.compute.verdict.set_flow import wide_enough
from generator.model.heater import HeaterModel, Stage
from generator.model.tables.tolerances import SettingError
from generator.model.water_results import CLOSES, GREATEST_OUTLET, LIMIT, NEXT_STAGE, TARGET, FlowBound, FlowBounds


@dataclass(frozen=True, slots=True)
class Bound:
    """A bound of the flow [m3/s], its reason (one of BOUNDS), and the heating it follows from (None: it is given).

    Infinite where no flow is enough, or any flow does.
    """

    flow_m3_s: float
    reason: str
    heating: Heating | None = None


@dataclass(frozen=True, slots=True)
class Window:
    """The bounds of the flow for stages 1 to `number` closed. `least` and `greatest` are the ends, both in the window.

    `setting`: how closely a hand sets a flow. `empty`: no flow satisfies both ends; `narrow`: some do, but a hand
    cannot set them.
    """

    number: int
    least_bounds: tuple[Bound, ...]
    greatest_bounds: tuple[Bound, ...]
    setting: SettingError

    @property
    def least(self) -> Bound:
        """The greatest of the least bounds."""
        return max(self.least_bounds, key=lambda bound: bound.flow_m3_s)

    @property
    def greatest(self) -> Bound:
        """The least of the greatest bounds."""
        return min(self.greatest_bounds, key=lambda bound: bound.flow_m3_s)

    @property
    def empty(self) -> bool:
        """Whether no flow is enough, or at least more is needed than at most is allowed."""
        least_m3_s = self.least.flow_m3_s
        return math.isinf(least_m3_s) or least_m3_s > self.greatest.flow_m3_s

    @property
    def narrow(self) -> bool:
        """Whether its flows lie too close together to set one."""
        return not self.empty and not wide_enough(self.least.flow_m3_s, self.greatest.flow_m3_s, self.setting)

    @property
    def usable(self) -> bool:
        """Whether a hand can set a flow in it."""
        return not (self.empty or self.narrow)


def _outlet_bound(heating: Heating, reason: str) -> Bound:
    """Return the flow at which the power takes the inlet to the outlet; infinite where the inlet is already that warm.

    Least flow for an outlet that must not be passed, greatest for one that must be reached.
    """
    if heating.needless:
        return Bound(math.inf, reason, heating)
    return Bound(flow_for_outlet_m3_s(heating.inlet_k, heating.outlet_k, heating.power_w), reason, heating)


def _given(bounds: Iterable[FlowBound]) -> tuple[Bound, ...]:
    return tuple(Bound(flow_m3_s, reason) for flow_m3_s, reason in bounds)


@dataclass(frozen=True, slots=True)
class StagePower:
    """The power [W] of stages 1 to `number`: `full_w` as the supply gives it, `reach_w` after the voltage drop."""

    number: int
    full_w: float
    reach_w: float


def flow_window(
    stage: Stage, power: StagePower, season: Season, *, limits: Limits, given: FlowBounds, setting: SettingError
) -> Window:
    """Return the window of flows [m3/s] for stages 1 to `power.number` closed; `stage` is the last of them.

    Limits are kept at the full power at the warmest inlet; the target is reached at the coldest with what the voltage
    drop leaves. Without a selector on the model, hand `next_stage_bound` in `given.greatest`.
    """
    least = (
        Bound(stage.closes_at_m3_s, CLOSES),
        _outlet_bound(Heating(season.warmest_k, limits.limit_k, power.full_w), LIMIT),
        _outlet_bound(Heating(season.warmest_k, limits.greatest_outlet_k, power.full_w), GREATEST_OUTLET),
        *_given(given.least),
    )
    target = _outlet_bound(Heating(season.coldest_k, limits.target_k, power.reach_w), TARGET)
    return Window(power.number, least, (target, *_given(given.greatest)), setting)


def next_stage_bound(model: HeaterModel, number: int) -> tuple[FlowBound, ...]:
    """Return the greatest flow [m3/s] at which stages 1 to `number` are surely alone, as a bound with its reason.

    Empty where the model has a selector, which holds the later stages open, or where there are none. The bound is the
    flow at which the last of them opens, not the higher one at which the next closes: between the two it depends on
    where the flow came from.
    """
    if model.stage_selector or number >= len(model.stages):
        return ()
    return ((min(stage.opens_at_m3_s for stage in model.stages[number:]), NEXT_STAGE),)


def model_least_bounds(model: HeaterModel) -> tuple[tuple[Bound, ...], ...]:
    """Return by stage the flows [m3/s] that close it and that keep the outlet within the model's greatest.

    Taken at the model's greatest inlet and the rating of the greatest power, so they hold for every rating.
    """
    rating = max(model.ratings, key=lambda rating: rating.power_w)
    inlet_k, outlet_k = model.water.greatest_inlet_k, model.water.greatest_outlet_k
    powers = stage_powers_w(model, rating.voltage_v, rating.phases)
    return tuple(
        (
            Bound(stage.closes_at_m3_s, CLOSES),
            _outlet_bound(Heating(inlet_k, outlet_k, power_w), GREATEST_OUTLET),
        )
        for stage, power_w in zip(model.stages, powers, strict=True)
    )

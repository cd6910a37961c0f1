"""What each stage does on a supply: the nameplate rating that applies, power, current, element resistance.

Stages are counted from 1 in the order in which they close; a figure of stage n is for stages 1 to n together
(cumulative), except the element resistance, which is the stage's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from generator.compute.heat.balance import power_at_voltage_w
from generator.errors import CannotCompute
from generator.model.heater import HeaterModel, Rating, Stage

LINE_PAIRS = ("L1-L2", "L2-L3", "L3-L1")


def rating_for_supply(model: HeaterModel, voltage_v: float, phases: int) -> Rating:
    """Return the nameplate rating that applies on a supply: same phases, nearest rated voltage.

    A model without a three-phase rating connects across two lines of a three-phase supply by its single-phase rating.
    Of two ratings equally near, the lower voltage, which gives the greater power. CannotCompute for a model
    that has only three-phase ratings on a single-phase supply.
    """
    same = [rating for rating in model.ratings if rating.phases == phases]
    usable = same or [rating for rating in model.ratings if rating.phases == 1]
    if not usable:
        wrong = f"the model {model.id} has no single-phase rating"
        raise CannotCompute(("supply", "phases"), wrong, "a three-phase supply, or another model")
    return min(usable, key=lambda rating: (abs(rating.voltage_v - voltage_v), rating.voltage_v))


def power_of_w(model: HeaterModel, numbers: Iterable[int], voltage_v: float, *, phases: int) -> float:
    """Return the power [W] of the stages with these numbers (from 1) on a supply."""
    return _power_of_w(model, numbers, rating_for_supply(model, voltage_v, phases), voltage_v=voltage_v)


def _power_of_w(model: HeaterModel, numbers: Iterable[int], rating: Rating, *, voltage_v: float) -> float:
    share = math.fsum([model.stages[number - 1].share for number in numbers])
    return power_at_voltage_w(rating.power_w * share, rating.voltage_v, voltage_v)


def stage_powers_w(model: HeaterModel, voltage_v: float, phases: int) -> tuple[float, ...]:
    """Return the cumulative power [W] with 1, 2, ... stages closed on a supply."""
    rating, numbers = rating_for_supply(model, voltage_v, phases), range(1, len(model.stages) + 1)
    return tuple(_power_of_w(model, range(1, number + 1), rating, voltage_v=voltage_v) for number in numbers)


def line_current_a(power_w: float, voltage_v: float, phases: int) -> float:
    """Return the line current [A]: P/V for a single-phase load, P/(sqrt(3) V) for a balanced three-phase load.

    `voltage_v` is the voltage across the load's terminals (between lines when three-phase); power factor 1. Ohm and
    Joule: 9600 W on 240 V are 40 A.

    >>> line_current_a(9600.0, 240.0, 1), round(line_current_a(9000.0, 208.0, 3), 1)
    (40.0, 25.0)
    """
    return power_w / (voltage_v * (math.sqrt(3.0) if phases == 3 else 1.0))


def pair_powers_w(closed: Sequence[Stage], power_w: float) -> tuple[float, float, float]:
    """Return the power [W] across L1-L2, L2-L3 and L3-L1 with these stages closed on a three-phase supply.

    `power_w` is that of these stages together. A stage that names no pair of lines loads all three alike.
    """
    whole = math.fsum(stage.share for stage in closed)
    across = (math.fsum(_share_across(stage, pair) for stage in closed) for pair in LINE_PAIRS)
    first, second, third = (power_w * share / whole for share in across)
    return first, second, third


def _share_across(stage: Stage, pair: str) -> float:
    return stage.share / 3.0 if stage.lines is None else stage.share * (stage.lines == pair)


def meeting_pair_powers_w(pairs_w: tuple[float, float, float]) -> tuple[float, float]:
    """Return the two pair powers [W] that meet at the line that carries the greatest current."""
    first, second, third = pairs_w
    lines = ((first, third), (first, second), (second, third))
    return max(lines, key=lambda meet: unbalanced_line_current_a(meet[0], meet[1], 1.0))


def unbalanced_line_current_a(one_w: float, other_w: float, voltage_v: float) -> float:
    """Return the current [A] of a line at which resistive loads across two pairs of lines meet.

    Their currents stand 60 degrees apart: I = sqrt(Pa^2 + Pb^2 + Pa Pb) / V, with V between lines. For equal loads it
    is sqrt(3) Pa / V, the current of a balanced delta. Source: Kirchhoff's current law on a symmetrical supply.

    >>> round(unbalanced_line_current_a(3000.0, 3000.0, 208.0), 1)
    25.0
    """
    return math.sqrt(one_w**2 + other_w**2 + one_w * other_w) / voltage_v


def element_resistance_ohm(rating: Rating, stage: Stage) -> float:
    """Return the resistance [ohm] between two line terminals of a stage's own element, hot, from the nameplate.

    Single-phase, and across one pair of lines, V^2/P. Three-phase 2 V^2/P, which holds for three equal elements in star
    as well as in delta: star R = V^2/P and two in series; delta R = 3 V^2/P and one beside two in series.
    """
    return (2.0 if over_three_lines(rating, stage) else 1.0) * rating.voltage_v**2 / (rating.power_w * stage.share)


def over_three_lines(rating: Rating, stage: Stage) -> bool:
    """Return whether a stage's element stands across all three lines of the rating."""
    return rating.phases == 3 and stage.lines is None


def closed_stages(
    flow_m3_s: float, model: HeaterModel, selected: int | None, *, falling: bool = False
) -> tuple[int, ...]:
    """Return the numbers of the stages that are closed at a flow [m3/s].

    Reached from below, a stage is closed when its activation flow is met. `falling`: reached from above, a stage stays
    closed as long as the flow is above the one at which it opens. Where the model has a selector, at most the first
    `selected` stages close (None: all).
    """
    most = len(model.stages) if selected is None or not model.stage_selector else selected
    return tuple(
        number
        for number, stage in enumerate(model.stages[:most], start=1)
        if (flow_m3_s > stage.opens_at_m3_s if falling else flow_m3_s >= stage.closes_at_m3_s)
    )

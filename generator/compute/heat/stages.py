"""What each stage does on a supply: the nameplate rating that applies, power, current, element resistance.

Stages are counted from 1 in the order in which they close; a figure of stage n is for stages 1 to n together
(cumulative), except the element resistance, which is the stage's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from itertools import accumulate

from generator.compute.heat.balance import JOULE, power_at_voltage_w
from generator.errors import CannotCompute
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel, Rating, Stage
from generator.model.results import StageResult

NAMEPLATE = "nameplate of the model"
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


def power_of_w(model: HeaterModel, numbers: Iterable[int], voltage_v: float, phases: int) -> float:
    """Return the power [W] of the stages with these numbers (from 1) on a supply."""
    rating = rating_for_supply(model, voltage_v, phases)
    share = math.fsum(model.stages[number - 1].share for number in numbers)
    return power_at_voltage_w(rating.power_w * share, rating.voltage_v, voltage_v)


def stage_powers_w(model: HeaterModel, voltage_v: float, phases: int) -> tuple[float, ...]:
    """Return the cumulative power [W] with 1, 2, ... stages closed on a supply."""
    numbers = range(1, len(model.stages) + 1)
    return tuple(power_of_w(model, range(1, number + 1), voltage_v, phases) for number in numbers)


def line_current_a(power_w: float, voltage_v: float, phases: int) -> float:
    """Return the line current [A]: P/V for a single-phase load, P/(sqrt(3) V) for a balanced three-phase load.

    `voltage_v` is the voltage across the load's terminals (between lines when three-phase); power factor 1.
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
    """
    return math.sqrt(one_w**2 + other_w**2 + one_w * other_w) / voltage_v


def element_resistance_ohm(rating: Rating, stage: Stage) -> float:
    """Return the resistance [ohm] between two line terminals of a stage's own element, hot, from the nameplate.

    Single-phase, and across one pair of lines, V^2/P. Three-phase 2 V^2/P, which holds for three equal elements in star
    as well as in delta: star R = V^2/P and two in series; delta R = 3 V^2/P and one beside two in series.
    """
    return (2.0 if _over_three_lines(rating, stage) else 1.0) * rating.voltage_v**2 / (rating.power_w * stage.share)


def _over_three_lines(rating: Rating, stage: Stage) -> bool:
    return rating.phases == 3 and stage.lines is None


def closed_stages(flow_m3_s: float, model: HeaterModel, selected: int | None, falling: bool = False) -> tuple[int, ...]:
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


def _rating_step(rating: Rating, voltage: Value, phases: int) -> Step:
    formula = "of the ratings with the supply's phases, the one of the nearest voltage"
    note = f"{rating.phases}-phase rating"
    if rating.phases != phases:
        note = "single-phase model, connected across two lines of the three-phase supply"
    supply_phases = Value("supply phases", phases, "count")
    return Step(formula, (voltage, supply_phases), Value("V_rated", rating.voltage_v, "voltage"), NAMEPLATE, note)


def _power(id_: str, number: int, power_w: float, share: float, rating: Rating, supply: tuple[Step, Value]) -> Figure:
    chosen, voltage = supply
    inputs = (
        Value("P_rated", rating.power_w, "power"),
        Value("share", share, "ratio"),
        voltage,
        chosen.result,
    )
    step = Step("P = P_rated × share × (V / V_rated)²", inputs, Value("P", power_w, "power"), JOULE)
    return Figure(f"{id_}.power", f"Power, stage {number}", power_w, "power", "nearest", (chosen, step))


def _current(id_: str, closed: Sequence[Stage], power_w: float, voltage: Value, phases: int) -> Figure:
    volts, label = float(voltage.value), f"Line current, stage {len(closed)}"
    if phases == 3 and any(stage.lines is not None for stage in closed):
        one_w, other_w = meeting_pair_powers_w(pair_powers_w(closed, power_w))
        current_a = unbalanced_line_current_a(one_w, other_w, volts)
        formula = "I = √(P_a² + P_b² + P_a × P_b) / V"
        inputs: tuple[Value, ...] = (Value("P_a", one_w, "power"), Value("P_b", other_w, "power"), voltage)
        note = "the greatest of the three lines: P_a and P_b are the powers across the two pairs that meet there"
    else:
        current_a, note = line_current_a(power_w, volts, phases), ""
        formula = "I = P / (√3 × V)" if phases == 3 else "I = P / V"
        inputs = (Value("P", power_w, "power"), voltage)
    step = Step(formula, inputs, Value("I", current_a, "current", "up"), f"{JOULE}; power factor 1", note)
    return Figure(f"{id_}.current", label, current_a, "current", "up", (step,))


def _resistance(id_: str, number: int, rating: Rating, stage: Stage) -> Figure:
    resistance = element_resistance_ohm(rating, stage)
    own_w = rating.power_w * stage.share
    three = _over_three_lines(rating, stage)
    formula = "R = 2 × V_rated² / P_stage" if three else "R = V_rated² / P_stage"
    inputs = (Value("V_rated", rating.voltage_v, "voltage"), Value("P_stage", own_w, "power"))
    note = "the stage's own element, hot; cold, a heating alloy measures somewhat less"
    if three:
        note = "between two line terminals, for elements in star or in delta; " + note
    elif rating.phases == 3:
        note = f"the element stands across {stage.lines}; " + note
    result = Value("R", resistance, "resistance")
    steps = (Step(formula, inputs, result, f"{NAMEPLATE}; {JOULE}", note),)
    return Figure(
        f"{id_}.resistance", f"Element resistance, stage {number}", resistance, "resistance", "nearest", steps
    )


def _switch_flows(id_: str, number: int, stage: Stage) -> tuple[Figure, Figure]:
    closes, opens = stage.closes_at_m3_s, stage.opens_at_m3_s
    closes_step = Step("Q_close", (), Value("Q_close", closes, "flow", "up"), NAMEPLATE)
    opens_step = Step("Q_open", (), Value("Q_open", opens, "flow", "down"), NAMEPLATE)
    return (
        Figure(f"{id_}.closes-at", f"Stage {number} closes at", closes, "flow", "up", (closes_step,)),
        Figure(f"{id_}.opens-at", f"Stage {number} opens at", opens, "flow", "down", (opens_step,)),
    )


def stage_results(prefix: str, model: HeaterModel, voltage_v: float, phases: int) -> tuple[StageResult, ...]:
    """Return every stage of a model on a supply of `voltage_v` [V] and `phases`, with working; ids start with `prefix`.

    CannotCompute where no rating applies (see `rating_for_supply`).
    """
    rating = rating_for_supply(model, voltage_v, phases)
    voltage = Value("V", voltage_v, "voltage")
    chosen = _rating_step(rating, voltage, phases)
    powers = stage_powers_w(model, voltage_v, phases)
    shares = accumulate(stage.share for stage in model.stages)
    results = []
    for number, (stage, power_w, share) in enumerate(zip(model.stages, powers, shares, strict=True), start=1):
        id_ = f"{prefix}.stage.{number}"
        results.append(
            StageResult(
                number,
                _power(id_, number, power_w, share, rating, (chosen, voltage)),
                _current(id_, model.stages[:number], power_w, voltage, rating.phases),
                *_switch_flows(id_, number, stage),
                _resistance(id_, number, rating, stage),
            )
        )
    return tuple(results)

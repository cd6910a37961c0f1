"""The stages of a heater on a supply, with their working: power, current, switching flows, element resistance."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from generator.compute.heat.balance import JOULE
from generator.compute.heat.stages import (
    NAMEPLATE,
    element_resistance_ohm,
    line_current_a,
    meeting_pair_powers_w,
    over_three_lines,
    pair_powers_w,
    rating_for_supply,
    stage_powers_w,
    unbalanced_line_current_a,
)
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel, Rating, Stage
from generator.model.results import StageResult


def _rating_step(rating: Rating, voltage: Value, phases: int) -> Step:
    formula = "of the ratings with the supply's phases, the one of the nearest voltage"
    note = f"{rating.phases}-phase rating"
    if rating.phases != phases:
        note = "single-phase model, connected across two lines of the three-phase supply"
    supply_phases = Value("supply phases", phases, "count")
    return Step(formula, (voltage, supply_phases), Value("V_rated", rating.voltage_v, "voltage"), NAMEPLATE, note)


def _power(
    id_: str, number: int, power_w: float, *, share: float, rating: Rating, supply: tuple[Step, Value]
) -> Figure:
    chosen, voltage = supply
    inputs = (
        Value("P_rated", rating.power_w, "power"),
        Value("share", share, "ratio"),
        voltage,
        chosen.result,
    )
    step = Step("P = P_rated × share × (V / V_rated)²", inputs, Value("P", power_w, "power"), JOULE)
    return Figure(f"{id_}.power", f"Power, stage {number}", power_w, "power", "nearest", (chosen, step))


def _current(id_: str, closed: Sequence[Stage], power_w: float, *, voltage: Value, phases: int) -> Figure:
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


def _resistance(id_: str, number: int, rating: Rating, *, stage: Stage) -> Figure:
    resistance = element_resistance_ohm(rating, stage)
    own_w = rating.power_w * stage.share
    three = over_three_lines(rating, stage)
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


def stage_results(prefix: str, model: HeaterModel, voltage_v: float, *, phases: int) -> tuple[StageResult, ...]:
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
                _power(id_, number, power_w, share=share, rating=rating, supply=(chosen, voltage)),
                _current(id_, model.stages[:number], power_w, voltage=voltage, phases=rating.phases),
                *_switch_flows(id_, number, stage),
                _resistance(id_, number, rating, stage=stage),
            )
        )
    return tuple(results)

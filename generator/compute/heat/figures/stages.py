"""The stages of a heater on a supply, with their working: power, current, switching flows, element resistance."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate

from generator.compute.heat.balance import JOULE
from generator.compute.heat.stages import (
    element_resistance_ohm,
    line_current_a,
    meeting_pair_powers_w,
    over_three_lines,
    pair_powers_w,
    rating_for_supply,
    stage_powers_w,
    unbalanced_line_current_a,
)
from generator.compute.sources import NAMEPLATE, sources
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel, Rating, Stage
from generator.model.results import StageResult
from generator.model.said import say


def _rating_step(rating: Rating, voltage: Value, phases: int) -> Step:
    note = say("rating-of-phases", phases=rating.phases) if rating.phases == phases else say("across-two-lines")
    supply_phases = Value(say("supply-phases"), phases, "count")
    return Step(
        say("nearest-rating"), (voltage, supply_phases), Value("V_rated", rating.voltage_v, "voltage"), NAMEPLATE, note
    )


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
    return Figure(f"{id_}.power", say("power", stage=number), power_w, "power", "neither", (chosen, step))


def _current(id_: str, closed: Sequence[Stage], power_w: float, *, voltage: Value, phases: int) -> Figure:
    volts, label = float(voltage.value), say("line-current", stage=len(closed))
    if phases == 3 and any(stage.lines is not None for stage in closed):
        one_w, other_w = meeting_pair_powers_w(pair_powers_w(closed, power_w))
        current_a = unbalanced_line_current_a(one_w, other_w, volts)
        formula = "I = √(P_a² + P_b² + P_a × P_b) / V"
        inputs: tuple[Value, ...] = (Value("P_a", one_w, "power"), Value("P_b", other_w, "power"), voltage)
        note = say("greatest-of-lines")
    else:
        current_a, note = line_current_a(power_w, volts, phases), ""
        formula = "I = P / (√3 × V)" if phases == 3 else "I = P / V"
        inputs = (Value("P", power_w, "power"), voltage)
    step = Step(
        formula, inputs, Value("I", current_a, "current", "at_least"), sources(JOULE, say("power-factor-1")), note
    )
    return Figure(f"{id_}.current", label, current_a, "current", "at_least", (step,))


def _resistance(id_: str, number: int, rating: Rating, *, stage: Stage) -> Figure:
    resistance = element_resistance_ohm(rating, stage)
    own_w = rating.power_w * stage.share
    three = over_three_lines(rating, stage)
    formula = "R = 2 × V_rated² / P_stage" if three else "R = V_rated² / P_stage"
    inputs = (Value("V_rated", rating.voltage_v, "voltage"), Value("P_stage", own_w, "power"))
    note = say("element-star-or-delta") if three else say("element-hot")
    if rating.phases == 3 and stage.lines is not None:
        note = say("element-across", lines=stage.lines)
    result = Value("R", resistance, "resistance")
    steps = (Step(formula, inputs, result, sources(NAMEPLATE, JOULE), note),)
    label = say("element-resistance", stage=number)
    return Figure(f"{id_}.resistance", label, resistance, "resistance", "neither", steps)


def _switch_flows(id_: str, number: int, stage: Stage) -> tuple[Figure, Figure]:
    closes, opens = stage.closes_at_m3_s, stage.opens_at_m3_s
    closes_step = Step("Q_close", (), Value("Q_close", closes, "flow", "at_least"), NAMEPLATE)
    opens_step = Step("Q_open", (), Value("Q_open", opens, "flow", "at_most"), NAMEPLATE)
    return (
        Figure(f"{id_}.closes-at", say("closes-at", stage=number), closes, "flow", "at_least", (closes_step,)),
        Figure(f"{id_}.opens-at", say("opens-at", stage=number), opens, "flow", "at_most", (opens_step,)),
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

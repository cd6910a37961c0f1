"""Temperature rise per stage over a grid of flows for a model alone, at each of its rated voltages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from generator.compute.heat.figures.outlet import outlet_table
from generator.compute.heat.figures.outlet_rows import model_rows
from generator.compute.heat.outlet import Heated
from generator.compute.heat.stages import stage_powers_w
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.heater import HeaterModel, Rating
from generator.model.said import say

# 12 degC (about 54 degF), a cool tap. The rise depends on the inlet only through density and heat capacity: from 4 to
# 27 degC it moves by less than 0.5 %.
REFERENCE_INLET_K = 285.15


def _rise_cell(outlet: Figure, inlet: Value, number: int) -> Figure:
    label, kind = say("rise", stage=number), "temperature_difference"
    if not isinstance(outlet.value, float):
        return replace(outlet, label=label, kind=kind, bound="neither")
    rise_k = outlet.value - float(inlet.value)
    inputs = (outlet.steps[-1].result, inlet)
    step = Step("ΔT = T_out − T_in", inputs, Value("ΔT", rise_k, kind), say("definition-of-rise"))
    return replace(outlet, label=label, kind=kind, bound="neither", value=rise_k, steps=(*outlet.steps, step))


def rise_table(
    prefix: str, model: HeaterModel, rating: Rating, *, flows_m3_s: Sequence[float], inlet_k: float = REFERENCE_INLET_K
) -> FigureTable:
    """Return the rise [K] of every stage over the flows at one nameplate rating and a stated inlet.

    Ids start with `<prefix>.<voltage>-v-<phases>-phase`. A cell is without value where a stage does not close or the
    cut-out opens, and carries the state "above-model-limit" where the outlet passes the model's greatest.
    """
    powers_w = stage_powers_w(model, rating.voltage_v, rating.phases)
    id_ = f"{prefix}.{round(rating.voltage_v)}-v-{rating.phases}-phase"
    outlets = outlet_table(id_, "", Heated(model, powers_w, inlet_k), heads=model_rows(model, flows_m3_s))
    inlet = Value("T_in", inlet_k, "temperature")
    rows = tuple(
        (head, tuple(_rise_cell(cell, inlet, number) for number, cell in enumerate(cells, 1)))
        for head, cells in outlets.rows
    )
    title = say("rise-at-rating", voltage=rating.voltage_v, phases=rating.phases)
    return replace(outlets, title=title, rows=rows)


def rise_tables(prefix: str, model: HeaterModel, flows_m3_s: Sequence[float]) -> tuple[FigureTable, ...]:
    """Return `rise_table` for each rating of the nameplate, in its order."""
    return tuple(rise_table(prefix, model, rating, flows_m3_s=flows_m3_s) for rating in model.ratings)

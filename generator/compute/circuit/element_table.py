"""What a sound heater measures: the current and the element resistance of each stage, with the nameplate's tolerance.

How far a sound one lies from its nameplate: verdict/sound_element.py.
"""

from __future__ import annotations

from generator.compute.circuit.values import percent
from generator.compute.heat.figures.stages import stage_results
from generator.compute.sources import sources
from generator.compute.verdict.sound_element import sound_a, sound_ohm
from generator.model.figures import BoundKind, Figure, FigureTable, Step, Value
from generator.model.heater import HeaterModel, Rating
from generator.model.results import StageResult
from generator.model.said import say
from generator.model.tables.tolerances import Tolerances

NOTE, BY_LINE = say("elements-note"), say("elements-by-line")

_CURRENT = (say("current-to-stage"), say("current-least"), say("current-greatest"))
_RESISTANCE = (say("resistance-column"), say("resistance-least"), say("resistance-greatest"))


def element_tables(model: HeaterModel, held_to: Tolerances) -> tuple[FigureTable, ...]:
    """Return one table a nameplate rating: a row a stage, its current and resistance with their ranges.

    Without current where stages stand across pairs of three lines: what each line carries then depends on the feed.
    """
    return tuple(_table(model, rating, held_to) for rating in model.ratings)


def _table(model: HeaterModel, rating: Rating, held_to: Tolerances) -> FigureTable:
    prefix = f"model.{model.id}.elements.{rating.voltage_v:.0f}-v-{rating.phases}-phase"
    results = stage_results(prefix, model, rating.voltage_v, phases=rating.phases)
    by_line = rating.phases == 3 and any(stage.lines for stage in model.stages)
    first, subject = (len(_CURRENT), say("element-resistances")) if by_line else (0, say("currents-and-resistances"))
    three = rating.phases == 3
    title = (
        say("elements-three-phase", model=model.title, subject=subject)
        if three
        else say("elements-single-phase", model=model.title, subject=subject)
    )
    rows = tuple((Value("stage", float(stage.number), "count"), _row(stage, held_to)[first:]) for stage in results)
    return FigureTable(
        prefix,
        title,
        say("stage-column"),
        tuple(Value(column, column, "text") for column in (*_CURRENT, *_RESISTANCE)[first:]),
        rows,
        BY_LINE if by_line else NOTE,
        (Value(say("rated-voltage"), rating.voltage_v, "voltage"),),
    )


def _row(stage: StageResult, held_to: Tolerances) -> tuple[Figure, ...]:
    current, resistance, taken, cold = stage.current, stage.element_resistance, held_to.input, held_to.cold_resistance
    below, above = percent("below", taken.below), percent("above", taken.above)
    least_a, greatest_a = sound_a(float(current.steps[-1].result.value), held_to)
    least_ohm, greatest_ohm = sound_ohm(float(resistance.steps[-1].result.value), held_to)
    low, by_both = (percent("cold", cold.below), above), sources(taken.source, cold.source)
    return (
        current,
        _end(current, least_a, "at_most", formula="I_least = I × (1 − below)", by=(below,), source=taken.source),
        _end(current, greatest_a, "at_least", formula="I_greatest = I × (1 + above)", by=(above,), source=taken.source),
        resistance,
        _end(
            resistance, least_ohm, "at_most", formula="R_least = R × (1 − cold) / (1 + above)", by=low, source=by_both
        ),
        _end(
            resistance,
            greatest_ohm,
            "at_least",
            formula="R_greatest = R / (1 − below)",
            by=(below,),
            source=taken.source,
        ),
    )


def _end(of: Figure, value: float, bound: BoundKind, *, formula: str, by: tuple[Value, ...], source: str) -> Figure:
    """Return one end of the range of a figure of the same stage, with the working that leads to it."""
    symbol = formula.partition(" ")[0]
    step = Step(formula, (of.steps[-1].result, *by), Value(symbol, value, of.kind, bound), source)
    name = symbol.partition("_")[2]
    label = say("least-of", figure=of.label) if name == "least" else say("greatest-of", figure=of.label)
    return Figure(f"{of.id}.{name}", label, value, of.kind, bound, (*of.steps, step))

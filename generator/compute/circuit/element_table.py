"""What a sound heater measures: the current and the element resistance of each stage, with the nameplate's tolerance.

The input of a heating appliance at rated voltage may lie from 10 % below to 5 % above its marking: IEC 60335-1 (2010)
10.1, table 1, from memory. Resistance goes inversely with power. A heating alloy measures cold up to 5 % below its hot
resistance (common practice, no source), so the low end of the resistance is lowered by as much again.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.heat.figures.stages import stage_results
from generator.model.figures import Figure, FigureTable, Side, Step, Value
from generator.model.heater import HeaterModel, Rating
from generator.model.results import StageResult

INPUT_ABOVE, INPUT_BELOW, COLD = 0.05, 0.10, 0.05
TOLERANCE = "IEC 60335-1 (2010) 10.1, table 1, from memory: input from 10 % below to 5 % above its marking"
COLD_SOURCE = f"{TOLERANCE}; cold resistance up to 5 % below hot: common practice, no source"


@dataclass(frozen=True, slots=True)
class End:
    """One end of what a sound stage measures, as a factor of the nominal value."""

    symbol: str
    formula: str
    factor: float
    side: Side
    source: str


CURRENT_ENDS = (
    End("I_least", "I × (1 − 10 %)", 1.0 - INPUT_BELOW, "down", TOLERANCE),
    End("I_greatest", "I × (1 + 5 %)", 1.0 + INPUT_ABOVE, "up", TOLERANCE),
)
RESISTANCE_ENDS = (
    End("R_least", "R × (1 − 5 %) / (1 + 5 %)", (1.0 - COLD) / (1.0 + INPUT_ABOVE), "down", COLD_SOURCE),
    End("R_greatest", "R / (1 − 10 %)", 1.0 / (1.0 - INPUT_BELOW), "up", TOLERANCE),
)

NOTE = (
    "Currents are for rated voltage; at another, multiply by measured voltage over rated voltage. Resistance is one "
    "stage's own, measured with the circuit locked out and one lead of the element off."
)
BY_LINE = (
    "Each stage stands across one pair of lines, so that the lines carry different currents. Resistance is one stage's "
    "own, measured with the circuit locked out and one lead of the element off."
)

_CURRENT = ("Current, stages 1 to n", "Current, least", "Current, greatest")
_RESISTANCE = ("Element resistance", "Resistance, least", "Resistance, greatest")


def element_tables(model: HeaterModel) -> tuple[FigureTable, ...]:
    """Return one table a nameplate rating: a row a stage, its current and resistance with their ranges.

    Without current where stages stand across pairs of three lines: what each line carries then depends on the feed.
    """
    return tuple(_table(model, rating) for rating in model.ratings)


def _table(model: HeaterModel, rating: Rating) -> FigureTable:
    prefix = f"model.{model.id}.elements.{rating.voltage_v:.0f}-v-{rating.phases}-phase"
    results = stage_results(prefix, model, rating.voltage_v, phases=rating.phases)
    by_line = rating.phases == 3 and any(stage.lines for stage in model.stages)
    first, subject = (len(_CURRENT), "element resistance") if by_line else (0, "current and element resistance")
    rows = tuple((Value("stage", float(stage.number), "count"), _row(stage)[first:]) for stage in results)
    return FigureTable(
        prefix,
        f"{model.title}: {subject}, {'three-phase' if rating.phases == 3 else 'single-phase'}",
        "Stage",
        tuple(Value(column, column, "text") for column in (*_CURRENT, *_RESISTANCE)[first:]),
        rows,
        BY_LINE if by_line else NOTE,
        (Value("rated voltage", rating.voltage_v, "voltage"),),
    )


def _row(stage: StageResult) -> tuple[Figure, ...]:
    current, resistance = stage.current, stage.element_resistance
    return (
        current,
        *(_end(current, end) for end in CURRENT_ENDS),
        resistance,
        *(_end(resistance, end) for end in RESISTANCE_ENDS),
    )


def _end(of: Figure, end: End) -> Figure:
    """Return one end of the range of a figure of the same stage, with the working that leads to it."""
    nominal = of.steps[-1].result
    value = float(nominal.value) * end.factor
    step = Step(f"{end.symbol} = {end.formula}", (nominal,), Value(end.symbol, value, of.kind, end.side), end.source)
    name = end.symbol.partition("_")[2]
    return Figure(f"{of.id}.{name}", f"{of.label}, {name}", value, of.kind, end.side, (*of.steps, step))

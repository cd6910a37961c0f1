"""What one feed carries and brings at work, stage by stage, the voltage drop of its circuit counted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from generator.compute.circuit.divider import KIRCHHOFF
from generator.compute.circuit.drop_figures import current_figure, power_figure
from generator.compute.circuit.load import Load
from generator.compute.circuit.voltage_drop import Run
from generator.compute.circuit.working import count
from generator.model.figures import Figure, Step, Value

_Make = Callable[[Load, Run, int, str, str], Figure]


def expected_by_stage(load: Load, run: Run) -> tuple[Figure, ...]:
    """Return the feed's greatest line current [A] with 1, 2, ... stages of the heater closed; 0 while none is its own.

    Ids `<feed>.expected.<n>`.
    """
    return _by_stage(load, run, current_figure, f"{load.id}.expected", f"Expected current, feed {load.name}")


def power_by_stage(load: Load, run: Run) -> tuple[Figure, ...]:
    """Return the power [W] that this feed brings the heater with 1, 2, ... stages of the heater closed.

    Ids `<feed>.delivered.<n>`.
    """
    return _by_stage(load, run, power_figure, f"{load.id}.delivered", f"Power at the heater, feed {load.name}")


def expected_current(by_stage: tuple[Figure, ...], load: Load, selected: int | None) -> Figure:
    """Return the expected current with the `selected` stages closed (None: all), under the id `<feed>.expected`."""
    found = by_stage[(selected or len(by_stage)) - 1]
    return replace(found, id=f"{load.id}.expected", label=f"Expected current, feed {load.name}, stages in use closed")


def _by_stage(load: Load, run: Run, make: _Make, id: str, label: str) -> tuple[Figure, ...]:
    found = []
    for number in range(1, len(load.all_stages) + 1):
        own = sum(stage <= number for stage in load.feed.stages)
        named = make(load, run, max(own, 1), f"{id}.{number}", f"{label}, stage {number}")
        found.append(named if own else _nothing(named, number))
    return tuple(found)


def _nothing(figure: Figure, number: int) -> Figure:
    """Return the figure as 0, with the reason as its working."""
    symbol = figure.steps[-1].result.symbol
    closed, zero = count("stages closed", number), Value(symbol, 0.0, figure.kind)
    step = Step(f"{symbol} = 0, since none of the closed stages is on this feed", (closed,), zero, KIRCHHOFF)
    return replace(figure, value=0.0, steps=(step,))

"""What one feed carries and brings at work, stage by stage, the voltage drop of its circuit counted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from generator.compute.circuit.divider import KIRCHHOFF, is_balanced
from generator.compute.circuit.drop_figures import current_figure, line_figure, power_figure
from generator.compute.circuit.load import Load
from generator.compute.circuit.voltage_drop import Run
from generator.compute.circuit.working import count
from generator.model.figures import Figure, Step, Value
from generator.model.results import LINES

_Make = Callable[[Load, Run, int, str, str], Figure]


def line_currents(load: Load, run: Run) -> tuple[tuple[Figure, ...], ...]:
    """Return the current [A] of each line with 1, 2, ... stages of the heater closed, as CircuitResult describes.

    0 while no closed stage is the feed's own. Ids `<feed>.expected.<n>`, of three lines `<feed>.expected.<n>.l1` on.
    """
    id, label = f"{load.id}.expected", f"Expected current, feed {load.name}"
    if is_balanced(load.stages, load.connection):
        return tuple((figure,) for figure in _by_stage(load, run, current_figure, id, label))
    columns = (_by_stage(load, run, partial(_line, place), id, label) for place in range(len(LINES)))
    return tuple(zip(*columns, strict=True))


def power_by_stage(load: Load, run: Run) -> tuple[Figure, ...]:
    """Return the power [W] that this feed brings the heater with 1, 2, ... stages of the heater closed.

    Ids `<feed>.delivered.<n>`.
    """
    return _by_stage(load, run, power_figure, f"{load.id}.delivered", f"Power at the heater, feed {load.name}")


def expected_current(by_stage: tuple[tuple[Figure, ...], ...], load: Load, selected: int | None) -> Figure:
    """Return the greatest line current with the `selected` stages closed (None: all); its id is `<feed>.expected`.

    Of lines that carry the same, the first, whatever the last digits of a float say.
    """
    row = by_stage[(selected or len(by_stage)) - 1]
    found = max(row, key=lambda figure: round(float(figure.value or 0.0), 9))
    return replace(found, id=f"{load.id}.expected", label=f"Expected current, feed {load.name}, stages in use closed")


def _line(place: int, load: Load, run: Run, number: int, id: str, label: str) -> Figure:
    return line_figure(load, run, number, place, f"{id}.{LINES[place].lower()}", label)


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

"""The current that a clamp on one line of one feed shows at work, the voltage drop of the circuit counted."""

from __future__ import annotations

from dataclasses import replace

from generator.compute.circuit.divider import KIRCHHOFF
from generator.compute.circuit.drop_figures import current_figure
from generator.compute.circuit.load import Load
from generator.compute.circuit.voltage_drop import Run
from generator.compute.circuit.working import amps, count
from generator.model.figures import Figure, Step


def expected_by_stage(load: Load, run: Run) -> tuple[Figure, ...]:
    """Return the feed's greatest line current [A] with 1, 2, ... stages of the heater closed; 0 while none is its own.

    Ids `<feed>.expected.<n>`.
    """
    return tuple(_expected(load, run, number) for number in range(1, len(load.all_stages) + 1))


def expected_current(by_stage: tuple[Figure, ...], load: Load, selected: int | None) -> Figure:
    """Return that current with the `selected` stages closed (None: all), under the id `<feed>.expected`."""
    found = by_stage[(selected or len(by_stage)) - 1]
    return replace(found, id=f"{load.id}.expected", label=f"Expected current, feed {load.name}, stages in use closed")


def _expected(load: Load, run: Run, number: int) -> Figure:
    id, label = f"{load.id}.expected.{number}", f"Expected current, feed {load.name}, stage {number}"
    own = sum(stage <= number for stage in load.feed.stages)
    if own:
        return current_figure(load, run, own, id, label)
    step = Step(
        "I = 0, no stage of the feed being closed", (count("stages closed", number),), amps("I", 0.0), KIRCHHOFF
    )
    return Figure(id, label, 0.0, "current", "up", (step,))

"""What one feed carries and brings at work, stage by stage, the voltage drop of its circuit counted."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.drop.divider import KIRCHHOFF, is_balanced
from generator.compute.circuit.drop.drop_figures import current_figure, line_figure, power_figure
from generator.compute.circuit.drop.voltage_drop import Wires, at_stage, own_stages
from generator.compute.circuit.load import Load
from generator.compute.circuit.values import count
from generator.model.figures import Figure, Step, Value
from generator.model.results import LINES
from generator.model.said import say

Make = Callable[[int, str, str], Figure]  # stages of the feed closed, id, label


def line_currents(circuit: Circuit, wires: Wires) -> tuple[tuple[Figure, ...], ...]:
    """Return the current [A] of each line with 1, 2, ... stages of the heater closed, as CircuitResult describes.

    0 while no closed stage is the feed's own. Ids `<feed>.expected.<n>`, of three lines `<feed>.expected.<n>.l1` on.
    """

    def line(place: int) -> Make:
        end = f".{LINES[place].lower()}"
        return lambda own, id_, label: line_figure(circuit, wires, own, line=place, id_=f"{id_}{end}", label=label)

    def every(own: int, id_: str, label: str) -> Figure:
        return current_figure(circuit, wires, own, id_=id_, label=label)

    load = circuit.load
    makes = [every] if is_balanced(load.stages, load.connection) else [line(place) for place in range(len(LINES))]
    id_, label = f"{load.id}.expected", say("expected-current", feed=load.name)
    return tuple(zip(*(_by_stage(load, make, id_=id_, label=label) for make in makes), strict=True))


def power_by_stage(circuit: Circuit, wires: Wires) -> tuple[Figure, ...]:
    """Return the power [W] that this feed brings the heater with 1, 2, ... stages of the heater closed.

    Ids `<feed>.delivered.<n>`.
    """

    def make(own: int, id_: str, label: str) -> Figure:
        return power_figure(circuit, wires, own, id_=id_, label=label)

    load = circuit.load
    return _by_stage(load, make, id_=f"{load.id}.delivered", label=say("power-of-feed", feed=load.name))


def expected_current(circuit: Circuit, wires: Wires, by_stage: tuple[tuple[Figure, ...], ...]) -> Figure:
    """Return the greatest line current with the stages in use closed; its id is `<feed>.expected`.

    Of lines that carry the same, the first, whatever the last digits of a float say. `by_stage`: the figures of
    `line_currents`. All stages are in use of a model alone.
    """
    load = circuit.load
    number = circuit.laid.selected if circuit.laid else len(load.all_stages)
    own, row = own_stages(load, number), by_stage[number - 1]
    lines_a = [round(line_a, 9) for line_a in at_stage(load, wires, own).lines_a] if own else [0.0]
    found = row[lines_a.index(max(lines_a))]
    return replace(found, id=f"{load.id}.expected", label=say("expected-in-use", feed=load.name))


def _by_stage(load: Load, make: Make, *, id_: str, label: str) -> tuple[Figure, ...]:
    found = []
    for number in range(1, len(load.all_stages) + 1):
        own = own_stages(load, number)
        named = make(max(own, 1), f"{id_}.{number}", say("at-stage", figure=label, stage=number))
        found.append(named if own else _nothing(named, number))
    return tuple(found)


def _nothing(figure: Figure, number: int) -> Figure:
    """Return the figure as 0, with the reason as its working."""
    symbol = figure.steps[-1].result.symbol
    closed, zero = count(say("stages-closed"), number), Value(symbol, 0.0, figure.kind)
    step = Step(say("none-of-feed", symbol=symbol), (closed,), zero, KIRCHHOFF)
    return replace(figure, value=0.0, steps=(step,))

"""Voltage drop as figures and tables, each with its working."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import reduce

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.drop.divider import KIRCHHOFF, Delivered, conductors_in_series, is_balanced, load_ohm
from generator.compute.circuit.drop.voltage_drop import (
    Wires,
    at_stage,
    greatest_conductor_ohm,
    power_without_drop_w,
    rise_lost,
    size_for_drop,
)
from generator.compute.circuit.load import Load
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.values import amps, count, percent, slug, text, volts
from generator.compute.sources import NAMEPLATE
from generator.model.figures import Figure, FigureTable, Step, Value
from generator.model.results import LINES
from generator.model.said import say
from generator.si import added

HEADS = (
    say("current-head"),
    say("drop-head"),
    say("drop-of-supply-head"),
    say("power-at-heater-head"),
    say("rise-lost-head"),
)
# The recommended limits of the drop, by what is supplied.
SUPPLIED = {
    "branch-circuit": say("branch-circuit"),
    "feeder-and-branch-circuit": say("feeder-and-branch"),
    "other-uses": say("other-uses"),
}


def drop_figures(circuit: Circuit, wires: Wires) -> tuple[Figure, ...]:
    """Return drop [V], its ratio, the power left [W] and the share of power and rise lost, all stages closed.

    Each label names the conductors: beside an existing circuit the size to lay has a drop of its own.
    """
    load = circuit.load
    return tuple(
        replace(figure, label=say("with-size", figure=figure.label, size=wires.size))
        for figure in _figures(circuit, wires, len(load.stages), id_=load.id)[1:]
    )


def drop_table(circuit: Circuit, wires: Wires) -> FigureTable:
    """Return current, drop, power at the heater and rise lost for stages 1 to n of the feed, n rising."""
    load = circuit.load
    id_ = f"{load.id}.voltage-drop"
    columns = tuple(text("column", head) for head in HEADS)
    rows = tuple(
        (count("stages", number), _figures(circuit, wires, number, id_=f"{id_}.{number}"))
        for number in range(1, len(load.stages) + 1)
    )
    title = say("drop-at-stages", feed=load.name)
    conductors = (text(say("line-conductors-of"), wires.size),)
    return FigureTable(id_, title, say("stages-closed"), columns, rows, say("in-order"), conductors)


def current_figure(circuit: Circuit, wires: Wires, number: int, *, id_: str, label: str) -> Figure:
    """Return the greatest line current [A] with stages 1 to `number` of the feed closed, the drop counted."""
    found = at_stage(circuit.load, wires, number)
    power = power_figure(circuit, wires, number, id_=id_, label=label)
    steps = (*power.steps, _current_step(circuit.load, found, number))
    return Figure(id_, label, found.current_a, "current", "at_least", steps)


def line_figure(circuit: Circuit, wires: Wires, number: int, *, line: int, id_: str, label: str) -> Figure:
    """Return the current [A] of line `line` (0 for L1) with stages 1 to `number` of the feed closed, the drop counted.

    Only of a feed with stages across pairs of three lines; of any other, each line carries `current_figure`.
    """
    load, found = circuit.load, at_stage(circuit.load, wires, number).line_a(line)
    symbol, steps = f"I_{LINES[line]}", _wire_steps(circuit, wires, number)[:-2]
    across = text(say("stages-across"), _across(load, number))
    inputs = (volts("V", load.connection.voltage_v), *(one.result for one in steps[1:]), across)
    step = Step(say("by-nodes", symbol=symbol), inputs, amps(symbol, found, "at_least"), KIRCHHOFF)
    return Figure(id_, say("of-line", figure=label, line=LINES[line]), found, "current", "at_least", (*steps, step))


def _across(load: Load, number: int) -> str:
    """Return between which lines stages 1 to `number` stand, in order."""
    pairs = (stage.lines or say("all-three") for stage in load.stages[:number])
    return reduce(lambda one, other: say("one-and-other", one=one, other=other), pairs)


def power_figure(circuit: Circuit, wires: Wires, number: int, *, id_: str, label: str) -> Figure:
    """Return the power [W] that reaches the heater with stages 1 to `number` of the feed closed."""
    found = at_stage(circuit.load, wires, number)
    steps = (*_wire_steps(circuit, wires, number), _power_step(circuit.load, found, number))
    return Figure(id_, label, found.power_w, "power", "at_most", steps)


def conductor_for_drop(circuit: Circuit, wires: Wires) -> Figure:
    """Return the first size that keeps the drop within the least limit as a figure, without value where none does."""
    load, wanted = circuit.load, size_for_drop(circuit.load, wires)
    id_, label = f"{load.id}.conductor-for-drop", say("conductors-for-drop", limit=wires.limit * 100)
    if wanted is None:
        reason = say("no-size-for-drop", size=wires.sizes[-1])
        return Figure(id_, label, None, "text", state="none", reason=reason)
    larger, closed = replace(wires, size=wanted), len(load.stages)
    steps = (*_wire_steps(circuit, larger, closed), _ratio_step(at_stage(load, larger, closed)))
    limit = Step(say("drop-within"), (steps[-1].result, percent("limit", wires.limit)), text("S", wanted), KIRCHHOFF)
    return Figure(id_, label, wanted, "text", "at_least", (*steps, limit))


def longest_runs(circuit: Circuit, wires: Wires) -> FigureTable:
    """Return the longest run one way for each limit, of the chosen size and of larger ones that the terminals take."""
    load, largest = circuit.load, circuit.terminals.largest
    sizes = [size for size in wires.sizes if size == wires.sizes[0] or not smaller(largest, size)]
    columns = tuple(percent(SUPPLIED[name], limit) for name, limit in wires.limits.items())
    greatest = {name: greatest_conductor_ohm(load, limit) for name, limit in wires.limits.items()}
    rows = tuple((text("size", size), _longest_row(circuit, replace(wires, size=size), greatest)) for size in sizes)
    title, note = say("longest-run", feed=load.name), say("longest-run-note")
    return FigureTable(f"{load.id}.longest-run", title, say("conductor-head"), columns, rows, note)


def _figures(circuit: Circuit, wires: Wires, number: int, *, id_: str) -> tuple[Figure, ...]:
    load, found = circuit.load, at_stage(circuit.load, wires, number)
    lost, wire = rise_lost(load, wires, number), _wire_steps(circuit, wires, number)
    power = (*wire, _power_step(load, found, number))
    inputs = (Value("P", found.power_w, "power"), Value("P_0", power_without_drop_w(load, number), "power"))
    lost_step = Step(say("lost-share"), inputs, percent("lost", lost, "at_least"), KIRCHHOFF)
    ratio = (*wire, _ratio_step(found))
    return (
        current_figure(circuit, wires, number, id_=f"{id_}.current", label=say("current")),
        Figure(f"{id_}.drop", say("drop"), found.drop_v, "voltage", "at_least", wire),
        Figure(f"{id_}.drop-ratio", say("drop-of-supply"), found.drop_ratio, "ratio", "at_least", ratio),
        power_figure(circuit, wires, number, id_=f"{id_}.power-at-heater", label=say("power-at-heater")),
        Figure(f"{id_}.rise-lost", say("rise-lost"), lost, "ratio", "at_least", (*power, lost_step)),
    )


def _wire_steps(circuit: Circuit, wires: Wires, number: int) -> tuple[Step, ...]:
    """Return the steps to the drop [V]: conductor, heater, divider."""
    load, stated = circuit.load, circuit.rules.resistance_step(wires.size)
    connection, closed = load.connection, load.stages[:number]
    found = at_stage(load, wires, number)
    series = conductors_in_series(connection)
    wire = Value("R_w", series * wires.conductor_ohm, "resistance", "at_least")
    supply, at_heater = volts("V", found.supply_v), Value("V_h", found.supply_v - found.drop_v, "voltage", "at_most")
    wire_step = Step(
        "R_w = n × r × L", (count("n", series), stated.result, Value("L", wires.length_m, "length")), wire, KIRCHHOFF
    )
    element = Value("R_h", load_ohm(closed, connection), "resistance")
    rated = added(stage.share for stage in closed) * connection.rating.power_w
    inputs = (volts("V_rated", connection.rating.voltage_v), Value("P_closed", rated, "power"))
    heater_step = Step("R_h = V_rated² / P_closed", inputs, element, NAMEPLATE)
    formula = "V_h = V × R_h / (R_h + R_w)" if is_balanced(closed, connection) else say("by-nodes", symbol="V_h")
    divided = Step(formula, (supply, element, wire), at_heater, KIRCHHOFF)
    dropped = Step("ΔV = V − V_h", (supply, at_heater), Value("ΔV", found.drop_v, "voltage", "at_least"), KIRCHHOFF)
    return stated, wire_step, heater_step, divided, dropped


def _ratio_step(found: Delivered) -> Step:
    inputs = (Value("ΔV", found.drop_v, "voltage", "at_least"), volts("V", found.supply_v))
    return Step("d = ΔV / V", inputs, percent("d", found.drop_ratio, "at_least"), KIRCHHOFF)


def _power_step(load: Load, found: Delivered, number: int) -> Step:
    closed = load.stages[:number]
    inputs = (
        Value("V_h", found.supply_v - found.drop_v, "voltage", "at_most"),
        Value("R_h", load_ohm(closed, load.connection), "resistance"),
    )
    formula = "P = V_h² / R_h" if is_balanced(closed, load.connection) else say("by-nodes", symbol="P")
    return Step(formula, inputs, Value("P", found.power_w, "power", "at_most"), KIRCHHOFF)


def _current_step(load: Load, found: Delivered, number: int) -> Step:
    inputs = (Value("P", found.power_w, "power"), Value("V_h", found.supply_v - found.drop_v, "voltage", "at_most"))
    if not is_balanced(load.stages[:number], load.connection):
        formula = say("greatest-by-nodes")
    else:
        formula = "I = P / (√3 × V_h)" if load.connection.phases == 3 else "I = P / V_h"
    return Step(formula, inputs, amps("I", found.current_a, "at_least"), KIRCHHOFF)


def _longest_row(circuit: Circuit, wires: Wires, greatest: Mapping[str, float]) -> tuple[Figure, ...]:
    load, stated, ohm_m = circuit.load, circuit.rules.resistance_step(wires.size), wires.resistance_ohm_m(wires.size)
    cells = []
    for name, limit in wires.limits.items():
        longest = Value("L", greatest[name] / ohm_m, "length", "at_most")
        most = _greatest_step(load, limit, greatest[name])
        step = Step("L = R_most / r", (most.result, stated.result), longest, KIRCHHOFF)
        id_ = f"{load.id}.longest-run.{slug(wires.size)}.{name}"
        label = say("longest-run-of", size=wires.size)
        cells.append(Figure(id_, label, greatest[name] / ohm_m, "length", "at_most", (most, stated, step)))
    return tuple(cells)


def _greatest_step(load: Load, limit: float, ohm: float) -> Step:
    element = Value("R_h", load_ohm(load.stages, load.connection), "resistance")
    series = count("n", conductors_in_series(load.connection))
    balanced = is_balanced(load.stages, load.connection)
    formula = "R_most = R_h × d / (1 − d) / n" if balanced else say("resistance-by-nodes")
    most = Value("R_most", ohm, "resistance", "at_most")
    return Step(formula, (element, percent("d", limit), series), most, KIRCHHOFF)

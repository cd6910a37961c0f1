"""Voltage drop on the true circuit, at each stage, with what it costs in power and how far each size may run."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from generator.compute.circuit.divider import (
    KIRCHHOFF,
    Delivered,
    conductor_ohm_for_drop,
    conductors_in_series,
    deliver,
    is_balanced,
    load_ohm,
)
from generator.compute.circuit.load import Load
from generator.compute.circuit.working import percent, ratio, slug, text, volts
from generator.model.figures import Figure, FigureTable, Step, Value

# size -> (resistance [ohm/m], the step that states it)
ResistanceOf = Callable[[str], tuple[float, Step]]


@dataclass(frozen=True, slots=True)
class Run:
    """The conductors between panel and heater: size, length one way [m], and how to find a size's resistance.

    `sizes`: the sizes that may be used, rising. `limits`: recommended limits of the drop (name to ratio), rising.
    """

    size: str
    length_m: float
    resistance_of: ResistanceOf
    sizes: tuple[str, ...]
    limits: Mapping[str, float]

    @property
    def conductor_ohm(self) -> float:
        """Resistance [ohm] of one conductor from panel to heater."""
        return self.resistance_of(self.size)[0] * self.length_m

    @property
    def limit(self) -> float:
        """The least of the recommended limits."""
        return min(self.limits.values())


def worst_drop_ratio(load: Load, run: Run) -> float:
    """Return the greatest voltage drop over the supply voltage, of all the stages of a feed."""
    return max(_at_stage(load, run, number).drop_ratio for number in range(1, len(load.stages) + 1))


def drop_figures(load: Load, run: Run) -> tuple[Figure, ...]:
    """Return drop [V], drop ratio and the share of power lost with every stage of the feed closed, with working."""
    found = _at_stage(load, run, len(load.stages))
    steps = _divider_steps(load, run)
    lost = 1.0 - found.power_w / load.supply_power_w
    lost_step = Step(
        "lost = 1 - P / P0, and so is the rise, which goes with the power",
        (Value("P", found.power_w, "power"), Value("P0", load.supply_power_w, "power")),
        percent("lost", lost, "up"),
        KIRCHHOFF,
    )
    return (
        Figure(f"{load.id}.drop", "Voltage drop", found.drop_v, "voltage", "up", steps),
        Figure(f"{load.id}.drop-ratio", "Voltage drop, of the supply", found.drop_ratio, "ratio", "up", steps),
        Figure(f"{load.id}.power-at-heater", "Power at the heater", found.power_w, "power", "down", steps),
        Figure(f"{load.id}.rise-lost", "Power and rise lost", lost, "ratio", "up", (*steps, lost_step)),
    )


def drop_table(load: Load, run: Run) -> FigureTable:
    """Return current, drop, power at the heater and rise lost for stages 1 to n of the feed, n rising."""
    heads = ("current", "drop", "drop, of the supply", "power at the heater", "power and rise lost")
    columns = tuple(text("column", head) for head in heads)
    rows = tuple(_drop_row(load, run, number) for number in range(1, len(load.stages) + 1))
    title = f"Voltage drop at each stage, feed {load.name}"
    return FigureTable(f"{load.id}.voltage-drop", title, "stages closed", columns, rows, "of this feed, in order")


def size_for_drop(load: Load, run: Run) -> str | None:
    """Return the first size that keeps the drop within the least limit, or None."""
    return next((size for size in run.sizes if worst_drop_ratio(load, replace(run, size=size)) <= run.limit), None)


def conductor_for_drop(load: Load, run: Run) -> Figure:
    """Return the first size that keeps the drop within the least limit as a figure, without value where none does."""
    wanted = size_for_drop(load, run)
    id, label = f"{load.id}.conductor-for-drop", f"Line conductors for a drop within {run.limit * 100:g} %"
    if wanted is None:
        reason = f"no size to {run.sizes[-1]} keeps the drop so low on this run"
        return Figure(id, label, None, "text", state="none", reason=reason)
    return Figure(id, label, wanted, "text", "up", _divider_steps(load, replace(run, size=wanted)))


def longest_run_m(load: Load, run: Run, limit: float) -> float:
    """Return the longest run [m], one way, of the run's size that keeps the drop within the ratio `limit`.

    In closed form; where stages stand across pairs of three lines, by bisection to a billionth.
    """
    if is_balanced(load.stages, load.connection):
        ohm = conductor_ohm_for_drop(load_ohm(load.stages, load.connection), limit, load.connection)
        return ohm / run.resistance_of(run.size)[0]
    return _bisect(lambda length_m: worst_drop_ratio(load, replace(run, length_m=length_m)) - limit)


def longest_runs(load: Load, run: Run) -> FigureTable:
    """Return the longest run one way of each size for each limit."""
    columns = tuple(percent(name, limit) for name, limit in run.limits.items())
    rows = tuple((text("size", size), _longest_row(load, replace(run, size=size))) for size in run.sizes)
    title = f"Longest run one way, feed {load.name}"
    return FigureTable(f"{load.id}.longest-run", title, "conductor", columns, rows, "all stages closed")


def _longest_row(load: Load, run: Run) -> tuple[Figure, ...]:
    resistance, stated = run.resistance_of(run.size)
    element = Value("Rh", load_ohm(load.stages, load.connection), "resistance")
    series = ratio("n", conductors_in_series(load.connection))
    cells = []
    for name, limit in run.limits.items():
        longest = longest_run_m(load, run, limit)
        inputs = (element, percent("d", limit), series, Value("r", resistance, "resistance_per_length"))
        step = Step("L = Rh x d / (1 - d) / (n x r)", inputs, Value("L", longest, "length", "down"), KIRCHHOFF)
        id = f"{load.id}.longest-run.{slug(run.size)}.{slug(name)}"
        cells.append(Figure(id, f"Longest run of {run.size}", longest, "length", "down", (stated, step)))
    return tuple(cells)


def _at_stage(load: Load, run: Run, number: int) -> Delivered:
    return deliver(load.stages[:number], load.connection, run.conductor_ohm, load.connection.voltage_v)


def _drop_row(load: Load, run: Run, number: int) -> tuple[Value, tuple[Figure, ...]]:
    closed = load.stages[:number]
    found = _at_stage(load, run, number)
    without = deliver(closed, load.connection, 0.0, load.connection.voltage_v).power_w
    row = f"{load.id}.voltage-drop.{number}"
    cells = (
        Figure(f"{row}.current", "Current", found.current_a, "current", "up"),
        Figure(f"{row}.drop", "Voltage drop", found.drop_v, "voltage", "up"),
        Figure(f"{row}.drop-ratio", "Voltage drop, of the supply", found.drop_ratio, "ratio", "up"),
        Figure(f"{row}.power", "Power at the heater", found.power_w, "power", "down"),
        Figure(f"{row}.rise-lost", "Power and rise lost", 1.0 - found.power_w / without, "ratio", "up"),
    )
    return Value("stages", number, "count"), cells


def _divider_steps(load: Load, run: Run) -> tuple[Step, ...]:
    _, stated = run.resistance_of(run.size)
    connection = load.connection
    series = conductors_in_series(connection)
    wire = Value("Rw", series * run.conductor_ohm, "resistance", "up")
    element = Value("Rh", load_ohm(load.stages, connection), "resistance")
    length = Value("L", run.length_m, "length", "up")
    found = _at_stage(load, run, len(load.stages))
    at_heater = volts("Vh", found.supply_v - found.drop_v)
    wire_step = Step("Rw = n x r x L", (ratio("n", series), stated.result, length), wire, KIRCHHOFF)
    heater_step = Step(
        "Rh = Vr^2 / Pr",
        (volts("Vr", connection.rating.voltage_v), Value("Pr", load.rated_power_w, "power")),
        element,
        "nameplate of the model",
    )
    if not is_balanced(load.stages, connection):
        formula = "Vh by nodal analysis of the three lines, the stages across their pairs"
    else:
        formula = "Vh = V x Rh / (Rh + Rw)"
    divided = Step(formula, (volts("V", found.supply_v), element, wire), at_heater, KIRCHHOFF)
    dropped = Step("drop = V - Vh", (volts("V", found.supply_v), at_heater), volts("drop", found.drop_v), KIRCHHOFF)
    return stated, wire_step, heater_step, divided, dropped


def _bisect(excess: Callable[[float], float]) -> float:
    low, high = 0.0, 1.0
    while excess(high) < 0.0:
        low, high = high, 2.0 * high
    while high - low > 1e-9 * high:
        middle = math.fsum((low, high)) / 2.0
        low, high = (middle, high) if excess(middle) < 0.0 else (low, middle)
    return low

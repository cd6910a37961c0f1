"""The figures and tables of one circuit, each with its working."""

from __future__ import annotations

from generator.compute.band import Band
from generator.compute.circuit.candidate import check_steps, governing
from generator.compute.circuit.candidate_table import candidate_table
from generator.compute.circuit.circuit import Circuit, Ground
from generator.compute.circuit.drop.drop_figures import conductor_for_drop, drop_figures, drop_table, longest_runs
from generator.compute.circuit.drop.expected_current import expected_current, line_currents, power_by_stage
from generator.compute.circuit.drop.voltage_drop import size_for_drop
from generator.compute.circuit.load_figures import band_current, connection_figures, load_current
from generator.compute.circuit.values import count
from generator.model.figures import Figure, FigureTable, Step
from generator.model.results import CircuitResult
from generator.model.said import say


def circuit_result(circuit: Circuit, band: Band | None = None) -> CircuitResult:
    """Return the circuit's figures and tables, with the greatest current over the band of a heater at a site."""
    load, rules, wires = circuit.load, circuit.rules, circuit.wires(circuit.installed)
    floor, recommended, ceiling, device = rules.rating_figures(circuit)
    by_stage = line_currents(circuit, wires)
    return CircuitResult(
        name=load.name,
        conductors=load.connection.conductors,
        load_current=load_current(load, rules.basis.rules.source_of("load-current")),
        floor=floor,
        recommended=recommended,
        ceiling=ceiling,
        device=device,
        poles=_poles(circuit),
        conductor=_conductor(circuit),
        ground=_ground(circuit, circuit.ground, key="ground", label=rules.GROUND),
        governing=governing(circuit.tried),
        expected_current=expected_current(circuit, wires, by_stage),
        line_currents=by_stage,
        power_by_stage=power_by_stage(circuit, wires),
        extra=(
            *connection_figures(load),
            *(asked(load, rules.basis) for asked in rules.DEVICE),
            *(() if band is None else (band_current(load, band),)),
            *_run_figures(circuit),
        ),
        tables=_tables(circuit),
    )


def _poles(circuit: Circuit) -> Figure:
    number, rules = circuit.rules.poles(circuit.load.connection), circuit.rules
    step = Step(rules.POLES, (), count("poles", number), rules.basis.rules.source_of("poles"))
    return Figure(f"{circuit.load.id}.poles", say("device-poles"), number, "count", "neither", (step,))


def _conductor(circuit: Circuit) -> Figure:
    chosen, rules = circuit.tried[-1], circuit.rules
    steps = (*rules.capacity_steps(chosen.capacity), *check_steps(chosen, rules.document))
    return Figure(f"{circuit.load.id}.conductor", say("line-conductors"), chosen.size, "text", "at_least", steps)


def _ground(circuit: Circuit, ground: Ground, *, key: str, label: str) -> Figure:
    return Figure(
        f"{circuit.load.id}.{key}", label, ground.size, "text", "at_least", circuit.rules.ground_steps(ground)
    )


def _run_figures(circuit: Circuit) -> tuple[Figure, ...]:
    if circuit.laid is None:
        return ()
    wires = circuit.wires(circuit.size)
    figures = (*drop_figures(circuit, wires), conductor_for_drop(circuit, wires))
    wanted = size_for_drop(circuit.load, wires)
    if wanted is None:
        return figures
    label = say("with-those", conductor=circuit.rules.GROUND)
    return (*figures, _ground(circuit, circuit.ground_beside(wanted), key="ground-for-drop", label=label))


def _tables(circuit: Circuit) -> tuple[FigureTable, ...]:
    wires, rules = circuit.wires(circuit.size), circuit.rules
    drop = () if circuit.laid is None else (drop_table(circuit, wires),)
    besides = (table for make in rules.TABLES for table in make(circuit.load, rules.basis))
    return (candidate_table(circuit), *drop, longest_runs(circuit, wires), *besides)

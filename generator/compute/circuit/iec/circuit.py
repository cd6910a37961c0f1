"""One circuit by IEC 60364, from its load to its protective conductor."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.circuit.candidate import Candidate, check_steps, governing
from generator.compute.circuit.drop_figures import conductor_for_drop, drop_figures, drop_table, longest_runs
from generator.compute.circuit.expected import expected_current, line_currents, power_by_stage
from generator.compute.circuit.iec.candidate_table import candidate_table
from generator.compute.circuit.iec.capacity import Capacity, capacity_steps
from generator.compute.circuit.iec.conditions import Conditions
from generator.compute.circuit.iec.conductor import candidates
from generator.compute.circuit.iec.protective import protective
from generator.compute.circuit.iec.rating import Ratings, rate, rating_figures
from generator.compute.circuit.iec.resistance import resistance
from generator.compute.circuit.laid import Laid
from generator.compute.circuit.load import Load
from generator.compute.circuit.load_figures import connection_figures, load_current
from generator.compute.circuit.voltage_drop import Run
from generator.compute.circuit.working import count
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, FigureTable, Step
from generator.model.heater import Terminals
from generator.model.results import CircuitResult


@dataclass(frozen=True, slots=True)
class Circuit:
    """A circuit with all that its findings are judged by. `laid` None: a model alone, with no run."""

    load: Load
    conditions: Conditions
    ratings: Ratings
    tried: tuple[Candidate[Capacity], ...]
    terminals: Terminals
    basis: CodeBasis
    laid: Laid | None

    @property
    def size(self) -> str:
        """The line conductors' size."""
        return self.tried[-1].size

    @property
    def installed(self) -> str:
        """The size of the conductors in the run: an existing circuit's where there is one, else the size to lay."""
        return (self.laid.existing if self.laid else None) or self.size

    @property
    def poles(self) -> int:
        """Poles of the device: every live conductor, neutral included."""
        return self.load.connection.lines + self.load.connection.neutral

    def run(self, size: str) -> Run:
        """Return the run with conductors of `size`; of no length for a model alone. Larger sizes may stand in."""
        sizes, drop = self.basis.header.sizes, self.basis.header.voltage_drop.other_uses
        assert drop is not None  # the reader asks every basis of this family for it
        return Run(
            size=size,
            length_m=self.laid.length_m if self.laid else 0.0,
            resistance_of=lambda name: resistance(name, self.basis),
            sizes=sizes[sizes.index(self.size) :],
            limits={"other uses": drop.limit},
        )


def design(
    load: Load, conditions: Conditions, terminals: Terminals, basis: CodeBasis, laid: Laid | None = None
) -> Circuit:
    """Return the circuit of one load under its conditions. CannotCompute for what the basis cannot state."""
    ratings = rate(load, basis)
    where = load.where if laid is None else ("route",)
    tried = candidates(load, ratings.device_a, conditions, terminals, basis, where)
    return Circuit(load, conditions, ratings, tried, terminals, basis, laid)


def result(circuit: Circuit) -> CircuitResult:
    """Return the circuit's figures and tables."""
    load, basis, chosen = circuit.load, circuit.basis, circuit.tried[-1]
    floor, recommended, ceiling, device = rating_figures(load, circuit.ratings, chosen.capacity.usable_a, basis)
    steps = (*capacity_steps(chosen.capacity, circuit.conditions, basis), *check_steps(chosen, ""))
    ground, ground_step = protective(circuit.size, basis)
    by_stage = line_currents(load, circuit.run(circuit.installed))
    return CircuitResult(
        name=load.name,
        conductors=load.connection.conductors,
        load_current=load_current(load, basis.rules.source_of("load-current")),
        floor=floor,
        recommended=recommended,
        ceiling=ceiling,
        device=device,
        poles=_poles(circuit),
        conductor=Figure(f"{load.id}.conductor", "Line conductors", circuit.size, "text", "up", steps),
        ground=Figure(f"{load.id}.ground", "Protective conductor", ground, "text", "up", (ground_step,)),
        governing=governing(circuit.tried),
        expected_current=expected_current(by_stage, load, circuit.laid.selected if circuit.laid else None),
        line_currents=by_stage,
        power_by_stage=power_by_stage(load, circuit.run(circuit.installed)),
        extra=(*connection_figures(load), *_run_figures(circuit)),
        tables=_tables(circuit),
    )


def _poles(circuit: Circuit) -> Figure:
    poles = count("poles", circuit.poles)
    step = Step("poles = live conductors, the neutral included", (), poles, circuit.basis.rules.source_of("poles"))
    return Figure(f"{circuit.load.id}.poles", "Poles of the device", circuit.poles, "count", "nearest", (step,))


def _run_figures(circuit: Circuit) -> tuple[Figure, ...]:
    if circuit.laid is None:
        return ()
    run = circuit.run(circuit.size)
    wanted = conductor_for_drop(circuit.load, run)
    figures = (*drop_figures(circuit.load, run), wanted)
    if wanted.value is None:
        return figures
    size, step = protective(str(wanted.value), circuit.basis)
    label = "Protective conductor with those"
    return (*figures, Figure(f"{circuit.load.id}.ground-for-drop", label, size, "text", "up", (step,)))


def _tables(circuit: Circuit) -> tuple[FigureTable, ...]:
    load, run = circuit.load, circuit.run(circuit.size)
    drop = () if circuit.laid is None else (drop_table(load, run),)
    return (
        candidate_table(load, circuit.tried, circuit.conditions, circuit.basis),
        *drop,
        longest_runs(load, run, circuit.terminals),
    )

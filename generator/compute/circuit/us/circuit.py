"""One branch circuit by NFPA 70, from its load to its grounding conductor."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.circuit.candidate import Candidate, check_steps, governing
from generator.compute.circuit.drop_figures import conductor_for_drop, drop_figures, drop_table, longest_runs
from generator.compute.circuit.expected import expected_current, line_currents, power_by_stage
from generator.compute.circuit.laid import Laid
from generator.compute.circuit.load import Load
from generator.compute.circuit.load_figures import connection_figures, load_current
from generator.compute.circuit.us.ampacity import Ampacity, ampacity_steps
from generator.compute.circuit.us.candidate_table import candidate_table
from generator.compute.circuit.us.conditions import Conditions
from generator.compute.circuit.us.conductor import candidates
from generator.compute.circuit.us.grounding import ground
from generator.compute.circuit.us.rating import Ratings, rate, rating_figures
from generator.compute.circuit.us.resistance import resistance
from generator.compute.circuit.us.subdivision import part_limit_a, parts_table
from generator.compute.circuit.voltage_drop import Run, size_for_drop
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
    tried: tuple[Candidate[Ampacity], ...]
    terminals: Terminals
    basis: CodeBasis
    laid: Laid | None

    @property
    def size(self) -> str:
        """The line conductors' size."""
        return self.tried[-1].size

    @property
    def needed(self) -> str:
        """The smallest size that carries the load; the heater's smallest terminal may ask for a larger one."""
        return next(one.size for one in self.tried if one.carries)

    @property
    def installed(self) -> str:
        """The size of the conductors in the run: an existing circuit's where there is one, else the size to lay."""
        return (self.laid.existing if self.laid else None) or self.size

    def run(self, size: str) -> Run:
        """Return the run with conductors of `size`; of no length for a model alone. Larger sizes may stand in."""
        sizes = self.conditions.sizes(self.basis)
        drop = self.basis.header.voltage_drop
        stated = {"branch circuit": drop.branch_circuit, "feeder and branch circuit": drop.feeder_and_branch_circuit}
        return Run(
            size=size,
            length_m=self.laid.length_m if self.laid else 0.0,
            resistance_of=lambda name: resistance(name, self.conditions, self.basis),
            sizes=sizes[sizes.index(self.size) :],
            limits={name: one.limit for name, one in stated.items() if one is not None},
        )


def design(
    load: Load,
    conditions: Conditions,
    terminals: Terminals,
    basis: CodeBasis,
    reason_not_continuous: str | None = None,
    laid: Laid | None = None,
) -> Circuit:
    """Return the circuit of one load under its conditions. CannotCompute for what the basis cannot state."""
    ratings = rate(load, basis, reason_not_continuous, part_limit_a(load))
    where = load.where if laid is None else ("route",)
    tried = candidates(load, ratings.factor, ratings.device_a, conditions, terminals, basis, where)
    return Circuit(load, conditions, ratings, tried, terminals, basis, laid)


def result(circuit: Circuit) -> CircuitResult:
    """Return the circuit's figures and tables."""
    load, by_stage = circuit.load, line_currents(circuit.load, circuit.run(circuit.installed))
    floor, recommended, ceiling, device = rating_figures(load, circuit.ratings, circuit.basis)
    return CircuitResult(
        name=load.name,
        conductors=load.connection.conductors,
        load_current=load_current(load, circuit.basis.rules.source_of("load-current")),
        floor=floor,
        recommended=recommended,
        ceiling=ceiling,
        device=device,
        poles=poles(load, circuit.basis),
        conductor=_conductor(circuit),
        ground=_ground(circuit, circuit.size, "ground", "Equipment grounding conductor"),
        governing=governing(circuit.tried),
        expected_current=expected_current(by_stage, load, circuit.laid.selected if circuit.laid else None),
        line_currents=by_stage,
        power_by_stage=power_by_stage(load, circuit.run(circuit.installed)),
        extra=(*connection_figures(load), *_run_figures(circuit)),
        tables=_tables(circuit),
    )


def poles(load: Load, basis: CodeBasis) -> Figure:
    """Return the poles of the device: one for each ungrounded conductor, 240.15(A)."""
    lines = load.connection.lines
    step = Step("poles = ungrounded conductors", (), count("poles", lines), basis.rules.source_of("poles"))
    return Figure(f"{load.id}.poles", "Poles of the device", lines, "count", "nearest", (step,))


def _conductor(circuit: Circuit) -> Figure:
    chosen = circuit.tried[-1]
    checks = check_steps(chosen, circuit.basis.rules.cite(""))
    steps = (*ampacity_steps(chosen.capacity, circuit.conditions, circuit.basis), *checks)
    return Figure(f"{circuit.load.id}.conductor", "Line conductors", chosen.size, "text", "up", steps)


def _ground(circuit: Circuit, installed: str, key: str, label: str) -> Figure:
    material, device_a = circuit.conditions.material, circuit.ratings.device_a
    size, steps = ground(device_a, material, circuit.needed, installed, circuit.basis)
    return Figure(f"{circuit.load.id}.{key}", label, size, "text", "up", steps)


def _run_figures(circuit: Circuit) -> tuple[Figure, ...]:
    if circuit.laid is None:
        return ()
    run = circuit.run(circuit.size)
    figures = (*drop_figures(circuit.load, run), conductor_for_drop(circuit.load, run))
    wanted = size_for_drop(circuit.load, run)
    if wanted is None:
        return figures
    return (*figures, _ground(circuit, wanted, "ground-for-drop", "Equipment grounding conductor with those"))


def _tables(circuit: Circuit) -> tuple[FigureTable, ...]:
    load, run = circuit.load, circuit.run(circuit.size)
    drop = () if circuit.laid is None else (drop_table(load, run),)
    return (
        candidate_table(load, circuit.tried, circuit.conditions, circuit.basis),
        *drop,
        longest_runs(load, run, circuit.terminals),
        *parts_table(load, circuit.basis),
    )

"""One branch circuit by NFPA 70, from its load to its grounding conductor."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.circuit.load import Load
from generator.compute.circuit.load_figures import connection_figures, load_current
from generator.compute.circuit.voltage_drop import Run, drop_figures, drop_table, longest_runs, size_for_drop
from generator.compute.circuit.working import amps, text
from generator.compute.circuit_us.ampacity import ampacity_steps
from generator.compute.circuit_us.candidate_table import candidate_table
from generator.compute.circuit_us.clauses import clause
from generator.compute.circuit_us.conditions import Conditions
from generator.compute.circuit_us.conductor import Candidate, Test, candidates, governing
from generator.compute.circuit_us.grounding import ground
from generator.compute.circuit_us.rating import Ratings, rate, rating_figures
from generator.compute.circuit_us.resistance import resistance
from generator.compute.circuit_us.subdivision import part_limit_a, parts_table
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, FigureTable, Step
from generator.model.heater import Terminals
from generator.model.results import CircuitResult


@dataclass(frozen=True, slots=True)
class Circuit:
    """A circuit with all that its findings are judged by. `length_m` None: a model alone, with no run."""

    load: Load
    conditions: Conditions
    ratings: Ratings
    tried: tuple[Candidate, ...]
    terminals: Terminals
    basis: CodeBasis
    length_m: float | None

    @property
    def size(self) -> str:
        """The line conductors' size."""
        return self.tried[-1].size

    def run(self, size: str) -> Run:
        """Return the run with conductors of `size`; of no length for a model alone."""
        return Run(size, self.length_m or 0.0, lambda name: resistance(name, self.conditions, self.basis))

    @property
    def larger_sizes(self) -> tuple[str, ...]:
        """The chosen size and every larger one of the basis."""
        sizes = self.basis.header.sizes
        return sizes[sizes.index(self.size) :]

    @property
    def drop_limits(self) -> dict[str, float]:
        """The recommended limits of voltage drop by name."""
        return {name.replace("_", " "): limit.limit for name, limit in self.basis.header.voltage_drop.items()}

    @property
    def size_for_drop(self) -> str | None:
        """The first size from the chosen one that meets the branch circuit's recommended limit, or None."""
        return size_for_drop(self.load, self.run(self.size), self.larger_sizes, self.drop_limits["branch circuit"])


def design(
    load: Load,
    conditions: Conditions,
    terminals: Terminals,
    basis: CodeBasis,
    reason_not_continuous: str | None = None,
    length_m: float | None = None,
) -> Circuit:
    """Return the circuit of one load under its conditions. CannotCompute for what the basis cannot state."""
    ratings = rate(load, basis, reason_not_continuous, part_limit_a(load))
    tried = candidates(load, ratings.factor, ratings.device_a, conditions, terminals, basis)
    return Circuit(load, conditions, ratings, tried, terminals, basis, length_m)


def result(circuit: Circuit) -> CircuitResult:
    """Return the circuit's figures and tables."""
    load = circuit.load
    floor, recommended, ceiling, device = rating_figures(load, circuit.ratings, circuit.basis)
    return CircuitResult(
        name=load.name,
        load_current=load_current(load, clause(circuit.basis, "422.10(A), 220.14(A)")),
        floor=floor,
        recommended=recommended,
        ceiling=ceiling,
        device=device,
        poles=poles(load, circuit.basis),
        conductor=_conductor(circuit),
        ground=_ground(circuit, circuit.size, "ground", "Equipment grounding conductor"),
        governing=governing(circuit.tried),
        extra=(*connection_figures(load), *_run_figures(circuit)),
        tables=_tables(circuit),
    )


def poles(load: Load, basis: CodeBasis) -> Figure:
    """Return the poles of the device: one for each ungrounded conductor, 240.15(A)."""
    lines = load.connection.lines
    step = Step(
        "a pole for each ungrounded conductor", (), text("poles", str(lines)), clause(basis, "240.15(A), 422.30")
    )
    return Figure(f"{load.id}.poles", "Poles of the device", lines, "count", "nearest", (step,))


def _conductor(circuit: Circuit) -> Figure:
    chosen = circuit.tried[-1]
    tests = (_test_step(test, circuit.basis) for test in chosen.tests)
    steps = (*ampacity_steps(chosen.ampacity, circuit.conditions, circuit.basis), *tests)
    return Figure(f"{circuit.load.id}.conductor", "Line conductors", chosen.size, "text", "up", steps)


def _test_step(test: Test, basis: CodeBasis) -> Step:
    inputs = (amps("needed", test.needed_a), amps("allowed", test.allowed_a))
    verdict = text("verdict", "passes" if test.passed else "fails")
    return Step(f"{test.rule}: needed not above allowed", inputs, verdict, clause(basis, test.clause))


def _ground(circuit: Circuit, installed: str, key: str, label: str) -> Figure:
    material, device_a = circuit.conditions.material, circuit.ratings.device_a
    size, steps = ground(device_a, material, circuit.size, installed, circuit.basis)
    return Figure(f"{circuit.load.id}.{key}", label, size, "text", "up", steps)


def _run_figures(circuit: Circuit) -> tuple[Figure, ...]:
    if circuit.length_m is None:
        return ()
    wanted = circuit.size_for_drop
    limit = circuit.drop_limits["branch circuit"]
    id, label = f"{circuit.load.id}.conductor-for-drop", f"Line conductors for a drop of {limit * 100:g} %"
    if wanted is None:
        reason = f"no size to {circuit.basis.header.sizes[-1]} keeps the drop so low on this run"
        return (
            *drop_figures(circuit.load, circuit.run(circuit.size)),
            Figure(id, label, None, "text", state="none", reason=reason),
        )
    return (
        *drop_figures(circuit.load, circuit.run(circuit.size)),
        Figure(id, label, wanted, "text", "up", drop_figures(circuit.load, circuit.run(wanted))[1].steps),
        _ground(circuit, wanted, "ground-for-drop", "Equipment grounding conductor with those"),
    )


def _tables(circuit: Circuit) -> tuple[FigureTable, ...]:
    load, run = circuit.load, circuit.run(circuit.size)
    runs = longest_runs(load, circuit.larger_sizes, run.resistance_of, circuit.drop_limits)
    drop = () if circuit.length_m is None else (drop_table(load, run),)
    return (candidate_table(load, circuit.tried), *drop, runs, *parts_table(load, circuit.basis))

"""The table of the sizes tried: every limit side by side, and the rule that ruled each out."""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.circuit.candidate import Candidate, check_steps
from generator.compute.circuit.load import Load
from generator.compute.circuit.working import slug, text
from generator.compute.circuit_iec.capacity import Capacity, capacity_steps
from generator.compute.circuit_iec.conditions import Conditions
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, FigureTable, Step

HEADS = ("table", "after correction", "termination limit", "capacity", "verdict")
NO_LIMIT = "the terminals stand what the conductor reaches"


def candidate_table(
    load: Load, tried: tuple[Candidate[Capacity], ...], conditions: Conditions, basis: CodeBasis
) -> FigureTable:
    """Return one row a size, smallest first, the chosen one last."""
    id = f"{load.id}.candidates"
    columns = tuple(text("column", head) for head in HEADS)
    rows = tuple(
        (text("size", one.size), tuple(_cells(f"{id}.{slug(one.size)}", one, conditions, basis))) for one in tried
    )
    return FigureTable(id, f"Conductor sizes tried, feed {load.name}", "conductor", columns, rows)


def _cells(row: str, candidate: Candidate[Capacity], conditions: Conditions, basis: CodeBasis) -> Iterator[Figure]:
    found = candidate.capacity
    steps = {step.result.symbol: step for step in capacity_steps(found, conditions, basis)}
    corrected = tuple(steps[symbol] for symbol in ("I_0", "k_a", "k_g", "I_c"))
    yield _cell(row, 0, found.table_a, corrected[:1])
    yield _cell(row, 1, found.corrected_a, corrected)
    yield _cell(row, 2, found.termination_a, (steps["I_t"],) if "I_t" in steps else ())
    yield _cell(row, 3, found.usable_a, tuple(steps.values()))
    yield Figure(f"{row}.verdict", HEADS[4], candidate.verdict, "text", steps=check_steps(candidate, ""))


def _cell(row: str, head: int, number: float | None, steps: tuple[Step, ...]) -> Figure:
    id, label = f"{row}.{slug(HEADS[head])}", HEADS[head]
    if number is None:
        return Figure(id, label, None, "current", state="none", reason=NO_LIMIT)
    return Figure(id, label, number, "current", "down", steps)

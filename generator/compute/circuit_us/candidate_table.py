"""The table of the sizes tried: every limit side by side, and the rule that ruled each out."""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.circuit.candidate import Candidate, check_steps
from generator.compute.circuit.load import Load
from generator.compute.circuit.working import slug, text
from generator.compute.circuit_us.ampacity import Ampacity, ampacity_steps
from generator.compute.circuit_us.clauses import clause
from generator.compute.circuit_us.conditions import Conditions
from generator.compute.circuit_us.conductor import DEVICE_RULES
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, FigureTable, Step

HEADS = (
    "insulation's column",
    "after correction and adjustment",
    "termination limit",
    "wiring method limit",
    "ampacity",
    "greatest device",
    "verdict",
)
NO_LIMIT = "the wiring method sets no limit of its own"


def candidate_table(
    load: Load, tried: tuple[Candidate[Ampacity], ...], conditions: Conditions, basis: CodeBasis
) -> FigureTable:
    """Return one row a size, smallest first, the chosen one last."""
    id = f"{load.id}.candidates"
    columns = tuple(text("column", head) for head in HEADS)
    rows = tuple(
        (text("size", one.size), tuple(_cells(f"{id}.{slug(one.size)}", one, conditions, basis))) for one in tried
    )
    return FigureTable(id, f"Conductor sizes tried, feed {load.name}", "conductor", columns, rows)


def _cells(row: str, candidate: Candidate[Ampacity], conditions: Conditions, basis: CodeBasis) -> Iterator[Figure]:
    found = candidate.capacity
    steps = {step.result.symbol: step for step in ampacity_steps(found, conditions, basis)}
    checks = check_steps(candidate, clause(basis, ""))
    rules = [step for step, check in zip(checks, candidate.checks, strict=True) if check.rule in DEVICE_RULES]
    greatest = min(check.allowed_a for check in candidate.checks if check.rule in DEVICE_RULES)
    corrected = tuple(steps[symbol] for symbol in ("A_0", "k_a", "k_n", "A_1"))
    yield _cell(row, 0, found.table_a, corrected[:1])
    yield _cell(row, 1, found.corrected_a, corrected)
    yield _cell(row, 2, found.termination_a, (steps["A_2"],))
    yield _cell(row, 3, found.method_a, (steps["A_3"],) if "A_3" in steps else ())
    yield _cell(row, 4, found.usable_a, tuple(steps.values()))
    yield _cell(row, 5, greatest, tuple(rules))
    yield Figure(f"{row}.verdict", HEADS[6], candidate.verdict, "text", steps=checks)


def _cell(row: str, head: int, number: float | None, steps: tuple[Step, ...]) -> Figure:
    id, label = f"{row}.{slug(HEADS[head])}", HEADS[head]
    if number is None:
        return Figure(id, label, None, "current", state="none", reason=NO_LIMIT)
    return Figure(id, label, number, "current", "down", steps)

"""The table of the sizes tried: every limit side by side, and the rule that ruled each out."""

from __future__ import annotations

from generator.compute.circuit.candidate import Candidate
from generator.compute.circuit.load import Load
from generator.compute.circuit.working import slug, text
from generator.compute.circuit_us.ampacity import Ampacity
from generator.compute.circuit_us.conductor import DEVICE_RULES
from generator.model.figures import Figure, FigureTable, Value

HEADS = (
    "insulation's column",
    "after correction and adjustment",
    "termination limit",
    "wiring method limit",
    "ampacity",
    "greatest device",
    "verdict",
)


def candidate_table(load: Load, tried: tuple[Candidate[Ampacity], ...]) -> FigureTable:
    """Return one row a size, smallest first, the chosen one last."""
    columns = tuple(text("column", head) for head in HEADS)
    title = f"Conductor sizes tried, feed {load.name}"
    return FigureTable(f"{load.id}.candidates", title, "conductor", columns, tuple(_row(load, one) for one in tried))


def _row(load: Load, candidate: Candidate[Ampacity]) -> tuple[Value, tuple[Figure, ...]]:
    row, found = f"{load.id}.candidates.{slug(candidate.size)}", candidate.capacity
    device_checks = [check.allowed_a for check in candidate.checks if check.rule in DEVICE_RULES]
    numbers = (
        found.table_a,
        found.corrected_a,
        found.termination_a,
        found.method_a,
        found.usable_a,
        min(device_checks),
    )
    cells = tuple(_cell(row, head, number) for head, number in zip(HEADS, numbers, strict=False))
    verdict = Figure(f"{row}.verdict", "Verdict", candidate.verdict, "text")
    return text("size", candidate.size), (*cells, verdict)


def _cell(row: str, head: str, number: float | None) -> Figure:
    if number is None:
        return Figure(
            f"{row}.{slug(head)}", head, None, "current", state="none", reason="the method sets no limit of its own"
        )
    return Figure(f"{row}.{slug(head)}", head, number, "current", "down")

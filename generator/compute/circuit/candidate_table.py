"""The table of the sizes tried: every limit side by side, and the rule that ruled each out.

The frame is here; a basis says what its limits are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from generator.compute.circuit.candidate import Candidate, Capacity
from generator.compute.circuit.load import Load
from generator.compute.circuit.working import slug, text
from generator.model.figures import Figure, FigureTable, Step

# What stands in one column for one size: the current [A], or None for no limit, and the steps that lead to it.
Limit = tuple[float | None, tuple[Step, ...]]
VERDICT = "verdict"


def candidate_table(
    load: Load,
    tried: Iterable[Candidate[Capacity]],
    heads: tuple[str, ...],
    no_limit: str,
    limits: Callable[[Candidate[Capacity]], Iterable[Limit]],
    checks: Callable[[Candidate[Capacity]], tuple[Step, ...]],
) -> FigureTable:
    """Return one row a size, smallest first, the chosen one last: its `limits` under `heads`, then the verdict.

    `no_limit` is the reason of a cell without a limit; `checks` gives the steps of the verdict.
    """
    id = f"{load.id}.candidates"

    def row(one: Candidate[Capacity]) -> tuple[Figure, ...]:
        start = f"{id}.{slug(one.size)}"
        cells = [_cell(start, head, limit, no_limit) for head, limit in zip(heads, limits(one), strict=True)]
        return (*cells, Figure(f"{start}.{VERDICT}", VERDICT, one.verdict, "text", steps=checks(one)))

    columns = tuple(text("column", head) for head in (*heads, VERDICT))
    rows = tuple((text("size", one.size), row(one)) for one in tried)
    return FigureTable(id, f"Conductor sizes tried, feed {load.name}", "conductor", columns, rows)


def _cell(row: str, head: str, limit: Limit, no_limit: str) -> Figure:
    number, steps = limit
    if number is None:
        return Figure(f"{row}.{slug(head)}", head, None, "current", state="none", reason=no_limit)
    return Figure(f"{row}.{slug(head)}", head, number, "current", "down", steps)

"""The table of the sizes tried: every limit side by side, and the rule that ruled each out."""

from __future__ import annotations

from generator.compute.circuit.candidate import Candidate, Limit, check_steps
from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.values import slug, text
from generator.model.figures import Figure, FigureTable
from generator.model.said import say


def candidate_table(circuit: Circuit) -> FigureTable:
    """Return one row a size, smallest first, the chosen one last: its limits, then the verdict."""
    load, rules = circuit.load, circuit.rules
    id_ = f"{load.id}.candidates"

    def row(one: Candidate) -> tuple[Figure, ...]:
        start = f"{id_}.{slug(one.size)}"
        limits = zip(rules.HEADS.items(), rules.limits(one), strict=True)
        cells = [_cell(f"{start}.{key}", head, limit, no_limit=rules.NO_LIMIT) for (key, head), limit in limits]
        verdict = Figure(
            f"{start}.verdict", say("verdict"), one.verdict, "text", steps=check_steps(one, rules.document)
        )
        return (*cells, verdict)

    columns = tuple(text(say("column"), head) for head in (*rules.HEADS.values(), say("verdict")))
    rows = tuple((text("size", one.size), row(one)) for one in circuit.tried)
    return FigureTable(id_, say("sizes-tried", feed=load.name), say("conductor-head"), columns, rows)


def _cell(id_: str, head: str, limit: Limit, *, no_limit: str) -> Figure:
    number, steps = limit
    if number is None:
        return Figure(id_, head, None, "current", state="none", reason=no_limit)
    return Figure(id_, head, number, "current", "at_most", steps)

"""The limits by IEC 60364 that stand side by side in the table of the sizes tried."""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.circuit import candidate_table as table
from generator.compute.circuit.candidate import Candidate, check_steps
from generator.compute.circuit.iec.capacity import Capacity, capacity_steps
from generator.compute.circuit.iec.conditions import Conditions
from generator.compute.circuit.load import Load
from generator.model.codes import CodeBasis
from generator.model.figures import FigureTable

HEADS = ("table", "after correction", "termination limit", "capacity")
NO_LIMIT = "the terminals stand what the conductor reaches"


def candidate_table(
    load: Load, tried: tuple[Candidate[Capacity], ...], conditions: Conditions, basis: CodeBasis
) -> FigureTable:
    """Return one row a size, smallest first, the chosen one last."""

    def limits(one: Candidate[Capacity]) -> Iterator[table.Limit]:
        found = one.capacity
        steps = {step.result.symbol: step for step in capacity_steps(found, conditions, basis)}
        corrected = tuple(steps[symbol] for symbol in ("I_0", "k_a", "k_g", "I_c"))
        yield found.table_a, corrected[:1]
        yield found.corrected_a, corrected
        yield found.termination_a, (steps["I_t"],) if "I_t" in steps else ()
        yield found.usable_a, tuple(steps.values())

    return table.candidate_table(load, tried, HEADS, NO_LIMIT, limits, lambda one: check_steps(one, ""))

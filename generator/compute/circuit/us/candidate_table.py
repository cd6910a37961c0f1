"""The limits by NFPA 70 that stand side by side in the table of the sizes tried."""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.circuit import candidate_table as table
from generator.compute.circuit.candidate import Candidate, check_steps
from generator.compute.circuit.load import Load
from generator.compute.circuit.us.ampacity import Ampacity, ampacity_steps
from generator.compute.circuit.us.conditions import Conditions
from generator.compute.circuit.us.conductor import DEVICE_RULES
from generator.model.codes import CodeBasis
from generator.model.figures import FigureTable, Step

HEADS = (
    "insulation's column",
    "after correction and adjustment",
    "termination limit",
    "wiring method limit",
    "ampacity",
    "greatest device",
)
NO_LIMIT = "the wiring method sets no limit of its own"


def candidate_table(
    load: Load, tried: tuple[Candidate[Ampacity], ...], conditions: Conditions, basis: CodeBasis
) -> FigureTable:
    """Return one row a size, smallest first, the chosen one last."""

    def checks(one: Candidate[Ampacity]) -> tuple[Step, ...]:
        return check_steps(one, basis.rules.cite(""))

    def limits(one: Candidate[Ampacity]) -> Iterator[table.Limit]:
        found = one.capacity
        steps = {step.result.symbol: step for step in ampacity_steps(found, conditions, basis)}
        device = [
            (check, step) for check, step in zip(one.checks, checks(one), strict=True) if check.rule in DEVICE_RULES
        ]
        corrected = tuple(steps[symbol] for symbol in ("A_0", "k_a", "k_n", "A_1"))
        yield found.table_a, corrected[:1]
        yield found.corrected_a, corrected
        yield found.termination_a, (steps["A_2"],)
        yield found.method_a, (steps["A_3"],) if "A_3" in steps else ()
        yield found.usable_a, tuple(steps.values())
        yield min(check.allowed_a for check, _ in device), tuple(step for _, step in device)

    return table.candidate_table(load, tried, HEADS, NO_LIMIT, limits, checks)

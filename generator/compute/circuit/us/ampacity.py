"""The ampacity of one conductor size under its conditions, with each limit kept apart.

Table 310.16 on the insulation's column, times the ambient factor (310.15(B)), times the adjustment for company
(310.15(C)); then not above the termination's column (110.14(C)) nor the wiring method's own (334.80, 340.80).
"""

from __future__ import annotations

from generator.compute.circuit.candidate import Capacity
from generator.compute.circuit.us.conditions import Conditions
from generator.compute.circuit.values import amps, count, kelvin, ratio, text
from generator.errors import CannotCompute, MissingCell
from generator.model.figures import Step
from generator.model.said import say
from generator.model.tables.codes import CodeBasis


def ampacity(size: str, conditions: Conditions, basis: CodeBasis) -> Capacity:
    """Return the ampacity of `size` [A]: the least of A_0 × k_a × k_n, the terminals' column and the method's.

    A_0: Table 310.16; k_a: Table 310.15(B)(1); k_n: Table 310.15(C)(1); temperatures [degC]. Range: the rows of the
    tables. MissingCell where the ampacity table has no such size; CannotCompute for the ambient or the count.
    """
    cap_c = conditions.method.ampacity_column_c if conditions.method else None
    return Capacity(
        size,
        column_a(size, conditions.insulation_c, conditions, basis=basis),
        ambient_factor(conditions, basis),
        count_factor(conditions, basis),
        column_a(size, conditions.termination_c, conditions, basis=basis),
        None if cap_c is None else column_a(size, cap_c, conditions, basis=basis),
    )


def column_a(size: str, celsius: float, conditions: Conditions, *, basis: CodeBasis) -> float:
    """Return the ampacity [A] of `size` in the column for `celsius`; MissingCell where the table has none."""
    return basis.tables["ampacity"].cell(size, f"{conditions.material} {celsius:.0f}")


def ambient_factor(conditions: Conditions, basis: CodeBasis) -> float:
    """Return the correction factor of the ambient's band; CannotCompute where the table gives none."""
    table = basis.tables["ambient_correction"]
    try:
        return table.cell(table.band(conditions.ambient_c), str(conditions.insulation_c))
    except MissingCell as missing:
        expected = f"an ambient that {table.source} covers for {conditions.insulation_c} degC insulation"
        raise CannotCompute(("route", "ambient"), str(missing), expected) from None


def count_factor(conditions: Conditions, basis: CodeBasis) -> float:
    """Return the adjustment factor for the current-carrying conductors that run together."""
    table = basis.tables["adjustment"]
    return table.cell(table.band(conditions.carrying), "factor")


def ampacity_steps(found: Capacity, conditions: Conditions, basis: CodeBasis) -> tuple[Step, ...]:
    """Return the working of one ampacity, line by line."""
    tables = basis.tables
    size = text("S", found.size)
    base = Step(
        say("ampacity-of-size", rated=conditions.insulation_c),
        (size, text(say("metal"), conditions.material), text(say("insulation-type"), conditions.insulation)),
        amps("A_0", found.table_a),
        tables["ampacity"].source,
    )
    ambient = Step(
        say("ambient-factor"),
        (kelvin("T_a", conditions.ambient_c),),
        ratio("k_a", found.ambient_factor),
        tables["ambient_correction"].source,
    )
    company = Step(
        say("count-factor"),
        (count("n", conditions.carrying),),
        ratio("k_n", found.company_factor),
        tables["adjustment"].source,
    )
    factors = (amps("A_0", found.table_a), ratio("k_a", found.ambient_factor), ratio("k_n", found.company_factor))
    result = amps("A_1", found.corrected_a, "at_most")
    corrected = Step("A_1 = A_0 × k_a × k_n", factors, result, basis.rules.source_of("correction"))
    termination = Step(
        say("terminals-column", rated=conditions.termination_c),
        (size,),
        amps("A_2", column_a(found.size, conditions.termination_c, conditions, basis=basis)),
        basis.rules.source_of("termination-column"),
    )
    steps = [base, ambient, company, corrected, termination]
    if conditions.method is not None and found.method_a is not None:
        formula = say("methods-column", rated=f"{conditions.method.ampacity_column_c:.0f}")
        inputs = (size, text(say("wiring-method"), conditions.method.title))
        steps.append(Step(formula, inputs, amps("A_3", found.method_a), basis.methods.cite(conditions.method.clause)))
    limits = tuple(step.result for step in steps[3:])
    least = f"A = min({', '.join(limit.symbol for limit in limits)})"
    steps.append(Step(least, limits, amps("A", found.usable_a, "at_most"), basis.rules.source_of("ampacity-limits")))
    return tuple(steps)

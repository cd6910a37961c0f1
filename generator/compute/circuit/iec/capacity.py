"""The current-carrying capacity of one size under its conditions, with each limit kept apart.

IEC 60364-5-52:2009 table B.52.2 and on, by installation method, insulation and loaded conductors; times the factor for
the ambient (B.52.14, in the ground B.52.15) and for grouping (B.52.17). Thermosetting insulation lets the conductor
reach 90 degC; where the terminals do not stand that, the capacity of PVC under the same conditions is the limit. The
tables' factors are taken at the next band up, never interpolated, which the standard would allow.
"""

from __future__ import annotations

from dataclasses import replace

from generator.compute.circuit.candidate import Capacity
from generator.compute.circuit.iec.conditions import TERMINAL_INSULATION, Conditions
from generator.compute.circuit.values import amps, count, kelvin, ratio, text
from generator.errors import CannotCompute, MissingCell
from generator.model.figures import Step
from generator.model.said import say
from generator.model.tables.codes import CodeBasis


def capacity(size: str, conditions: Conditions, basis: CodeBasis) -> Capacity:
    """Return the capacity of `size` [A]: I_z = I_0 × k_a × k_g, at most what the terminals stand.

    I_0: tables B.52.2 and on; k_a: B.52.14 or B.52.15; k_g: B.52.17; temperatures [degC]. Range: the rows of the
    tables. MissingCell where the capacity table has no such size; CannotCompute for ambient or grouping.
    """
    found = Capacity(
        size,
        basis.tables["ampacity"].cell(size, conditions.column),
        ambient_factor(conditions, basis),
        group_factor(conditions, basis),
    )
    if conditions.terminations_c >= conditions.insulation_c:
        return found
    limit_c = basis.methods.insulations[TERMINAL_INSULATION].dry_c
    cooler = replace(conditions, insulation=TERMINAL_INSULATION, insulation_c=limit_c)
    return replace(found, termination_a=capacity(size, cooler, basis).corrected_a)


def ambient_factor(conditions: Conditions, basis: CodeBasis) -> float:
    """Return the factor of the ambient's band; CannotCompute where the table gives none."""
    table = basis.tables[conditions.method.correction_table or "ambient_correction"]
    try:
        return table.cell(table.band(conditions.ambient_c), conditions.insulation)
    except MissingCell as missing:
        expected = f"an ambient that {table.source} covers for {conditions.insulation}"
        raise CannotCompute(("route", "ambient"), str(missing), expected) from None


def group_factor(conditions: Conditions, basis: CodeBasis) -> float:
    """Return the factor for the circuits together; CannotCompute above the table."""
    if conditions.grouping is None:
        return 1.0
    table = basis.tables["grouping"]
    try:
        return table.cell(table.band(conditions.circuits), conditions.grouping)
    except MissingCell as missing:
        raise CannotCompute(("route", "other_circuits"), str(missing), "fewer circuits together") from None


def capacity_steps(found: Capacity, conditions: Conditions, basis: CodeBasis) -> tuple[Step, ...]:
    """Return the working of one capacity, line by line."""
    ambient = basis.tables[conditions.method.correction_table or "ambient_correction"]
    factors = (amps("I_0", found.table_a), ratio("k_a", found.ambient_factor), ratio("k_g", found.company_factor))
    grouping, source_of = text(say("arrangement"), conditions.grouping or say("by-itself")), basis.rules.source_of
    steps = [
        Step(
            say("capacity-of-size"),
            (text("S", found.size), text(say("column"), conditions.column)),
            amps("I_0", found.table_a),
            basis.tables["ampacity"].source,
        ),
        Step(
            say("ambient-factor"),
            (kelvin("T_a", conditions.ambient_c),),
            ratio("k_a", found.ambient_factor),
            ambient.source,
        ),
        Step(
            say("grouping-factor"),
            (count("n", conditions.circuits), grouping),
            ratio("k_g", found.company_factor),
            basis.tables["grouping"].source,
        ),
        Step("I_c = I_0 × k_a × k_g", factors, amps("I_c", found.corrected_a, "at_most"), source_of("correction")),
    ]
    if found.termination_a is not None:
        stand = (kelvin(say("terminal-rating"), conditions.terminations_c), text("S", found.size))
        limit = amps("I_t", found.termination_a, "at_most")
        formula = say("capacity-with-pvc")
        steps.append(Step(formula, stand, limit, source_of("terminations")))
    usable = amps("I_z", found.usable_a, "at_most")
    limits = tuple(step.result for step in steps[3:])
    least = f"I_z = min({', '.join(limit.symbol for limit in limits)})" if len(limits) > 1 else "I_z = I_c"
    steps.append(Step(least, limits, usable, source_of("capacity-limits")))
    return tuple(steps)

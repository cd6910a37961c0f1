"""The conductor by NFPA 70: the rules put to each size, and what the size resists.

Before any correction the load, times its continuous factor, is held to the column of the terminals, that of the
insulation and that of the wiring method (210.19(A)(1), 110.14(C)(1)); insulation rated below the terminals governs.

The resistance is of Chapter 9 Table 8 (direct current, stranded) to 1/0 AWG, of Table 9 above. To 1/0 AWG the two agree
within Table 9's two figures, and Table 8 is the finer. The stranded value also stands for solid conductors, which have
about 2 % less: the safe side. Both tables hold at 75 degC; a cooler conductor drops less.
"""

from __future__ import annotations

from generator.compute.circuit.candidate import Candidate, Check, Demand
from generator.compute.circuit.sizes import next_standard, smaller
from generator.compute.circuit.us.ampacity import ampacity
from generator.compute.circuit.us.conditions import Conditions
from generator.errors import CannotCompute, MissingCell
from generator.model.said import say
from generator.model.tables.codes import CodeBasis, CodeTable

# The rules put to a size, and what they compare.
_TERMINATION, _INSULATION, _METHOD = say("termination-limit"), say("insulation-limit"), say("method-limit")
_CORRECTED, _LOAD = say("corrected-ampacity"), say("load-in-ampacity")
_DEVICE, _NEXT = say("protection-by-device"), say("next-rating-up")
_SMALL, _NEEDED = say("small-conductor"), say("device-needed")
OHM_PER_KFT = 1.0 / 304.8  # ohm/m
LARGEST_BY_TABLE_8 = "1/0 AWG"
NO_METHOD_CONDUIT = "steel"  # the higher column, where no method is named


def judge(size: str, demand: Demand, conditions: Conditions, *, basis: CodeBasis) -> Candidate:
    """Return `size` with every rule put to it. MissingCell where the ampacity table does not hold the size."""
    found, clause = ampacity(size, conditions, basis), basis.rules.clause_of
    marked = demand.factor * demand.load_a
    before = say("before-correction", factor=demand.factor)
    method_clause = conditions.method.clause if conditions.method else ""
    columns = (
        (_TERMINATION, clause("termination-limit"), found.termination_a),
        (_INSULATION, clause("insulation-limit"), found.table_a),
        (_METHOD, method_clause, found.method_a),
    )
    checks = [Check(rule, text, marked, limit_a, before) for rule, text, limit_a in columns if limit_a is not None]
    checks.append(Check(_CORRECTED, clause("corrected-ampacity"), demand.load_a, found.usable_a, _LOAD))
    device_a, protected_a = demand.device_a, protected_to_a(found.usable_a, basis)
    checks.append(Check(_DEVICE, clause("device-protection"), device_a, protected_a, _NEXT, by_device=True))
    cap_a = small_conductor_a(size, conditions.material, basis)
    if cap_a is not None:
        checks.append(Check(_SMALL, clause("small-conductor"), device_a, cap_a, _NEEDED, by_device=True))
    return Candidate(size, found, tuple(checks))


def protected_to_a(usable_a: float, basis: CodeBasis) -> float:
    """Return the greatest device [A] that protects a conductor: the next standard rating up, 240.4(B)."""
    return next_standard(basis.tables["standard_ratings"], usable_a, ("route",))


def small_conductor_a(size: str, material: str, basis: CodeBasis) -> float | None:
    """Return the greatest device [A] for a small conductor, 240.4(D); None for a size it does not name."""
    table = basis.tables["small_conductor"]
    return table.cell(size, material) if size in table.rows else None


def resistance_ohm_m(size: str, conditions: Conditions, basis: CodeBasis) -> float:
    """Return the resistance [ohm/m] of one conductor of `size`, at 75 degC: the table's [ohm/kft] over 304.8 m.

    CannotCompute for a size not held. Source: Chapter 9, Tables 8 and 9.
    """
    table, column = resistance_table(size, conditions, basis)
    try:
        return table.cell(size, column) * OHM_PER_KFT
    except MissingCell as missing:
        raise CannotCompute(("route", "conductor"), str(missing), "a size that the table holds") from None


def resistance_table(size: str, conditions: Conditions, basis: CodeBasis) -> tuple[CodeTable, str]:
    """Return the table and the column of it that state the resistance of `size`."""
    if not smaller(LARGEST_BY_TABLE_8, size):
        return basis.tables["dc_resistance"], f"{conditions.material} stranded"
    conduit = conditions.method.conduit_material if conditions.method else None
    return basis.tables["ac_resistance"], f"{conditions.material} {conduit or NO_METHOD_CONDUIT}"


def drop_limits(basis: CodeBasis) -> dict[str, float]:
    """Return the recommended limits of the voltage drop by what is supplied, as ratios."""
    drop = basis.header.voltage_drop
    stated = {"branch-circuit": drop.branch_circuit, "feeder-and-branch-circuit": drop.feeder_and_branch_circuit}
    return {name: one.limit for name, one in stated.items() if one is not None}

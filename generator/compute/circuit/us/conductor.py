"""The conductor by NFPA 70: the rules put to each size, and the smallest size that passes them all.

Before any correction the load, times its continuous factor, is held to the column of the terminals, that of the
insulation and that of the wiring method (210.19(A)(1), 110.14(C)(1)); insulation rated below the terminals governs.
"""

from __future__ import annotations

from generator.compute.circuit.candidate import Candidate, Check, smallest_that_suits
from generator.compute.circuit.load import Load
from generator.compute.circuit.us.ampacity import Ampacity, ampacity
from generator.compute.circuit.us.conditions import Conditions
from generator.compute.circuit.working import next_standard
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis
from generator.model.heater import Terminals

DEVICE_RULES = (PROTECTION, SMALL) = ("protection by the device", "small-conductor rule")


def judge(
    size: str, load_a: float, factor: float, device_a: float, conditions: Conditions, basis: CodeBasis
) -> Candidate[Ampacity]:
    """Return `size` with every rule put to it, for a load [A], its continuous factor and a device [A].

    MissingCell where the ampacity table does not hold the size.
    """
    found, clause = ampacity(size, conditions, basis), basis.rules.clause_of
    marked = factor * load_a
    before = f"needed: {factor:g} × the load; allowed: before correction"
    checks = [Check("termination limit", clause("termination-limit"), marked, found.termination_a, before)]
    checks.append(Check("insulation limit", clause("insulation-limit"), marked, found.table_a, before))
    if found.method_a is not None and conditions.method:
        checks.append(Check("wiring method limit", conditions.method.clause, marked, found.method_a, before))
    after = "needed: the load; allowed: the ampacity"
    checks.append(Check("corrected ampacity", clause("corrected-ampacity"), load_a, found.usable_a, after))
    next_up = "needed: the device; allowed: the next standard rating not below the ampacity"
    allowed_a = protected_to_a(found.usable_a, basis)
    checks.append(Check(PROTECTION, clause("device-protection"), device_a, allowed_a, next_up))
    cap = small_conductor_a(size, conditions.material, basis)
    if cap is not None:
        checks.append(Check(SMALL, clause("small-conductor"), device_a, cap, "needed: the device"))
    return Candidate(size, found, tuple(checks))


def protected_to_a(usable_a: float, basis: CodeBasis) -> float:
    """Return the greatest device [A] that protects a conductor: the next standard rating up, 240.4(B)."""
    return next_standard(basis.tables["standard_ratings"], usable_a, ("route",))


def small_conductor_a(size: str, material: str, basis: CodeBasis) -> float | None:
    """Return the greatest device [A] for a small conductor, 240.4(D); None for a size it does not name."""
    table = basis.tables["small_conductor"]
    return table.cell(size, material) if size in table.rows else None


def candidates(
    load: Load,
    factor: float,
    device_a: float,
    conditions: Conditions,
    terminals: Terminals,
    basis: CodeBasis,
    where: tuple[str | int, ...],
) -> tuple[Candidate[Ampacity], ...]:
    """Return every size that the wiring method is made in, smallest first, up to the first that suits: the conductor.

    CannotCompute when none suits: at the site's wiring method where others are made larger, else at `where`.
    """

    def one(size: str) -> Candidate[Ampacity]:
        return judge(size, load.current_a, factor, device_a, conditions, basis)

    sizes = conditions.sizes(basis)
    tried = smallest_that_suits(sizes, one, terminals)
    if tried:
        return tried
    wrong = f"no size to {sizes[-1]} carries {load.current_a:.1f} A here on a {device_a:g} A device"
    if conditions.method is None or sizes[-1] == basis.header.sizes[-1]:
        raise CannotCompute(where, wrong, "fewer conductors together, a cooler route, or another wiring method")
    wrong = f"{conditions.method.title} is made to {sizes[-1]} {conditions.material}, and {wrong}"
    held = basis.methods.methods.items()
    larger = [name for name, one in held if one.made(conditions.material, basis.header.sizes)[-1] != sizes[-1]]
    raise CannotCompute(("route", "method"), wrong, f"a method made in larger sizes: {', '.join(larger)}")

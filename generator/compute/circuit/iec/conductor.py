"""The conductor by IEC 60364-4-43, 433.1: Ib <= In <= Iz and I2 <= 1.45 Iz, for the smallest size that holds both."""

from __future__ import annotations

from generator.compute.circuit.candidate import Candidate, Check, smallest_that_suits
from generator.compute.circuit.iec.capacity import Capacity, capacity
from generator.compute.circuit.iec.conditions import Conditions
from generator.compute.circuit.load import Load
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis
from generator.model.heater import Terminals

# I2 over In: the current that opens the device within the conventional time. Circuit-breakers of IEC 60898-1 are
# assumed; gG fuses have 1.6 and would need larger conductors.
CONVENTIONAL = 1.45
WITHIN = "device within the capacity"


def judge(size: str, load_a: float, device_a: float, conditions: Conditions, basis: CodeBasis) -> Candidate[Capacity]:
    """Return `size` with every rule put to it, for a design current Ib and a device In [A].

    MissingCell where the capacity table does not hold the size.
    """
    found, overcurrent = capacity(size, conditions, basis), basis.rules.source_of("circuit-device")
    checks = (
        Check(WITHIN, overcurrent, device_a, found.usable_a, "needed: I_n; allowed: I_z"),
        Check(
            "1.45 rule",
            basis.rules.source_of("conventional-current"),
            CONVENTIONAL * device_a,
            CONVENTIONAL * found.usable_a,
            "needed: I_2 = 1.45 I_n; allowed: 1.45 I_z",
        ),
        Check("design current within the capacity", overcurrent, load_a, found.usable_a, "needed: I_b; allowed: I_z"),
    )
    return Candidate(size, found, checks)


def candidates(
    load: Load,
    device_a: float,
    conditions: Conditions,
    terminals: Terminals,
    basis: CodeBasis,
    where: tuple[str | int, ...],
) -> tuple[Candidate[Capacity], ...]:
    """Return every size of the basis, smallest first, up to the first that suits; CannotCompute, at
    `where`, when none does."""

    def one(size: str) -> Candidate[Capacity]:
        return judge(size, load.current_a, device_a, conditions, basis)

    tried = smallest_that_suits(basis.header.sizes, one, terminals)
    if not tried:
        wrong = f"no size to {basis.header.sizes[-1]} carries {load.current_a:.1f} A here on a {device_a:g} A device"
        raise CannotCompute(where, wrong, "fewer circuits together, a cooler route, or another method")
    return tried

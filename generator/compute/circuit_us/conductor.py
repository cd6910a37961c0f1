"""The conductor: the smallest size that passes every rule, and the rule that ruled out the size below it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from generator.compute.circuit.load import Load
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.working import next_standard
from generator.compute.circuit_us.ampacity import Ampacity, ampacity
from generator.compute.circuit_us.conditions import Conditions
from generator.errors import CannotCompute, MissingCell
from generator.model.codes import CodeBasis
from generator.model.heater import Terminals


@dataclass(frozen=True, slots=True)
class Test:
    """One rule put to one size: the current it must carry and the current it may [A]."""

    rule: str
    clause: str
    needed_a: float
    allowed_a: float

    @property
    def passed(self) -> bool:
        """Whether the size suits this rule."""
        return self.allowed_a >= self.needed_a - 1e-9

    @property
    def use(self) -> float:
        """Needed over allowed: above 1 the rule is broken."""
        return self.needed_a / self.allowed_a if self.allowed_a else float("inf")


@dataclass(frozen=True, slots=True)
class Candidate:
    """One size with its ampacity and the rules put to it; `too_thin`: smaller than the heater's terminal takes."""

    size: str
    ampacity: Ampacity
    tests: tuple[Test, ...]
    too_thin: bool = False

    @property
    def carries(self) -> bool:
        """Whether it passes every rule of current."""
        return all(test.passed for test in self.tests)

    @property
    def hardest(self) -> Test:
        """The test it fails by most, or passes with least to spare; the earlier one of equals."""
        return max(self.tests, key=lambda test: test.use)


def judge(
    size: str, load_a: float, factor: float, device_a: float, conditions: Conditions, basis: CodeBasis
) -> Candidate:
    """Return `size` with every rule put to it, for a load [A], its continuous factor and a device [A].

    MissingCell where the ampacity table does not hold the size.
    """
    found = ampacity(size, conditions, basis)
    marked = factor * load_a
    tests = [Test("termination limit", "110.14(C)(1), 210.19(A)(1)", marked, found.termination_a)]
    if found.method_a is not None and conditions.method:
        tests.append(Test("wiring method limit", conditions.method.clause, marked, found.method_a))
    tests.append(Test("corrected ampacity", "210.19(A)(1), 310.15", load_a, found.usable_a))
    tests.append(Test("protection by the device", "240.4, 240.4(B)", device_a, protected_to_a(found.usable_a, basis)))
    cap = small_conductor_a(size, conditions.material, basis)
    if cap is not None:
        tests.append(Test("small-conductor rule", "240.4(D)", device_a, cap))
    return Candidate(size, found, tuple(tests))


def protected_to_a(usable_a: float, basis: CodeBasis) -> float:
    """Return the greatest device [A] that protects a conductor: the next standard rating up, 240.4(B)."""
    return next_standard(basis.tables["standard_ratings"], usable_a, ("route",))


def small_conductor_a(size: str, material: str, basis: CodeBasis) -> float | None:
    """Return the greatest device [A] for a small conductor, 240.4(D); None for a size it does not name."""
    table = basis.tables["small_conductor"]
    return table.cell(size, material) if size in table.rows else None


def candidates(
    load: Load, factor: float, device_a: float, conditions: Conditions, terminals: Terminals, basis: CodeBasis
) -> tuple[Candidate, ...]:
    """Return every size of the basis, smallest first, up to the first that suits; the last one is the conductor.

    Sizes that the ampacity table does not hold are left out. CannotCompute when none suits.
    """
    tried: list[Candidate] = []
    for size in basis.header.sizes:
        try:
            found = judge(size, load.current_a, factor, device_a, conditions, basis)
        except MissingCell:
            continue
        tried.append(replace(found, too_thin=smaller(size, terminals.smallest)))
        if tried[-1].carries and not tried[-1].too_thin:
            return tuple(tried)
    wrong = f"no conductor to {basis.header.sizes[-1]} carries {load.current_a:.1f} A here on a {device_a:g} A device"
    raise CannotCompute(("route",), wrong, "fewer conductors together, a cooler route, or another wiring method")


def governing(tried: tuple[Candidate, ...]) -> str:
    """Return the rule that ruled out the size below the chosen one, with its clause."""
    if len(tried) == 1:
        return "smallest size of the basis"
    below = tried[-2]
    if below.carries:
        return "smallest conductor that the heater's terminal takes (110.14)"
    return f"{below.hardest.rule} ({below.hardest.clause})"

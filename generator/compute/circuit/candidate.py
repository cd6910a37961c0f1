"""Conductor sizes tried in turn against the rules of a basis."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.values import amps, text
from generator.errors import MissingCell
from generator.model.figures import Step
from generator.model.said import say

# What stands in one column for one size: the current [A], or None for no limit, and the steps that lead to it.
Limit = tuple[float | None, tuple[Step, ...]]


@dataclass(frozen=True, slots=True)
class Demand:
    """What a size must be good for: load [A], its factor where it is continuous, and the device ahead of it [A]."""

    load_a: float
    factor: float
    device_a: float


@dataclass(frozen=True, slots=True)
class Capacity:
    """The current one size may carry under its conditions [A], each limit kept apart.

    `table_a`: of the table; `ambient_factor` and `company_factor` (other conductors or circuits beside it) correct it.
    `termination_a`: what the terminals stand, `method_a`: what the wiring method allows; None where that is no limit.

    >>> round(Capacity("8 AWG", 55.0, 0.91, 0.8, termination_a=50.0).usable_a, 6)  # by hand: 55 × 0.91 × 0.8
    40.04
    """

    size: str
    table_a: float
    ambient_factor: float
    company_factor: float
    termination_a: float | None = None
    method_a: float | None = None

    @property
    def corrected_a(self) -> float:
        """After both factors, before any other limit."""
        return self.table_a * self.ambient_factor * self.company_factor

    @property
    def usable_a(self) -> float:
        """The least of the limits."""
        limits = (self.corrected_a, self.termination_a, self.method_a)
        return min(limit for limit in limits if limit is not None)


@dataclass(frozen=True, slots=True)
class Check:
    """One rule put to one size: the current it must carry and the current it may [A]; `note` says what the two are.

    `by_device`: the rule asks whether the device protects the conductor, whatever the load.
    """

    rule: str
    clause: str
    needed_a: float
    allowed_a: float
    note: str = ""
    by_device: bool = False

    @property
    def passed(self) -> bool:
        """Whether the size suits this rule."""
        return self.allowed_a >= self.needed_a - 1e-9

    @property
    def use(self) -> float:
        """Needed over allowed: above 1 the rule is broken."""
        return self.needed_a / self.allowed_a


@dataclass(frozen=True, slots=True)
class Candidate:
    """One size with its capacity and the rules put to it; `too_thin`: smaller than the heater's terminal takes."""

    size: str
    capacity: Capacity
    checks: tuple[Check, ...]
    too_thin: bool = False

    @property
    def carries(self) -> bool:
        """Whether it passes every rule of current."""
        return all(check.passed for check in self.checks)

    @property
    def protection(self) -> str:
        """The case of conductors that are there: `carries`; `fails` for this load; `unprotected` at any load."""
        if self.carries:
            return "carries"
        return "fails" if all(check.passed for check in self.checks if check.by_device) else "unprotected"

    @property
    def deciding(self) -> Check:
        """The first rule it fails, in the order of the working; if none, the rule with least to spare."""
        failed = [check for check in self.checks if not check.passed]
        return failed[0] if failed else max(self.checks, key=lambda check: round(check.use, 6))

    @property
    def verdict(self) -> str:
        """In words, whether it suits and if not why."""
        if not self.carries:
            return say("too-small", rule=self.deciding.rule)
        return say("too-small-for-terminal") if self.too_thin else say("suits")


def smallest_that_suits(
    sizes: Iterable[str], judge: Callable[[str], Candidate], smallest_terminal: str
) -> tuple[Candidate, ...]:
    """Return the sizes tried, smallest first, the last of which suits; empty when none does.

    Sizes that the basis holds no capacity for are left out; none below `smallest_terminal`, the heater's, suits.
    """
    tried: list[Candidate] = []
    for size in sizes:
        try:
            found = judge(size)
        except MissingCell:
            continue
        tried.append(replace(found, too_thin=smaller(size, smallest_terminal)))
        if tried[-1].carries and not tried[-1].too_thin:
            return tuple(tried)
    return ()


def governing(tried: tuple[Candidate, ...]) -> str:
    """Return the rule that ruled out the size below the chosen one, with its clause."""
    if len(tried) == 1:
        return say("smallest-of-basis")
    below = tried[-2]
    if below.carries:
        return say("smallest-of-terminal")
    return say("deciding-rule", rule=below.deciding.rule, clause=below.deciding.clause)


def check_steps(candidate: Candidate, document: str) -> tuple[Step, ...]:
    """Return the rules put to a size as steps; `document` goes before each clause."""
    return tuple(
        Step(
            say("check-of-rule", rule=check.rule),
            (amps("I_needed", check.needed_a, "at_least"), amps("I_allowed", check.allowed_a, "at_most")),
            text(say("verdict"), say("passes") if check.passed else say("fails")),
            f"{document}{check.clause}",
            check.note,
        )
        for check in candidate.checks
    )

"""What holds for an existing circuit on every basis: its sizes are of the basis, and one circuit may not be enough."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.working import count
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Site

FEEDS = ("feeds", "described")
CIRCUITS = Rule("existing-circuits", {"one-feed": FEEDS, "several-feeds": FEEDS})


def require_known_sizes(site: Site, basis: CodeBasis) -> None:
    """Refuse, with CannotCompute, an existing circuit whose conductors are of a size the basis does not hold."""
    existing = site.existing_circuit
    if existing is None:
        return
    for key, size in (("conductor", existing.conductor), ("ground", existing.ground)):
        if size is not None and size not in basis.header.sizes:
            expected = f"one of {', '.join(basis.header.sizes)}"
            raise CannotCompute(("existing_circuit", key), f"the basis {basis.id} has no size {size}", expected)


def conductor_case(carries: bool, protected: bool) -> str:
    """Return the case of existing conductors; `protected`: their device guards them for other loads."""
    return "carries" if carries else "fails" if protected else "unprotected"


def existing_circuits(feeds: int, sources: Mapping[str, str]) -> Judgement:
    """Judge whether one existing circuit can be enough."""
    values, source = (count("feeds", feeds), count("described", 1)), sources[CIRCUITS.name]
    if feeds == 1:
        return CIRCUITS.judge("one-feed", "ok", values, source=source)
    return CIRCUITS.judge("several-feeds", "stop", values, source=source)

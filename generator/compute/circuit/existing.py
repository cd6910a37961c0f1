"""What holds for an existing circuit on every basis: its sizes are of the basis, and one circuit may not be enough."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import judgement
from generator.compute.circuit.working import count
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement
from generator.model.site import Site


def require_known_sizes(site: Site, basis: CodeBasis) -> None:
    """Refuse, with CannotCompute, an existing circuit whose conductors are of a size the basis does not hold."""
    existing = site.existing_circuit
    if existing is None:
        return
    for key, size in (("conductor", existing.conductor), ("ground", existing.ground)):
        if size is not None and size not in basis.header.sizes:
            expected = f"one of {', '.join(basis.header.sizes)}"
            raise CannotCompute(("existing_circuit", key), f"the basis {basis.id} has no size {size}", expected)


def conductor_remedy(protected: bool) -> str:
    """Return what to do about existing conductors that fail; `protected`: their device guards them for other loads."""
    if protected:
        return "Do not use this circuit for this heater. Have a new one installed."
    return "Lock it off. Do not use it for anything until breaker or cable is changed. Have a new one installed."


def existing_circuits(feeds: int, sources: Mapping[str, str]) -> Judgement:
    """Judge whether one existing circuit can be enough."""
    template = "Feeds of the heater, each with its own circuit: {feeds}; existing circuits described: {described}."
    values = (count("feeds", feeds), count("described", 1))
    why = "Two feeds on one circuit overload it."
    do = "Have a circuit installed for each feed; group and label their disconnects."
    severity: Severity = "ok" if feeds == 1 else "stop"
    return judgement("existing-circuits", severity, template, values, why, do, sources["existing-circuits"])

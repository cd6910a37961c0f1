"""Whether one existing circuit is as many as the heater needs."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import Judgement, judgement
from generator.compute.circuit.working import count
from generator.model.figures import Severity


def existing_circuits(feeds: int, sources: Mapping[str, str]) -> Judgement:
    """Judge whether one existing circuit can be enough."""
    template = "The heater has {feeds} feeds, each with its own circuit; one existing circuit is described."
    why = "Two feeds on one circuit overload it."
    do = "Have a circuit installed for each feed; group and label their disconnects."
    severity: Severity = "ok" if feeds == 1 else "stop"
    return judgement(
        "existing-circuits", severity, template, (count("feeds", feeds),), why, do, sources["existing-circuits"]
    )

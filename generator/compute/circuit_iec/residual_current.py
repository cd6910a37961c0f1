"""Residual-current protection, deferred to the national rules.

IEC 60364-7-701 asks for a device of not more than 30 mA on every circuit of a room with a bath or shower. 60364-4-41
411.3.3 names socket-outlets; for other fixed equipment the earthing system decides, TT needing one as a rule.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import Judgement, judgement
from generator.compute.circuit.working import text
from generator.model.figures import Severity
from generator.model.site import Site

LARGEST = "30 mA"
DO = "Have a residual-current device of that rated residual current or less fitted, unless national rules differ."


def residual_current_protection(site: Site, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the place calls for a residual-current device."""
    called_for = site.place.kind in ("bathroom", "outdoor")
    severity: Severity = "attention" if called_for else "ok"
    template = (
        "Place: {place}. A residual-current device of {limit} or less is asked for where people bathe or shower; "
        "elsewhere the earthing system and national rules decide."
    )
    values = (text("place", site.place.kind), text("limit", LARGEST))
    why = "A fault to wet metal kills at currents that no circuit-breaker notices."
    rule = "residual-current-protection"
    return judgement(rule, severity, template, values, why, DO, sources[rule])

"""Whether a heater stays off."""

from __future__ import annotations

from generator.compute.verdict.built import must_not_be_built
from generator.model.figures import Finding
from generator.model.results import SiteResult


def stays_off(result: SiteResult) -> tuple[Finding, ...]:
    """Return the failed checks for which the heater of a site stays off: those without a decision that holds.

    All of them, decided or not, where no circuit may be built: no decision makes one. Empty only where the
    heater may be switched on.
    """
    stops = tuple(found for found in result.findings if found.severity == "stop")
    return stops if must_not_be_built(result) else tuple(found for found in stops if not found.decided)

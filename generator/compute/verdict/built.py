"""Whether a circuit may be built at all, and whether the supply fits the heater."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from generator.model.figures import Finding
from generator.model.results import SiteResult

CircuitShown = Literal["new", "as found", "to install", "none"]

# A stop by one of these rules: the supply does not fit the heater, and nothing computed at its power is published.
UNFIT_SUPPLY = ("supply-voltage", "supply-phases")
# A stop by one of these rules: no circuit may be built as the data stand, since its sizes rest on what is not so.
VOIDING = (*UNFIT_SUPPLY, "heater-leads", "circuit-device", "wiring-method", "element-subdivision")


def unfit_supply(findings: Iterable[Finding]) -> Finding | None:
    """Return the stop by which the supply does not fit the heater, decided or not; None where it fits."""
    return _first(findings, UNFIT_SUPPLY)


def voiding(findings: Iterable[Finding]) -> Finding | None:
    """Return the stop by which no circuit may be built, decided or not; None where one may."""
    return _first(findings, VOIDING)


def must_not_be_built(result: SiteResult) -> bool:
    """Return whether no circuit may be built as the data stand; one without a device to protect it may not."""
    devices = (circuit.device for circuit in result.circuits)
    return voiding(result.findings) is not None or any(one.value is None or one.state != "ok" for one in devices)


def circuit_shown(result: SiteResult, existing: bool) -> CircuitShown:
    """Return which circuit a reader sees as the heater's: never one that must not be built or used.

    `existing`: whether a circuit is there already. It is the heater's where all checks of it pass or are waived; where
    one says stop, the new one is to install.
    """
    if must_not_be_built(result):
        return "none"
    if not existing:
        return "new"
    stops = (one for one in result.findings if one.severity == "stop" and not one.decided)
    fails = any(one.rule.startswith("existing-") for one in stops)
    return "to install" if fails else "as found"


def _first(findings: Iterable[Finding], rules: tuple[str, ...]) -> Finding | None:
    return next((one for one in findings if one.severity == "stop" and one.rule in rules), None)

"""How grave a check is: the three severities, and what a check is that can break in one way only."""

from __future__ import annotations

from generator.model.figures import Severity

OK: Severity = "ok"
ATTENTION: Severity = "attention"
STOP: Severity = "stop"


def ok_or_stop(fits: bool) -> Severity:
    """Return the severity of a check that nothing but a `stop` can break."""
    return "ok" if fits else "stop"


def ok_or_attention(fits: bool) -> Severity:
    """Return the severity of a check that a person must look at where it does not hold."""
    return "ok" if fits else "attention"

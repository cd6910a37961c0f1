"""Which supply voltages are ordinary at a rated voltage: neither a person nor a finding calls them wrong."""

from __future__ import annotations

# Supply over rated voltage, from and to: the ordinary service range (ANSI C84.1-2020 Range A, from memory).
LOWEST_ORDINARY, ORDINARY_RATIO = 0.95, 1.05


def ordinary_range_v(rated_v: float) -> tuple[float, float]:
    """Return the least and the greatest ordinary supply voltage [V] at a rated voltage [V]."""
    return LOWEST_ORDINARY * rated_v, ORDINARY_RATIO * rated_v

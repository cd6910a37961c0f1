"""Which supply voltages are ordinary at a rated voltage: neither a person nor a finding calls them wrong."""

from __future__ import annotations

from generator.model.tables.tolerances import ServiceVoltage


def ordinary_range_v(rated_v: float, service: ServiceVoltage) -> tuple[float, float]:
    """Return the least and the greatest ordinary supply voltage [V] at a rated voltage [V]: the service range."""
    return (1.0 - service.below) * rated_v, (1.0 + service.above) * rated_v


def is_ordinary(supply_v: float, rated_v: float, service: ServiceVoltage) -> bool:
    """Return whether a supply voltage [V] is ordinary at a rated voltage [V]."""
    least_v, greatest_v = ordinary_range_v(rated_v, service)
    return least_v - 1e-9 * rated_v <= supply_v <= greatest_v + 1e-9 * rated_v

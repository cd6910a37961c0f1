"""What the heater uses at work: energy a minute, and a year's cost where the site states a tariff and its use."""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.flow.operating_point import Operating
from generator.compute.sources import STATED, sources
from generator.model.figures import Figure, Step, Value
from generator.model.said import say

DAYS_A_YEAR = 365
_JOULES_PER_KWH = 3.6e6
_BALANCE = say("power-times-time")


def energy_figures(prefix: str, at: Operating, powers_w: Sequence[float]) -> tuple[Figure, ...]:
    """Return energy a minute at the working flow, and energy and cost of a year where a tariff is stated.

    `powers_w`: full power by stage [W]. The cost is a plain number in the currency that its label names.
    """
    closed = max(at.closed, default=0)
    power_w = powers_w[closed - 1] if closed else 0.0
    power = Value("P", power_w, "power", "at_least")
    minute = Value("E", power_w * 60.0, "energy", "at_least")
    note = say("stage-at-working-flow", stage=closed)
    step = Step("E = P × 1 min", (power,), minute, _BALANCE, note)
    label = say("energy-a-minute")
    per_minute = Figure(f"{prefix}.energy-a-minute", label, power_w * 60.0, "energy", "at_least", (step,))
    if at.site.tariff is None:
        return (per_minute,)
    return (per_minute, *_year(prefix, at, power, power_w=power_w))


def _year(prefix: str, at: Operating, power: Value, *, power_w: float) -> tuple[Figure, ...]:
    tariff = at.site.tariff
    assert tariff is not None
    energy_j = power_w * 60.0 * tariff.minutes_a_day * DAYS_A_YEAR
    cost = energy_j / _JOULES_PER_KWH * tariff.price_per_kwh
    minutes = Value(say("minutes-a-day"), tariff.minutes_a_day, "count")
    days = Value(say("days"), DAYS_A_YEAR, "count")
    energy = Value("E", energy_j, "energy", "at_least")
    energy_step = Step(say("energy-of-year"), (power, minutes, days), energy, sources(_BALANCE, STATED))
    price = Value(say("price-per-kwh", currency=tariff.currency), tariff.price_per_kwh, "number")
    cost_step = Step(say("cost-of-energy"), (energy, price), Value(say("cost"), cost, "number", "at_least"), STATED)
    return (
        Figure(f"{prefix}.energy-a-year", say("energy-a-year"), energy_j, "energy", "at_least", (energy_step,)),
        Figure(
            f"{prefix}.cost-a-year",
            say("cost-a-year", currency=tariff.currency),
            cost,
            "number",
            "at_least",
            (energy_step, cost_step),
        ),
    )

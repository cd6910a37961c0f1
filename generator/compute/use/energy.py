"""What the heater uses at work: energy a minute, and a year's cost where the site states a tariff and its use."""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.flow.operating_point import STATED, Operating
from generator.model.figures import Figure, Step, Value

DAYS_A_YEAR = 365
_JOULES_PER_KWH = 3.6e6
_BALANCE = "energy is power times time"


def energy_figures(prefix: str, at: Operating, powers_w: Sequence[float]) -> tuple[Figure, ...]:
    """Return energy a minute at the working flow, and energy and cost of a year where a tariff is stated.

    `powers_w`: full power by stage [W]. The cost is a plain number in the currency that its label names.
    """
    closed = max(at.closed, default=0)
    power_w = powers_w[closed - 1] if closed else 0.0
    power = Value("P", power_w, "power", "up")
    minute = Value("E", power_w * 60.0, "energy", "up")
    note = f"stage {closed} at the working flow"
    step = Step("E = P × 1 min", (power,), minute, _BALANCE, note)
    label = "Energy for each minute of use"
    per_minute = Figure(f"{prefix}.energy-a-minute", label, power_w * 60.0, "energy", "up", (step,))
    if at.site.tariff is None:
        return (per_minute,)
    return (per_minute, *_year(prefix, at, power, power_w=power_w))


def _year(prefix: str, at: Operating, power: Value, *, power_w: float) -> tuple[Figure, ...]:
    tariff = at.site.tariff
    assert tariff is not None
    energy_j = power_w * 60.0 * tariff.minutes_a_day * DAYS_A_YEAR
    cost = energy_j / _JOULES_PER_KWH * tariff.price_per_kwh
    minutes = Value("minutes a day", tariff.minutes_a_day, "count")
    days = Value("days", DAYS_A_YEAR, "count")
    energy = Value("E", energy_j, "energy", "up")
    energy_step = Step("E = P × minutes a day × days", (power, minutes, days), energy, f"{_BALANCE}; {STATED}")
    price = Value(f"{tariff.currency} per kWh", tariff.price_per_kwh, "number")
    cost_step = Step("cost = E × price", (energy, price), Value("cost", cost, "number", "up"), STATED)
    return (
        Figure(f"{prefix}.energy-a-year", "Energy of a year", energy_j, "energy", "up", (energy_step,)),
        Figure(
            f"{prefix}.cost-a-year",
            f"Cost of a year, {tariff.currency}",
            cost,
            "number",
            "up",
            (energy_step, cost_step),
        ),
    )

"""The finding `pressure-measured`: whether the heater gets its pressure, and whether scale or its screen narrows it.

The loss of a flow Q through screen and heater goes about with its square, so (p_static - p_flowing) / Q^2 of two visits
is compared; by half more than at the first is told. Severity: `attention` where the flowing pressure is below the least
that the flow switches work at, or the way has narrowed: stages then drop out or never turn on. `ok` else.
"""

from __future__ import annotations

from collections.abc import Sequence

from generator.compute.known import Known
from generator.compute.severity import ok_or_attention
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.readings import FlowingPressure, Record

SOURCE = "loss with the square of the flow; nameplate of the model; common practice, no source"
NARROWED = 1.5
RULE = Rule(
    "pressure-measured",
    {
        "none": (),
        "enough": ("flowing", "least"),
        "short": ("flowing", "least"),
        "narrowed": ("since", "share"),
    },
)


def pressure_measured(facts: Known, records: Sequence[Record]) -> Finding:
    """Return the finding `pressure-measured` of a site, by all of its records, the oldest first."""
    site, least_pa = facts.at.site, facts.at.model.water.working_pressure.least_pa
    taken = [(one.date, one.reading.pressure) for one in records if one.reading.pressure]
    if not taken:
        return RULE.judge("none", "ok", source=SOURCE).at(site.id)
    (first_day, first), (_, last) = taken[0], taken[-1]
    values = (
        Value("flowing", last.flowing_pa, "pressure", "at_most"),
        Value("least", least_pa, "pressure", "at_least"),
    )
    if last.flowing_pa < least_pa:
        return RULE.judge("short", ok_or_attention(False), values, source=SOURCE).at(site.id)
    before, now = _loss(first), _loss(last)
    if before > 0.0 and now > NARROWED * before:
        told = (Value("since", first_day.isoformat(), "text"), Value("share", now / before - 1.0, "ratio", "at_least"))
        return RULE.judge("narrowed", ok_or_attention(False), told, source=SOURCE).at(site.id)
    return RULE.judge("enough", "ok", values, source=SOURCE).at(site.id)


def _loss(pressure: FlowingPressure) -> float:
    """Return the loss over the square of the flow [Pa s2/m6].

    >>> _loss(FlowingPressure(static_pa=3e5, flowing_pa=2e5, flow_m3_s=1e-4))
    10000000000000.0
    """
    return (pressure.static_pa - pressure.flowing_pa) / pressure.flow_m3_s**2

"""Sites that draw from one well pump or service: what all of them ask of it together.

Pressure, flow and stages of a site are computed as if it drew alone. `shared-source` is returned for a site that names
its water source. `attention` when all sites together ask for more than the source gives, or when what it gives is not
stated: the pressure then falls while others draw, stages drop out and the water runs cold. No danger by itself: how hot
water gets as the flow falls is judged by `hottest-water`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from generator.compute.finding import finding
from generator.compute.flow.operating_point import STATED, wanted_flow_m3_s
from generator.model.figures import Finding, Severity, Value
from generator.model.site import Site

WHY = "Sites on one pump or service take pressure from each other: a stage drops out, and the water runs cold."
MEASURE = "Measure pressure and flow at this heater while all the others run, and set it with those."


def shared_source(site: Site, sites: Iterable[Site]) -> tuple[Finding, ...]:
    """Return `shared-source` for a site that names its water source, of all `sites`; none for one that does not."""
    source = site.water.source
    if source is None:
        return ()
    others = [
        other for other in sites if other.id != site.id and other.water.source and other.water.source.id == source.id
    ]
    flows = [wanted_flow_m3_s(one) for one in (site, *others)]
    total, greatest = math.fsum(flows), source.greatest_flow_m3_s
    names, values = _named(others, flows[1:])
    parts = [f"This site asks {{own}} of water source {{source}}.{names}"]
    values = (Value("source", source.id, "text"), Value("own", flows[0], "flow", "up"), *values)
    severity: Severity = "attention" if others else "ok"
    if greatest is not None:
        parts.append("{total} together; it gives {greatest}.")
        values += (Value("total", total, "flow", "up"), Value("greatest", greatest, "flow", "down"))
        severity = "attention" if total > greatest * (1.0 + 1e-9) else "ok"
    elif others:
        parts.append("What it gives is not stated: pressure and flow here are for one site at a time.")
    do = MEASURE if severity == "attention" else "Nothing to do."
    return (finding(site, "shared-source", severity, (" ".join(parts), values), WHY, do, STATED),)


def _named(others: list[Site], flows: list[float]) -> tuple[str, tuple[Value, ...]]:
    """Return a sentence that names the other sites, each with its flow [m3/s]."""
    if not others:
        return " No other site of this handbook names it.", ()
    listed = ", ".join(f"{{site_{number}}} {{flow_{number}}}" for number in range(1, len(others) + 1))
    values = (
        value
        for number, (other, flow) in enumerate(zip(others, flows, strict=True), 1)
        for value in (Value(f"site_{number}", other.title, "text"), Value(f"flow_{number}", flow, "flow", "up"))
    )
    return f" Others on it: {listed}.", tuple(values)

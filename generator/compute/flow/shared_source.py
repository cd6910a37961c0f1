"""Sites that draw from one well pump or service: what all of them ask of it together.

Pressure, flow and stages of a site are computed as if it drew alone. `shared-source` is returned for a site that names
its water source. `attention` when all sites together ask for more than the source gives, or when what it gives is not
stated: the pressure then falls while others draw, stages drop out and the water runs cold. No danger by itself: how hot
water gets as the flow falls is judged by `hottest-water`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from generator.compute.flow.operating_point import wanted_flow_m3_s
from generator.compute.severity import ok_or_attention
from generator.compute.sources import STATED
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.site import Site

VALUES = ("source", "own", "total", "greatest")
SHARED = Rule(
    "shared-source",
    {"alone": VALUES, "enough": VALUES, "too-little": VALUES, "not-stated": VALUES},
    lists={"others": ("site", "flow")},
)


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
    rows = tuple(
        {"site": Value("site", other.title, "text"), "flow": Value("flow", flow, "flow", "at_least")}
        for other, flow in zip(others, flows[1:], strict=True)
    )
    values: tuple[Value, ...] = (Value("source", source.id, "text"), Value("own", flows[0], "flow", "at_least"))
    case = "not-stated" if others else "alone"
    if greatest is not None:
        values += (Value("total", total, "flow", "at_least"), Value("greatest", greatest, "flow", "at_most"))
        case = "too-little" if total > greatest * (1.0 + 1e-9) else "enough"
    severity = ok_or_attention(case in ("alone", "enough"))
    return (SHARED.judge(case, severity, values, lists={"others": rows}, source=STATED).at(site.id),)

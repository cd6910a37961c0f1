"""The finding `inlet-year`: how well the inlet temperature is known.

`attention` where it is estimated from a climate in which the estimate reaches freezing, for then the correlation is
used beyond what it was made for. `ok` otherwise; an estimate is told from a statement.
"""

from __future__ import annotations

from generator.compute.heat.inlet import SOURCE, Season
from generator.compute.sources import STATED
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.site import Site
from generator.si import FREEZING_K

VALUES = ("how", "coldest", "hottest")
INLET_YEAR = Rule(
    "inlet-year",
    {"stated": VALUES, "estimated": VALUES, "estimated-frozen": VALUES},
    choices={"how": ("seasons", "monthly", "climate")},
)


def inlet_year_finding(site: Site, inlet: Season) -> Finding:
    """Return `inlet-year`: coldest and hottest inlet and where they come from."""
    how = site.water.inlet.method
    values = (
        Value("how", how, "text"),
        Value("coldest", inlet.coldest_k, "temperature"),
        Value("hottest", inlet.warmest_k, "temperature"),
    )
    if how != "climate":
        return INLET_YEAR.judge("stated", "ok", values, source=STATED).at(site.id)
    if inlet.coldest_k <= FREEZING_K:
        return INLET_YEAR.judge("estimated-frozen", "attention", values, source=SOURCE).at(site.id)
    return INLET_YEAR.judge("estimated", "ok", values, source=SOURCE).at(site.id)

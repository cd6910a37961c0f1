"""The finding `inlet-year`: how well the inlet temperature is known.

`attention` where it is estimated from a climate in which the estimate reaches freezing, for then the correlation is
used beyond what it was made for. `ok` otherwise; an estimate is told from a statement.
"""

from __future__ import annotations

from generator.compute.heat.inlet import SOURCE, STATED
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.site import Site
from generator.model.water_results import InletYear
from generator.si import FREEZING_K

VALUES = ("how", "coldest", "hottest")
INLET_YEAR = Rule(
    "inlet-year",
    {"stated": VALUES, "estimated": VALUES, "estimated-frozen": VALUES},
    choices={"how": ("seasons", "monthly", "climate")},
)


def inlet_finding(site: Site, inlet: InletYear) -> Finding:
    """Return `inlet-year`: coldest and hottest inlet and where they come from."""
    assert isinstance(inlet.coldest.value, float)
    assert isinstance(inlet.hottest.value, float)
    values = (
        Value("how", inlet.method, "text"),
        Value("coldest", inlet.coldest.value, "temperature", "down"),
        Value("hottest", inlet.hottest.value, "temperature", "up"),
    )
    if inlet.method != "climate":
        return INLET_YEAR.judge("stated", "ok", values, source=STATED).at(site.id)
    if inlet.coldest.value <= FREEZING_K:
        return INLET_YEAR.judge("estimated-frozen", "attention", values, source=SOURCE).at(site.id)
    return INLET_YEAR.judge("estimated", "ok", values, source=SOURCE).at(site.id)

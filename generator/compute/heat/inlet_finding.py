"""The finding `inlet-year`: how well the inlet temperature is known.

`attention` where it is estimated from a climate in which the estimate reaches freezing, for then the correlation is
used beyond what it was made for. `ok` otherwise; an estimate is told from a statement.
"""

from __future__ import annotations

from generator.compute.finding import finding
from generator.compute.heat.inlet import SOURCE, STATED
from generator.model.figures import Finding, Value
from generator.model.site import Site
from generator.model.water_results import InletYear
from generator.si import FREEZING_K

_WHY = "The coldest inlet decides whether the target is reached, the hottest how hot the water can get."
_HOW = {"seasons": "stated for winter and summer", "monthly": "stated month by month", "climate": "estimated"}


def inlet_finding(site: Site, inlet: InletYear) -> Finding:
    """Return `inlet-year`: coldest and hottest inlet and where they come from."""
    assert isinstance(inlet.coldest.value, float)
    assert isinstance(inlet.hottest.value, float)
    values = (
        Value("how", _HOW[inlet.method], "text"),
        Value("coldest", inlet.coldest.value, "temperature", "down"),
        Value("hottest", inlet.hottest.value, "temperature", "up"),
    )
    found = ("The inlet is {how}: {coldest} at its coldest, {hottest} at its hottest.", values)
    if inlet.method != "climate":
        do = "Measure the inlet when commissioning, and note the date."
        return finding(site, "inlet-year", "ok", found, _WHY, do, STATED)
    frozen = inlet.coldest.value <= FREEZING_K
    do = "Measure the inlet in the coldest and in the hottest month, and state it here in place of the climate."
    return finding(site, "inlet-year", "attention" if frozen else "ok", found, _WHY, do, SOURCE)

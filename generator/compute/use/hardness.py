"""Hard water and scale: the class of the water by the US Geological Survey, and what it does to a heater."""

from __future__ import annotations

from generator.compute.finding import finding
from generator.model.figures import Finding, Severity, Value
from generator.model.site import Site

SOURCE = "US Geological Survey, classes of water hardness as calcium carbonate"
# Upper end of each class [kg/m3]; 1 mg/L is 0.001 kg/m3.
CLASSES = ((0.060, "soft"), (0.120, "moderately hard"), (0.180, "hard"))

# What to do by class, where scale grows fast enough to need it; the page on maintenance gives the same intervals.
DESCALE = {
    "hard": "Descale twice a year, keep the outlet no hotter than needed, and consider softening the water.",
    "very hard": (
        "Descale every three months at first, then as often as the scale you find asks for, never less than twice a "
        "year. Soften the water before the heater, and ask the maker whether it may run on such water."
    ),
}


def hardness_class(hardness_kg_m3: float) -> str:
    """Return the class of a hardness [kg/m3 as calcium carbonate]: to 60, 120, 180 mg/L, and above."""
    return next((name for most, name in CLASSES if hardness_kg_m3 <= most * (1.0 + 1e-9)), "very hard")


def hardness_finding(site: Site) -> Finding:
    """Return `hardness`. `attention` for hard water and up, where scale insulates elements and clogs the screen.

    Water of unknown hardness is `ok`, with the advice to have it measured: nothing was found against it.
    """
    why = "Hard water leaves scale where it is heated: it insulates the elements, which then fail, and narrows the way."
    if site.water.hardness_kg_m3 is None:
        found = ("The hardness of the water is not stated.", ())
        return finding(site, "hardness", "ok", found, why, "Have it measured, or ask the water supplier.", SOURCE)
    name = hardness_class(site.water.hardness_kg_m3)
    values = (Value("hardness", site.water.hardness_kg_m3, "concentration", "up"), Value("class", name, "text"))
    severity: Severity = "attention" if name in DESCALE else "ok"
    do = DESCALE.get(name, "Look for scale at the yearly service.")
    source = f"{SOURCE}; intervals: common practice, no source; the heater's instructions govern"
    return finding(site, "hardness", severity, ("At {hardness} the water is {class}.", values), why, do, source)

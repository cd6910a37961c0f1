"""Hard water and scale: the class of the water by the US Geological Survey, and what it does to a heater."""

from __future__ import annotations

from generator.compute.sources import sources
from generator.model.figures import Finding, Value
from generator.model.finding_rules import Rule
from generator.model.said import say
from generator.model.site import Site

SOURCE = "US Geological Survey, classes of water hardness as calcium carbonate"
# Upper end of each class [kg/m3]; 1 mg/L is 0.001 kg/m3.
CLASSES = ((0.060, "soft"), (0.120, "moderately-hard"), (0.180, "hard"))

CLASS_NAMES = (*(name for _, name in CLASSES), "very-hard")
HARDNESS = Rule(
    "hardness",
    {"not-stated": (), **{case: ("hardness", "class") for case in ("soft", "hard", "very-hard")}},
    choices={"class": CLASS_NAMES},
)


def hardness_class(hardness_kg_m3: float) -> str:
    """Return the class of a hardness [kg/m3 as calcium carbonate]: to 60, 120, 180 mg/L, and above."""
    return next((name for most, name in CLASSES if hardness_kg_m3 <= most * (1.0 + 1e-9)), "very-hard")


def hardness_finding(site: Site) -> Finding:
    """Return `hardness`. `attention` for hard water and up, where scale insulates elements and clogs the screen.

    Water of unknown hardness is `ok`, with the advice to have it measured: nothing was found against it.
    """
    if site.water.hardness_kg_m3 is None:
        return HARDNESS.judge("not-stated", "ok", source=SOURCE).at(site.id)
    name = hardness_class(site.water.hardness_kg_m3)
    values = (Value("hardness", site.water.hardness_kg_m3, "concentration", "at_least"), Value("class", name, "text"))
    source = sources(SOURCE, say("hardness-intervals"))
    if name == "hard":
        return HARDNESS.judge("hard", "attention", values, source=source).at(site.id)
    if name == "very-hard":
        return HARDNESS.judge("very-hard", "attention", values, source=source).at(site.id)
    return HARDNESS.judge("soft", "ok", values, source=source).at(site.id)

"""Whether the place suits: a disconnect at hand, and an enclosure fit for the wet."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import judgement
from generator.compute.circuit.working import count, text
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement
from generator.model.heater import HeaterModel
from generator.model.site import Site

# How much water an enclosure stands, and how much a place brings. A bathroom is damp where people shower or bathe.
ENCLOSURES = ("indoor", "damp", "outdoor")
PLACES = {"indoor": "indoor", "kitchen": "indoor", "bathroom": "indoor", "damp": "damp", "outdoor": "outdoor"}
BATHING = ("shower", "tub")
# Whether the disconnects of several feeds stand together, in words.
_GROUPED = {
    True: "Those of its {feeds} feeds stand together, each marked.",
    False: "Those of its {feeds} feeds do not stand together.",
    None: "Whether those of its {feeds} feeds stand together is not stated.",
}


def disconnect(site: Site, feeds: int, sources: Mapping[str, str]) -> Judgement:
    """Judge the means to disconnect the heater: in sight or lockable open; those of several `feeds` grouped, 422.30."""
    there, grouped = site.place.disconnect, site.place.disconnects_grouped
    template = {
        "in sight": "A means to disconnect the heater is within sight of it.",
        "lockable": "The means to disconnect is out of sight and can be locked open, the lock's fitting staying on it.",
        "none": "No means to disconnect the heater is within sight of it or can be locked open.",
    }[there]
    severity: Severity = "stop" if there == "none" else "ok"
    why = "Whoever works on the heater must be sure that nobody can switch it on meanwhile."
    do = (
        "Fit a disconnect within sight, or a locking fitting on the branch-circuit device that stays in place without "
        "the lock. It opens every line conductor."
    )
    if feeds > 1:
        template += f" {_GROUPED[grouped]}"
        if severity == "ok" and not grouped:
            severity = "attention" if grouped is None else "stop"
            why = "Whoever opens one disconnect and misses the other works on a heater that is still live."
            do = "Have the disconnects set side by side, each marked with its number, such as 1 of 2, and state it."
    values = (count("feeds", feeds),) if feeds > 1 else ()
    return judgement("disconnect", severity, template, values, why, do, sources["disconnect"])


def enclosure(site: Site, model: HeaterModel, sources: Mapping[str, str]) -> Judgement:
    """Judge the heater's enclosure against the wet of the place."""
    bathing = site.place.kind == "bathroom" and any(fixture.kind in BATHING for fixture in site.fixtures)
    needed = "damp" if bathing else PLACES[site.place.kind]
    fits = ENCLOSURES.index(model.enclosure) >= ENCLOSURES.index(needed)
    values = (text("enclosure", model.enclosure), text("place", site.place.kind), text("needed", needed))
    template = "Place: {place}. Enclosure needed: {needed}; the heater's enclosure: {enclosure}."
    why = "Water that enters the enclosure bridges live parts."
    do = "Use a heater whose enclosure is listed for the place, or hang it where it stays dry."
    return judgement("enclosure", "ok" if fits else "stop", template, values, why, do, sources["enclosure"])

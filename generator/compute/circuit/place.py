"""Whether the place suits: a disconnect at hand, and an enclosure fit for the wet."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import Judgement, judgement
from generator.compute.circuit.working import text
from generator.model.heater import HeaterModel
from generator.model.site import Site

# How much water an enclosure stands, and how much a place brings. A bathroom is damp where people shower or bathe.
ENCLOSURES = ("indoor", "damp", "outdoor")
PLACES = {"indoor": "indoor", "kitchen": "indoor", "bathroom": "indoor", "damp": "damp", "outdoor": "outdoor"}
BATHING = ("shower", "tub")


def disconnect(site: Site, sources: Mapping[str, str]) -> Judgement:
    """Judge the means to disconnect the heater: in sight, or lockable in the open position."""
    there = site.place.disconnect
    template = {
        "in sight": "A means to disconnect the heater is within sight of it.",
        "lockable": "The means to disconnect is out of sight and can be locked open, the lock's fitting staying on it.",
        "none": "No means to disconnect the heater is within sight of it or can be locked open.",
    }[there]
    why = "Whoever works on the heater must be sure that nobody can switch it on meanwhile."
    do = (
        "Fit a disconnect within sight, or a locking fitting on the branch-circuit device that stays in place without "
        "the lock. It opens every line conductor."
    )
    return judgement("disconnect", "stop" if there == "none" else "ok", template, (), why, do, sources["disconnect"])


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

"""Whether the place suits: a disconnect at hand, and an enclosure fit for the wet."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.working import count, text
from generator.compute.severity import ok_or_stop
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import HeaterModel
from generator.model.site import Site

# How much water an enclosure stands, and how much a place brings. A bathroom is damp where people shower or bathe.
ENCLOSURES = ("indoor", "damp", "outdoor")
PLACES = {"indoor": "indoor", "kitchen": "indoor", "bathroom": "indoor", "damp": "damp", "outdoor": "outdoor"}
BATHING = ("shower", "tub")
# Where the disconnect is, and by the name of the value whether those of several feeds stand together.
MEANS = ("means", "together", "apart", "not_stated")
DISCONNECT = Rule(
    "disconnect",
    {"at-hand": MEANS, "none": MEANS, "grouping-not-stated": MEANS, "not-grouped": MEANS},
    choices={"means": ("in sight", "lockable", "none")},
)
ENCLOSURE_VALUES = ("enclosure", "place", "needed")
ENCLOSURE = Rule("enclosure", {"fits": ENCLOSURE_VALUES, "does-not-fit": ENCLOSURE_VALUES})


def disconnect(site: Site, feeds: int, sources: Mapping[str, str]) -> Judgement:
    """Judge the means to disconnect the heater: in sight or lockable open; those of several `feeds` grouped, 422.30."""
    there, grouped = site.place.disconnect, site.place.disconnects_grouped
    values = [text("means", there)]
    if feeds > 1:
        values.append(count("not_stated" if grouped is None else "together" if grouped else "apart", feeds))
    case, severity = _disconnected(there, feeds == 1 or grouped)
    return DISCONNECT.judge(case, severity, tuple(values), source=sources[DISCONNECT.name])


def _disconnected(there: str, grouped: bool | None) -> tuple[str, Severity]:
    if there == "none":
        return "none", "stop"
    if grouped is None:
        return "grouping-not-stated", "attention"
    return ("at-hand", "ok") if grouped else ("not-grouped", "stop")


def enclosure(site: Site, model: HeaterModel, sources: Mapping[str, str]) -> Judgement:
    """Judge the heater's enclosure against the wet of the place."""
    bathing = site.place.kind == "bathroom" and any(fixture.kind in BATHING for fixture in site.fixtures)
    needed = "damp" if bathing else PLACES[site.place.kind]
    fits = ENCLOSURES.index(model.enclosure) >= ENCLOSURES.index(needed)
    values = (text("enclosure", model.enclosure), text("place", site.place.kind), text("needed", needed))
    case, severity = ("fits" if fits else "does-not-fit"), ok_or_stop(fits)
    return ENCLOSURE.judge(case, severity, values, source=sources[ENCLOSURE.name])

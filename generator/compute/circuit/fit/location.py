"""Whether the place suits: a disconnect at hand, and an enclosure fit for the wet."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.values import choice, count, text
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import HeaterModel
from generator.model.site import Site

# How much water an enclosure stands, and how much a place brings. A bathroom is damp where people shower or bathe.
ENCLOSURES = ("indoor", "damp", "outdoor")
BATHING = ("shower", "tub")
# A fixture with a hose, in whose reach a place is washed down.
HOSED = "rinse bay"
# Where the disconnect is, and by the name of the value whether those of several feeds stand together.
MEANS = ("means", "together", "apart", "not_stated")
DISCONNECT = Rule(
    "disconnect",
    {"at-hand": MEANS, "none": MEANS, "grouping-not-stated": MEANS, "not-grouped": MEANS},
    choices={"means": ("in sight", "lockable", "none")},
    stops=("none", "not-grouped"),
)
ENCLOSURE_VALUES = ("enclosure", "place", "needed")
ENCLOSURE = Rule(
    "enclosure",
    {case: ENCLOSURE_VALUES for case in ("fits", "does-not-fit", "freezing", "hosed")},
    choices={"enclosure": ENCLOSURES, "needed": ENCLOSURES},
    stops=("does-not-fit",),
)


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
    """Judge the heater's enclosure against the wet of the place.

    `attention` where a hose may reach a place that is stated as dry or damp, and where one made for dry places may meet
    the damp of a place that is left to freeze.
    """
    place, needed = site.place, _needed(site)
    values = (text("enclosure", model.enclosure), choice("place", place.kind), text("needed", needed))
    case, severity = _enclosed(site, ENCLOSURES.index(model.enclosure), ENCLOSURES.index(needed))
    return ENCLOSURE.judge(case, severity, values, source=sources[ENCLOSURE.name])


def _needed(site: Site) -> str:
    if site.place.wet:
        return "outdoor"
    bathing = site.place.kind == "bathroom" and any(fixture.kind in BATHING for fixture in site.fixtures)
    return "damp" if bathing or site.place.damp else "indoor"


def _enclosed(site: Site, there: int, needed: int) -> tuple[str, Severity]:
    """Return case and severity of an enclosure where another is needed, both by their place in ENCLOSURES."""
    if there < needed:
        return "does-not-fit", "stop"
    if there < ENCLOSURES.index("outdoor") and any(fixture.kind == HOSED for fixture in site.fixtures):
        return "hosed", "attention"
    if site.place.freezing and there == ENCLOSURES.index("indoor"):
        return "freezing", "attention"
    return "fits", "ok"

"""The wiring system against water: IEC 60364-5-52 522.3, external influence AD.

The installation methods of the capacity tables say how heat leaves a conductor, not whether its cable stands water.
Severity: `attention` where the route is wet or the place damp or outdoors, since someone must choose cable, glands and
conduits for it; nothing in the site's data tells that it was done.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import judgement
from generator.compute.circuit.iec.conditions import Conditions
from generator.compute.circuit.working import text
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement
from generator.model.site import Site

RULE = "wiring-method"


def wiring_method(site: Site, conditions: Conditions, sources: Mapping[str, str]) -> Judgement:
    """Judge whether water reaches the wiring system, which then must be made for it."""
    wet = "wet" if site.route.wet else site.place.kind if site.place.kind in ("damp", "outdoor") else "dry"
    severity: Severity = "ok" if wet == "dry" else "attention"
    values = (
        text("method", conditions.method.title),
        text("insulation", conditions.insulation),
        text("location", wet),
    )
    template = "{method}, {insulation} insulation. Location: {location}."
    why = "Water that enters a cable, a gland or a conduit spoils the insulation from inside; faults follow."
    do = (
        "Have cable, glands and conduits chosen for the presence of water there (AD class, IP code), and laid so that "
        "water runs off."
    )
    return judgement(RULE, severity, template, values, why, do, sources[RULE])

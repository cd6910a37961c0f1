"""The wiring system against water: IEC 60364-5-52 522.3, external influence AD.

The installation methods of the capacity tables say how heat leaves a conductor, not whether its cable stands water.
Severity: `attention` where the route is wet or the place damp or outdoors, since someone must choose cable, glands and
conduits for it; nothing in the site's data tells that it was done.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.iec.conditions import Conditions
from generator.compute.circuit.working import text
from generator.compute.severity import ok_or_attention
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Site

VALUES = ("method", "insulation", "location")
WIRING = Rule(
    "wiring-method",
    {"iec-dry": VALUES, "iec-wet": VALUES},
    choices={"location": ("wet", "damp", "outdoor", "dry")},
)


def wiring_method(site: Site, conditions: Conditions, sources: Mapping[str, str]) -> Judgement:
    """Judge whether water reaches the wiring system, which then must be made for it."""
    wet = "wet" if site.route.wet else site.place.kind if site.place.kind in ("damp", "outdoor") else "dry"
    values = (
        text("method", conditions.method.title),
        text("insulation", conditions.insulation),
        text("location", wet),
    )
    dry = wet == "dry"
    return WIRING.judge("iec-dry" if dry else "iec-wet", ok_or_attention(dry), values, source=sources[WIRING.name])

"""The wiring method in an agricultural building, NFPA 70 article 547.

547.1: buildings with dust, dust with water, or a corrosive atmosphere, to which belongs what is damp and wet by reason
of periodic washing (secondary copies of 2017 and 2020). A clean and dry room of a farm may lie outside it, so that dry
asks for a look where damp stops.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.us.conditions import Conditions
from generator.compute.circuit.values import text
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Site

METHOD = ("method",)
FARM = Rule(
    "agricultural-wiring",
    {
        "elsewhere": (),
        "named-dry": METHOD,
        "named-damp": METHOD,
        "suitable": METHOD,
        "unfit-dry": METHOD,
        "unfit": METHOD,
    },
    stops=("unfit",),
)


def agricultural_wiring(site: Site, conditions: Conditions, sources: Mapping[str, str]) -> Judgement:
    """Judge the wiring method in an agricultural building: `stop` for one left out of damp places."""
    source, method = sources[FARM.name], conditions.method
    if site.place.occupancy != "agricultural" or method is None:
        return FARM.judge("elsewhere", "ok", source=source)
    case, severity = _case(method.farm, site.route.wet or site.place.damp)
    return FARM.judge(case, severity, (text("method", method.title),), source=source)


def _case(farm: str, damp: bool) -> tuple[str, Severity]:
    if farm == "not named":
        return ("unfit", "stop") if damp else ("unfit-dry", "attention")
    if farm == "suitable":
        return "suitable", "attention"
    return ("named-damp", "attention") if damp else ("named-dry", "ok")

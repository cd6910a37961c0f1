"""Residual-current protection: what the place and the earthing system ask for, against what the site states.

IEC 60364-7-701 asks for at most 30 mA on every circuit of a room with a bath or shower, 60364-4-41 411.3.3 and 415.1
for as much outdoors; 60364-7-705 asks for at most 300 mA on every circuit of agricultural and horticultural premises.
A TT system clears a fault to earth by such a device as a rule (411.5). All from memory.

Severity: `attention` where the earthing system or the device is not stated, since then nobody knows what clears a
fault, and in an IT system, which asks for more than this handbook judges; `stop` where the stated device is larger than
the place allows. National rules may ask for more. The disconnection time is proved by measurement in every case.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.working import text
from generator.model.figures import Severity, Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Site

# Longest disconnection time [s] of a final circuit of this heater's kind: 60364-4-41 table 41.1, 120 V < U0 <= 230 V.
DISCONNECTION_S = {"TN-S": 0.4, "TN-C-S": 0.4, "TT": 0.2}
VALUES = ("place", "occupancy", "earthing", "device", "limit", "asked_by", "time", "proved_by")
PROTECTION = Rule(
    "residual-current-protection",
    {
        "too-large": VALUES,
        "neither-stated": VALUES,
        "earthing-not-stated": VALUES,
        "device-not-stated": VALUES,
        "it-system": (*VALUES, "judged_by"),
        "ok": VALUES,
    },
)


def residual_current_protection(site: Site, sources: Mapping[str, str]) -> Judgement:
    """Judge the residual-current device against the place and the earthing system."""
    earthing, device, limit = site.supply.earthing, site.supply.residual_current_device, _limit(site)
    case, severity = _verdict(earthing, device, limit)
    values = [
        text("place", site.place.kind),
        text("occupancy", site.place.occupancy),
        text("proved_by", sources["disconnection-time"]),
    ]
    if earthing is not None:
        values.append(text("earthing", earthing))
    if device is not None:
        values.append(text("device", device))
    if limit is not None:
        values += [text("limit", f"{limit[0]} mA"), text("asked_by", sources[limit[1]])]
    if earthing in DISCONNECTION_S:
        values.append(Value("time", DISCONNECTION_S[earthing], "time", "down"))
    if case == "it-system":
        values.append(text("judged_by", sources["it-system"]))
    return PROTECTION.judge(case, severity, tuple(values), source=sources[PROTECTION.name])


def _limit(site: Site) -> tuple[int, str] | None:
    """Return the greatest rated residual current [mA] that the place allows, and the rule that says so."""
    if site.place.kind == "bathroom":
        return 30, "residual-current-bathroom"
    if site.place.kind == "outdoor":
        return 30, "residual-current-outdoor"
    if site.place.occupancy == "agricultural":
        return 300, "residual-current-agricultural"
    return None


def _verdict(earthing: str | None, device: str | None, limit: tuple[int, str] | None) -> tuple[str, Severity]:
    if device is not None and limit is not None and int(device.split()[0]) > limit[0]:
        return "too-large", "stop"
    if device is None:
        return "neither-stated" if earthing is None else "device-not-stated", "attention"
    if earthing is None:
        return "earthing-not-stated", "attention"
    return ("it-system", "attention") if earthing == "IT" else ("ok", "ok")

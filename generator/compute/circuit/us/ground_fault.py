"""Ground-fault protection for people, deferred to local adoption.

210.8(F): outdoor outlets of dwellings, single-phase, to 150 V to ground and 50 A, hard-wired ones included. 210.8(A),
(B) and (D) and 422.5 name receptacles and certain appliances, not permanently wired water heaters.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.working import amps, text
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Site

LARGEST_DEVICE_A = 50.0
VALUES = ("place", "occupancy", "device")
PROTECTION = Rule("ground-fault-protection", {"asked": ("device",), "local": VALUES, "not-named": VALUES})


def ground_fault_protection(site: Site, device_a: float, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the place calls for ground-fault protection of the heater's circuit."""
    place = site.place
    device, source = amps("device", device_a), sources[PROTECTION.name]
    if place.kind == "outdoor" and place.occupancy == "dwelling" and device_a <= LARGEST_DEVICE_A:
        return PROTECTION.judge("asked", "attention", (device,), source=source)
    values = (text("place", place.kind), text("occupancy", place.occupancy), device)
    if place.kind in ("outdoor", "bathroom"):
        return PROTECTION.judge("local", "attention", values, source=source)
    return PROTECTION.judge("not-named", "ok", values, source=source)

"""Ground-fault protection for people, deferred to local adoption.

210.8(F): outdoor outlets of dwellings, single-phase, to 150 V to ground and 50 A, hard-wired ones included. 210.8(A),
(B) and (D) and 422.5 name receptacles and certain appliances, not permanently wired water heaters.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import judgement
from generator.compute.circuit.working import amps, text
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement
from generator.model.site import Site

WHY = "Near water and bare ground a fault that a breaker ignores can kill."
LARGEST_DEVICE_A = 50.0
UNNAMED = (
    "Place: {place}, occupancy: {occupancy}, device: {device}. The code names no permanently wired water heater here; "
    "local rules may."
)


def ground_fault_protection(site: Site, device_a: float, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the place calls for ground-fault protection of the heater's circuit."""
    place = site.place
    values = (text("place", place.kind), text("occupancy", place.occupancy), amps("device", device_a))
    severity: Severity = "attention"
    if place.kind == "outdoor" and place.occupancy == "dwelling" and device_a <= LARGEST_DEVICE_A:
        template = "Outdoors at a dwelling on a {device} device: the code asks for ground-fault protection."
        do = "Fit a ground-fault circuit interrupter for people (class A), unless the adopted code says otherwise."
    elif place.kind in ("outdoor", "bathroom"):
        template = UNNAMED
        do = (
            "Ask the authority having jurisdiction whether ground-fault protection is adopted for this place. With a "
            "plug and receptacle it is."
        )
    else:
        severity, do = "ok", ""
        template = UNNAMED
    return judgement("ground-fault-protection", severity, template, values, WHY, do, sources["ground-fault-protection"])

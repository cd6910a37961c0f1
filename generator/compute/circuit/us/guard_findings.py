"""Whether the place calls for a device that guards people or wiring: ground-fault and arc-fault protection.

210.8(F) of 2023 (secondary copies): outlets of dwellings outdoors, those in garages with a floor at or below grade, in
accessory buildings and in boathouses included, single-phase, to 150 V to ground and 50 A, hard-wired ones and those of
equipment that is replaced too. Whether "in" these buildings means their inside is read differently (2026 says "at"),
so they ask for a look. 210.8(A), (B) and (D) and 422.5 name receptacles and certain appliances, not permanently wired
water heaters.

210.12 of 2023 (secondary copies): circuits of 120 V and 10, 15 or 20 A to outlets or devices, hard-wired ones included,
in the rooms of a dwelling unit; bathrooms, garages and the outdoors are not named.

Up to which device and voltage stands with the basis (`guards` in basis.yaml).
"""

from __future__ import annotations

from generator.compute.circuit.stated_by_basis import stated
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.us.system_finding import wye
from generator.compute.circuit.values import amps, choice, text
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis

OUTBUILDINGS = ("garage", "accessory building", "boathouse")
ROOMS = ("indoor", "kitchen", "damp", "wash-down")
GUARDED = ("place", "occupancy", "building", "device")
GROUND_FAULT = Rule(
    "ground-fault-protection",
    {case: GUARDED for case in ("asked", "asked-perhaps", "building-not-stated", "local", "not-named")},
)
ARC_FAULT = Rule("arc-fault-protection", {"asked": ("place", "device"), "not-named": ("place", "occupancy", "device")})


def ground_fault_protection(
    site: Site, connection: SupplyConnection, device_a: float, *, basis: CodeBasis
) -> Judgement:
    """Judge whether the place calls for ground-fault protection of the heater's circuit, on a device [A]."""
    place = site.place
    values = [choice("place", place.kind), choice("occupancy", place.occupancy), amps("device", device_a)]
    if place.building is not None:
        values.append(text("building", place.building))
    to = stated(basis.header.guards.ground_fault, "guards", basis)
    small = device_a <= to.device_a and to_ground_v(site, connection) <= to.to_ground_v
    case, severity = _ground_fault(site, small and connection.phases == 1)
    return GROUND_FAULT.judge(case, severity, tuple(values), source=basis.rules.sources[GROUND_FAULT.name])


def _ground_fault(site: Site, within: bool) -> tuple[str, Severity]:
    place = site.place
    if place.occupancy == "dwelling" and within:
        if place.kind == "outdoor":
            return "asked", "attention"
        if place.building in OUTBUILDINGS:
            return "asked-perhaps", "attention"
        if place.building is None:
            return "building-not-stated", "attention"
    return ("local", "attention") if place.kind in ("outdoor", "wash-down", "bathroom") else ("not-named", "ok")


def to_ground_v(site: Site, connection: SupplyConnection) -> float:
    """Return the least that a line of the connection may have to ground [V], so that no protection is left out.

    To neutral as it is; of two lines half, or on a wye by the square root of three; on a corner-grounded delta whole.
    """
    if connection.to_neutral or site.supply.system == "corner-grounded delta":
        return connection.voltage_v
    return connection.voltage_v / (3.0**0.5 if wye(site, connection) else 2.0)


def arc_fault_protection(site: Site, connection: SupplyConnection, device_a: float, *, basis: CodeBasis) -> Judgement:
    """Judge whether the room calls for arc-fault protection of the heater's circuit, on a device [A]."""
    place, source, device = site.place, basis.rules.sources[ARC_FAULT.name], amps("device", device_a)
    to = stated(basis.header.guards.arc_fault, "guards", basis)
    small = connection.to_neutral and connection.voltage_v <= to.voltage_v and device_a <= to.device_a
    room = place.kind in ROOMS and place.building not in OUTBUILDINGS
    if place.occupancy == "dwelling" and small and room:
        return ARC_FAULT.judge("asked", "attention", (choice("place", place.kind), device), source=source)
    values = (choice("place", place.kind), choice("occupancy", place.occupancy), device)
    return ARC_FAULT.judge("not-named", "ok", values, source=source)

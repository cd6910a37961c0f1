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

from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.working import text
from generator.model.figures import Severity, Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Site

# Longest disconnection time [s], 60364-4-41 table 41.1, by the voltage of a line to earth U0 [V] up to which it holds,
# for final circuits to 32 A; above 32 A 411.3.2.3 and 411.3.2.4, whatever U0. TN, TT; from memory.
TIMES_S = {120.0: (0.8, 0.3), 230.0: (0.4, 0.2), 400.0: (0.2, 0.07)}
LARGER_S = (5.0, 1.0)
TABLE_TO_A = 32.0
LINE_TO_LINE = 400.0 / 230.0  # over line to earth, by nominal values: IEC 60038 table 1
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


def disconnection_s(earthing: str, to_earth_v: float, device_a: float) -> float | None:
    """Return the longest time [s] in which a fault is to be cleared; None in an IT system, or beyond the table."""
    if earthing == "IT":
        return None
    column = int(earthing == "TT")
    if device_a > TABLE_TO_A:
        return LARGER_S[column]
    fitting = [times for up_to_v, times in TIMES_S.items() if to_earth_v <= up_to_v + 1e-9]
    return fitting[0][column] if fitting else None


def residual_current_protection(
    site: Site, connection: SupplyConnection, device_a: float, *, sources: Mapping[str, str]
) -> Judgement:
    """Judge the residual-current device against the place and the earthing system, on a circuit of a device [A]."""
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
    to_earth_v = connection.voltage_v if connection.to_neutral else connection.voltage_v / LINE_TO_LINE
    time_s = None if earthing is None else disconnection_s(earthing, to_earth_v, device_a)
    if time_s is not None:
        values.append(Value("time", time_s, "time", "down"))
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

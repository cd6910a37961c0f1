"""Residual-current protection: what the place and the earthing system ask for, against what the site states.

IEC 60364-7-701 asks for at most 30 mA on every circuit of a room with a bath or shower, 60364-4-41 411.3.3 and 415.1
for as much outdoors; 60364-7-705 asks for at most 300 mA on every circuit of agricultural and horticultural premises.
The limits stand with the basis (`guards` in basis.yaml). A TT system clears a fault to earth by such a device as a
rule (411.5). All from memory.

Severity: `attention` where the earthing system or the device is not stated, since then nobody knows what clears a
fault, and in an IT system, which asks for more than this handbook judges; `stop` where the stated device is larger than
the place allows. National rules may ask for more. The disconnection time is proved by measurement in every case.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.load import Load
from generator.compute.circuit.stated_by_basis import stated
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.values import choice, text
from generator.errors import MissingCell
from generator.model.figures import Figure, Severity, Step, Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.said import say
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis, CodeTable

LINE_TO_LINE = 400.0 / 230.0  # over line to earth, by nominal values: IEC 60038 table 1
# The least type of a device for a load that may pass pulsating direct current, as a heater with electronics may: type
# AC need not trip then. IEC 60364-5-53 531.3.3, from memory; the maker may name F or B.
LEAST_TYPE = "A"
VALUES = ("place", "occupancy", "system", "device", "type", "limit", "asked_by", "time", "proved_by")
PROTECTION = Rule(
    "residual-current-protection",
    {
        "too-large": VALUES,
        "neither-stated": VALUES,
        "system-not-stated": VALUES,
        "device-not-stated": VALUES,
        "it-system": (*VALUES, "judged_by"),
        "ok": VALUES,
    },
    stops=("too-large",),
)


def residual_current_type(load: Load, basis: CodeBasis) -> Figure:
    """Return the least type of a residual-current device of a circuit; id `<circuit>.residual-current-type`."""
    asked, source = text("type", LEAST_TYPE), basis.rules.source_of("residual-current-type")
    steps = (Step(say("residual-current-type-chosen"), (), asked, source),)
    return Figure(f"{load.id}.residual-current-type", say("residual-current-type"), LEAST_TYPE, "text", steps=steps)


def disconnection_s(
    tables: Mapping[str, CodeTable], earthing: str, to_earth_v: float, *, device_a: float
) -> float | None:
    """Return the longest time [s] in which a fault is to be cleared; None in an IT system, or beyond the table.

    Of a final circuit by the voltage of a line to earth [V]; behind a larger device [A] whatever that is. Source:
    60364-4-41 table 41.1, 411.3.2.3, 411.3.2.4.
    """
    if earthing == "IT":
        return None
    column, larger = "TT" if earthing == "TT" else "TN", tables["disconnection_time_larger"]
    for above_a in larger.rows:
        if device_a > float(above_a):
            return larger.cell(above_a, column)
    try:
        return tables["disconnection_time"].cell(tables["disconnection_time"].band(to_earth_v - 1e-9), column)
    except MissingCell:
        return None


def residual_current_protection(
    site: Site, connection: SupplyConnection, device_a: float, *, basis: CodeBasis
) -> Judgement:
    """Judge the residual-current device against the place and the earthing system, on a circuit of a device [A]."""
    earthing, device, limit = site.supply.earthing, site.supply.residual_current_device, _limit(site, basis)
    sources = basis.rules.sources
    case, severity = _verdict(earthing, device, limit)
    values = [
        choice("place", site.place.kind),
        choice("occupancy", site.place.occupancy),
        text("type", LEAST_TYPE),
        text("proved_by", sources["disconnection-time"]),
    ]
    if earthing is not None:
        values.append(text("system", earthing))
    if device is not None:
        values.append(text("device", device))
    if limit is not None:
        values += [text("limit", limit[0]), text("asked_by", sources[limit[1]])]
    to_earth_v = connection.voltage_v if connection.to_neutral else connection.voltage_v / LINE_TO_LINE
    time_s = None if earthing is None else disconnection_s(basis.tables, earthing, to_earth_v, device_a=device_a)
    if time_s is not None:
        values.append(Value("time", time_s, "time", "at_most"))
    if case == "it-system":
        values.append(text("judged_by", sources["it-system"]))
    return PROTECTION.judge(case, severity, tuple(values), source=sources[PROTECTION.name])


def _limit(site: Site, basis: CodeBasis) -> tuple[str, str] | None:
    """Return the greatest rated residual current that the place allows, and the rule that says so."""
    limits = stated(basis.header.guards.residual_current, "guards", basis)
    if site.place.kind == "bathroom":
        return limits.bathroom, "residual-current-bathroom"
    if site.place.kind == "outdoor":
        return limits.outdoor, "residual-current-outdoor"
    if site.place.occupancy == "agricultural":
        return limits.agricultural, "residual-current-agricultural"
    return None


def _milliamps(rating: str) -> int:
    return int(rating.removesuffix(" mA"))


def _verdict(earthing: str | None, device: str | None, limit: tuple[str, str] | None) -> tuple[str, Severity]:
    if device is not None and limit is not None and _milliamps(device) > _milliamps(limit[0]):
        return "too-large", "stop"
    if device is None:
        return "neither-stated" if earthing is None else "device-not-stated", "attention"
    if earthing is None:
        return "system-not-stated", "attention"
    return ("it-system", "attention") if earthing == "IT" else ("ok", "ok")

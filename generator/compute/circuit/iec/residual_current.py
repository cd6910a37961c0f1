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

from generator.compute.circuit.findings import Judgement
from generator.compute.circuit.working import text
from generator.model.figures import Sentence, Severity, Value
from generator.model.site import Site

RULE = "residual-current-protection"
WHY = "A fault to wet metal kills at currents that no circuit-breaker notices."
NOT_STATED = "not stated"
# Longest disconnection time [s] of a final circuit of this heater's kind: 60364-4-41 table 41.1, 120 V < U0 <= 230 V.
DISCONNECTION_S = {"TN-S": 0.4, "TN-C-S": 0.4, "TT": 0.2}
PROVE = (
    "Before use measure the loop impedance (TN: Zs; TT: the resistance of the earth electrode) and the tripping time, "
    "and prove that a fault is cleared within the disconnection time"
)


def residual_current_protection(site: Site, sources: Mapping[str, str]) -> Judgement:
    """Judge the residual-current device against the place and the earthing system."""
    earthing, device, (limit_ma, asked_by) = site.supply.earthing, site.supply.residual_current_device, _limit(site)
    severity, do = _verdict(earthing, device, limit_ma, sources)
    limit = "none by the place itself" if limit_ma is None else f"{limit_ma} mA ({sources[asked_by]})"
    values = [
        text("place", f"{site.place.kind}, {site.place.occupancy}"),
        text("earthing", earthing or NOT_STATED),
        text("device", device or NOT_STATED),
        text("limit", limit),
    ]
    template = (
        "Place: {place}. Earthing system: {earthing}. Residual-current device: {device}; greatest allowed: {limit}."
    )
    if earthing in DISCONNECTION_S:
        template += " A fault is to be cleared within {time}: prove it by measurement."
        values.append(Value("time", DISCONNECTION_S[earthing], "time", "down"))
    return Judgement(
        RULE,
        severity,
        Sentence(template, tuple(values)),
        WHY,
        f"{do}{PROVE} ({sources['disconnection-time']}).",
        sources[RULE],
    )


def _limit(site: Site) -> tuple[int | None, str]:
    """Return the greatest rated residual current [mA] that the place allows, and the rule that says so."""
    if site.place.kind == "bathroom":
        return 30, "residual-current-bathroom"
    if site.place.kind == "outdoor":
        return 30, "residual-current-outdoor"
    if site.place.occupancy == "agricultural":
        return 300, "residual-current-agricultural"
    return None, ""


def _verdict(
    earthing: str | None, device: str | None, limit_ma: int | None, sources: Mapping[str, str]
) -> tuple[Severity, str]:
    """Return the severity and what comes before the proof by measurement."""
    if device is not None and limit_ma is not None and int(device.split()[0]) > limit_ma:
        return "stop", f"Do not use the circuit. Have a residual-current device of {limit_ma} mA or less fitted. "
    if earthing is None or device is None:
        missing = " and ".join(
            [name for name, stated in (("earthing", earthing), ("residual_current_device", device)) if stated is None]
        )
        least = f" of {limit_ma} mA or less" if limit_ma else ""
        asks = (
            f"Have a residual-current device{least} fitted where the place, a TT system or national rules ask for one. "
        )
        return "attention", f"Have an electrician find out, and state, `{missing}` of the supply. {asks}"
    if earthing == "IT":
        return (
            "attention",
            f"Have a designer of IT systems judge the first and the second fault ({sources['it-system']}). ",
        )
    return "ok", ""

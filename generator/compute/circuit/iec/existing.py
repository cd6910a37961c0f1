"""An existing circuit judged as strictly as a new one is sized: device, conductor, poles, protective conductor."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.candidate import Candidate
from generator.compute.circuit.existing import conductor_case
from generator.compute.circuit.iec.capacity import Capacity
from generator.compute.circuit.iec.circuit import Circuit
from generator.compute.circuit.iec.conductor import WITHIN, judge
from generator.compute.circuit.iec.protective import protective
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.working import amps, count, text
from generator.compute.severity import ok_or_attention, ok_or_stop
from generator.errors import CannotCompute, MissingCell
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import ExistingCircuit

DEVICE_VALUES = ("device", "load", "marked")
DEVICE = Rule("existing-device", {f"iec-{case}": DEVICE_VALUES for case in ("fits", "unfit", "odd")})
CONDUCTOR_VALUES = (
    "size",
    "method",
    "capacity",
    "device",
    "rule",
    "allowed",
    "needed",
    "wanted",
    "wanted_device",
)
CONDUCTOR = Rule(
    "existing-conductor",
    {"iec-carries": CONDUCTOR_VALUES, "iec-fails": CONDUCTOR_VALUES, "iec-unprotected": CONDUCTOR_VALUES},
)
POLE_VALUES = ("poles", "lines", "live")
POLES = Rule("existing-poles", {f"iec-{case}": POLE_VALUES for case in ("fit", "too-few", "other")})
GROUND_VALUES = ("ground", "needed", "size")
GROUND = Rule("existing-ground", {"iec-fits": GROUND_VALUES, "iec-too-thin": GROUND_VALUES})


def existing_device(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing device: not below the design current, not above the marking."""
    marked, load_a = circuit.ratings.marked_a, circuit.load.current_a
    too_small = existing.device_a < load_a - 1e-9
    too_large = marked is not None and existing.device_a > marked
    values = (
        amps("device", existing.device_a),
        amps("load", load_a, "up"),
        *(() if marked is None else (amps("marked", marked, "down"),)),
    )
    if too_small or too_large:
        return DEVICE.judge("iec-unfit", "stop", values, source=sources[DEVICE.name])
    table = circuit.basis.tables["standard_ratings"]
    standard = existing.device_a in [table.cell(row, "rating") for row in table.rows]
    case, severity = ("iec-fits" if standard else "iec-odd"), ok_or_attention(standard)
    return DEVICE.judge(case, severity, values, source=sources[DEVICE.name])


def existing_conductor(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing conductors on the existing device, under the route's conditions."""
    found = judged(circuit, existing)
    deciding = found.deciding
    values = (
        text("size", existing.conductor),
        text("method", circuit.conditions.method_id),
        amps("capacity", found.capacity.usable_a, "down"),
        amps("device", existing.device_a),
        text("rule", deciding.rule),
        amps("allowed", deciding.allowed_a, "down"),
        amps("needed", deciding.needed_a, "up"),
        text("wanted", circuit.size),
        amps("wanted_device", circuit.ratings.device_a),
    )
    protected = all(check.passed for check in found.checks if check.rule == WITHIN)
    case, severity = conductor_case(found.carries, protected), ok_or_stop(found.carries)
    return CONDUCTOR.judge(f"iec-{case}", severity, values, source=sources[CONDUCTOR.name])


def judged(circuit: Circuit, existing: ExistingCircuit) -> Candidate[Capacity]:
    """Return the existing size with every rule put to it; CannotCompute for a size that the basis does not hold."""
    load_a = circuit.load.current_a
    try:
        return judge(existing.conductor, load_a, existing.device_a, circuit.conditions, circuit.basis)
    except MissingCell as missing:
        expected = f"one of {', '.join(circuit.basis.header.sizes)}"
        raise CannotCompute(("existing_circuit", "conductor"), str(missing), expected) from None


def existing_poles(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the poles: every line conductor has one; the neutral should."""
    lines = circuit.load.connection.lines
    values = (count("poles", existing.poles), count("lines", lines), count("live", circuit.poles))
    source = sources[POLES.name]
    if existing.poles < lines:
        return POLES.judge("iec-too-few", "stop", values, source=source)
    if existing.poles == circuit.poles:
        return POLES.judge("iec-fit", "ok", values, source=source)
    return POLES.judge("iec-other", "attention", values, source=source)


def existing_ground(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing protective conductor: there, and not below table 54.2."""
    needed, _ = protective(existing.conductor, circuit.basis)
    fits = existing.ground is not None and not smaller(existing.ground, needed)
    there = () if existing.ground is None else (text("ground", existing.ground),)
    values = (*there, text("needed", needed), text("size", existing.conductor))
    case, severity = "iec-fits" if fits else "iec-too-thin", ok_or_stop(fits)
    return GROUND.judge(case, severity, values, source=sources[GROUND.name])

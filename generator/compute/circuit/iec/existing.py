"""An existing circuit judged as strictly as a new one is sized: device, conductor, poles, protective conductor."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.candidate import Candidate
from generator.compute.circuit.existing import conductor_remedy
from generator.compute.circuit.findings import judgement
from generator.compute.circuit.iec.capacity import Capacity
from generator.compute.circuit.iec.circuit import Circuit
from generator.compute.circuit.iec.conductor import WITHIN, judge
from generator.compute.circuit.iec.protective import protective
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.working import amps, count, text
from generator.errors import CannotCompute, MissingCell
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement
from generator.model.site import ExistingCircuit


def existing_device(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing device: not below the design current, not above the marking."""
    marked, load_a = circuit.ratings.marked_a, circuit.load.current_a
    too_small = existing.device_a < load_a - 1e-9
    too_large = marked is not None and existing.device_a > marked
    values = (
        amps("device", existing.device_a),
        amps("load", load_a, "up"),
        text("marked", "no maximum is marked") if marked is None else amps("marked", marked, "down"),
    )
    template = "The existing device is {device}; the design current is {load}; marked maximum: {marked}."
    why = "Too small, it opens in use; too large, it does not open when the heater or its conductors burn."
    do = "Have a circuit of the size shown installed. Never put a larger device on the conductors that are there."
    table = circuit.basis.tables["standard_ratings"]
    severity: Severity = "stop" if too_small or too_large else "ok"
    if severity == "ok" and existing.device_a not in [table.cell(row, "rating") for row in table.rows]:
        severity, do = "attention", "Read the marking of the device again: this is no standard rating of the basis."
    return judgement("existing-device", severity, template, values, why, do, sources["existing-device"])


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
    template = (
        "Existing {size} by method {method} carries {capacity} here, on a device of {device}. Deciding rule: {rule}, "
        "which allows {allowed} where {needed} is needed. A new circuit would be {wanted} on {wanted_device}."
    )
    why = "Conductors that carry more than their insulation or their terminals stand get hot until something burns."
    do = conductor_remedy(all(check.passed for check in found.checks if check.rule == WITHIN))
    severity: Severity = "ok" if found.carries else "stop"
    return judgement("existing-conductor", severity, template, values, why, do, sources["existing-conductor"])


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
    severity: Severity = "stop" if existing.poles < lines else "ok" if existing.poles == circuit.poles else "attention"
    values = (count("poles", existing.poles), count("lines", lines), count("live", circuit.poles))
    template = (
        "Poles of the existing device: {poles}; line conductors: {lines}; live conductors with the neutral: {live}."
    )
    why = "A live conductor without a pole stays live when the device opens."
    do = "Fit a device that opens every live conductor, or a switch-disconnector that does."
    return judgement("existing-poles", severity, template, values, why, do, sources["existing-poles"])


def existing_ground(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing protective conductor: there, and not below table 54.2."""
    needed, _ = protective(existing.conductor, circuit.basis)
    missing = existing.ground is None or smaller(existing.ground, needed)
    values = (text("ground", existing.ground or "none"), text("needed", needed), text("size", existing.conductor))
    template = "Existing protective conductor: {ground}. With line conductors of {size} at least {needed}."
    why = "It carries the fault current that opens the device; too thin, it burns first and leaves the heater live."
    do = "Have a protective conductor of the size shown run, or its size proved by calculation (543.1.2)."
    severity: Severity = "stop" if missing else "ok"
    return judgement("existing-ground", severity, template, values, why, do, sources["existing-ground"])

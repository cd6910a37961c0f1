"""An existing circuit judged as strictly as a new one is sized: device, conductor, poles, protective conductor."""

from __future__ import annotations

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.existing import CONDUCTOR_VALUES, conductor_values, existing_candidate
from generator.compute.circuit.sizes import smaller, standard_ratings
from generator.compute.circuit.values import amps, count, text
from generator.compute.severity import ok_or_attention, ok_or_stop
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import ExistingCircuit

DEVICE_VALUES = ("device", "load", "marked")
DEVICE = Rule(
    "existing-device", {f"iec-{case}": DEVICE_VALUES for case in ("fits", "unfit", "odd")}, stops=("iec-unfit",)
)
CARRIES = (*CONDUCTOR_VALUES, "method", "capacity")
CONDUCTOR = Rule(
    "existing-conductor",
    {f"iec-{case}": CARRIES for case in ("carries", "fails", "unprotected")},
    stops=("iec-fails", "iec-unprotected"),
)
POLE_VALUES = ("poles", "lines", "live")
POLES = Rule(
    "existing-poles", {f"iec-{case}": POLE_VALUES for case in ("fit", "too-few", "other")}, stops=("iec-too-few",)
)
GROUND_VALUES = ("ground", "needed", "size")
GROUND = Rule("existing-ground", {"iec-fits": GROUND_VALUES, "iec-too-thin": GROUND_VALUES}, stops=("iec-too-thin",))


def existing_device(circuit: Circuit, existing: ExistingCircuit) -> Judgement:
    """Judge the existing device: not below the design current, not above the marking."""
    marked, load_a, basis = circuit.load.feed.maximum_device_a, circuit.load.current_a, circuit.rules.basis
    values = (
        amps("device", existing.device_a),
        amps("load", load_a, "at_least"),
        *(() if marked is None else (amps("marked", marked, "at_most"),)),
    )
    source = basis.rules.sources[DEVICE.name]
    if existing.device_a < load_a - 1e-9 or existing.device_a > circuit.ratings.ceiling_a:
        return DEVICE.judge("iec-unfit", "stop", values, source=source)
    standard = existing.device_a in standard_ratings(basis.tables["standard_ratings"])
    return DEVICE.judge("iec-fits" if standard else "iec-odd", ok_or_attention(standard), values, source=source)


def existing_conductor(circuit: Circuit, existing: ExistingCircuit, method: str) -> Judgement:
    """Judge the existing conductors on the existing device, under the route's conditions."""
    found = existing_candidate(circuit, existing)
    own = (text("method", method), amps("capacity", found.capacity.usable_a, "at_most"))
    values = conductor_values(circuit, existing, found, own=own)
    source = circuit.rules.basis.rules.sources[CONDUCTOR.name]
    return CONDUCTOR.judge(f"iec-{found.protection}", ok_or_stop(found.carries), values, source=source)


def existing_poles(circuit: Circuit, existing: ExistingCircuit) -> Judgement:
    """Judge the poles: every line conductor has one; the neutral should."""
    connection = circuit.load.connection
    lines, live = connection.lines, circuit.rules.poles(connection)
    values = (count("poles", existing.poles), count("lines", lines), count("live", live))
    source = circuit.rules.basis.rules.sources[POLES.name]
    if existing.poles < lines:
        return POLES.judge("iec-too-few", "stop", values, source=source)
    fits = existing.poles == live
    return POLES.judge("iec-fit" if fits else "iec-other", ok_or_attention(fits), values, source=source)


def existing_ground(circuit: Circuit, existing: ExistingCircuit) -> Judgement:
    """Judge the existing protective conductor: there, and not below table 54.2."""
    needed = circuit.ground_beside(existing.conductor).size
    fits = existing.ground is not None and not smaller(existing.ground, needed)
    there = () if existing.ground is None else (text("ground", existing.ground),)
    values = (*there, text("needed", needed), text("size", existing.conductor))
    source = circuit.rules.basis.rules.sources[GROUND.name]
    return GROUND.judge("iec-fits" if fits else "iec-too-thin", ok_or_stop(fits), values, source=source)

"""An existing circuit judged as strictly as a new one is sized: device, conductor, poles, neutral, ground."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.candidate import Candidate
from generator.compute.circuit.existing import conductor_remedy
from generator.compute.circuit.findings import judgement
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.us.ampacity import Ampacity
from generator.compute.circuit.us.circuit import Circuit
from generator.compute.circuit.us.conductor import DEVICE_RULES, judge
from generator.compute.circuit.us.grounding import greatest_device_a, ground, least_ground
from generator.compute.circuit.working import amps, count, text
from generator.errors import CannotCompute, MissingCell
from generator.model.figures import Severity
from generator.model.finding_rules import Judgement
from generator.model.site import ExistingCircuit

# Metal raceways that serve as the grounding conductor by themselves: 250.118(A)(4). Flexible metal conduit does so only
# in short lengths at small devices, 250.118(A)(5), so it is not counted here.
GROUNDING_RACEWAYS = ("emt",)


def existing_device(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing device: not below what the load needs, not above the ceiling, of a standard rating."""
    ratings = circuit.ratings
    needed = ratings.factor * circuit.load.current_a
    table = circuit.basis.tables["standard_ratings"]
    standard = existing.device_a in [table.cell(row, "rating") for row in table.rows]
    severity: Severity = "ok" if standard else "attention"
    do = "Read the marking of the device again: this is no standard rating of the basis."
    if existing.device_a > ratings.ceiling_a:
        severity, do = "stop", "Have the device replaced by one not above the ceiling, and the conductors checked."
    elif existing.device_a < needed - 1e-9:
        severity = "stop"
        do = "Have a circuit of the size shown installed. Never put a larger device on the conductors that are there."
    values = (
        amps("device", existing.device_a),
        amps("needed", needed, "up"),
        amps("ceiling", ratings.ceiling_a, "down"),
    )
    template = "The existing device is {device}; the heater needs {needed} and allows no more than {ceiling}."
    why = "Too small, it opens in use; too large, it does not open when the heater or its conductors burn."
    return judgement("existing-device", severity, template, values, why, do, sources["existing-device"])


def existing_conductor(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing conductors on the existing device, under the route's conditions."""
    found = judged(circuit, existing)
    deciding = found.deciding
    method = circuit.conditions.method
    values = (
        text("size", f"{existing.conductor} {circuit.conditions.material}"),
        text("method", method.title if method else "unknown method"),
        amps("ampacity", found.capacity.usable_a, "down"),
        amps("device", existing.device_a),
        text("rule", deciding.rule),
        amps("allowed", deciding.allowed_a, "down"),
        amps("needed", deciding.needed_a, "up"),
        text("wanted", circuit.size),
        amps("wanted_device", circuit.ratings.device_a),
    )
    template = (
        "Existing {size} in {method} carries {ampacity} here, on a device of {device}. Deciding rule: {rule}, which "
        "allows {allowed} where {needed} is needed. A new circuit would be {wanted} on {wanted_device}."
    )
    why = "Conductors that carry more than their insulation or their terminals stand get hot until something burns."
    do = conductor_remedy(all(check.passed for check in found.checks if check.rule in DEVICE_RULES))
    severity: Severity = "ok" if found.carries else "stop"
    return judgement("existing-conductor", severity, template, values, why, do, sources["existing-conductor"])


def judged(circuit: Circuit, existing: ExistingCircuit) -> Candidate[Ampacity]:
    """Return the existing size with every rule put to it; CannotCompute for a size that the basis does not hold."""
    load, ratings = circuit.load, circuit.ratings
    try:
        return judge(
            existing.conductor, load.current_a, ratings.factor, existing.device_a, circuit.conditions, circuit.basis
        )
    except MissingCell as missing:
        expected = f"one of {', '.join(_sizes_of(circuit))}, which the table holds in {circuit.conditions.material}"
        raise CannotCompute(("existing_circuit", "conductor"), str(missing), expected) from None


def _sizes_of(circuit: Circuit) -> list[str]:
    """Return the sizes that the ampacity table holds in the circuit's metal."""
    table, conditions = circuit.basis.tables["ampacity"], circuit.conditions
    column = table.columns.index(f"{conditions.material} {conditions.insulation_c}")
    held = {size for size, cells in table.rows.items() if cells[column] is not None}
    return [size for size in circuit.basis.header.sizes if size in held]


def existing_poles(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the poles: one for each ungrounded conductor."""
    lines = circuit.load.connection.lines
    severity: Severity = "ok" if existing.poles == lines else "attention" if existing.poles > lines else "stop"
    values = (count("poles", existing.poles), count("lines", lines))
    template = "The existing device has {poles} poles; the heater has {lines} line conductors."
    why = "A line conductor without a pole stays live when the device opens."
    do = "Fit a device with one pole for each line conductor, its handles tied by the maker."
    if severity == "attention":
        do = "Find out why the device has more poles than the heater has lines: the circuit may be of another voltage."
    return judgement("existing-poles", severity, template, values, why, do, sources["existing-poles"])


def existing_neutral(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge whether a neutral was taken for a line conductor, or a line for a neutral."""
    connection = circuit.load.connection
    fits = existing.line_to_neutral == connection.to_neutral
    ways = {True: "between a line and the neutral", False: "between line conductors"}
    values = (text("existing", ways[existing.line_to_neutral]), text("needed", ways[connection.to_neutral]))
    template = "The existing circuit is connected {existing}; the heater connects {needed}."
    why = "With a neutral for a line the heater gets half its voltage or less; with a line for a neutral, twice."
    do = "Do not connect. Measure the voltage between the conductors, and have the circuit connected for this heater."
    return judgement(
        "existing-neutral", "ok" if fits else "stop", template, values, why, do, sources["existing-neutral"]
    )


def _beyond_the_table(existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the ground on a device above every one that Table 250.122 is held for: no heater of one feed takes it."""
    values = (text("ground", existing.ground or "none"), amps("device", existing.device_a))
    template = "Existing grounding conductor: {ground}. For a device of {device} no size is held here."
    why = "A device so large does not open when the heater or its grounding conductor burns."
    do = "Have the device replaced by one that this heater allows; its grounding conductor is judged with it."
    return judgement("existing-ground", "stop", template, values, why, do, sources["existing-ground"])


def existing_ground(circuit: Circuit, existing: ExistingCircuit, method: str, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing grounding conductor: there, not below Table 250.122, in proportion to enlarged conductors."""
    material, basis = circuit.conditions.material, circuit.basis
    where = ("existing_circuit", "device")
    if existing.device_a > greatest_device_a(basis):
        return _beyond_the_table(existing, sources)
    least, _ = least_ground(existing.device_a, material, basis, where)
    needed = circuit.needed if smaller(circuit.needed, existing.conductor) else existing.conductor
    grown, _ = ground(existing.device_a, material, needed, existing.conductor, basis, where)
    least = existing.conductor if smaller(existing.conductor, least) else least
    severity: Severity = "ok"
    do = ""
    if existing.ground is None:
        severity = "attention" if method in GROUNDING_RACEWAYS else "stop"
        do = "Have a grounding conductor run. Never use the neutral, a pipe or earth alone in its place."
        if severity == "attention":
            do = "Have the tubing's continuity as the grounding conductor verified from panel to heater."
    elif smaller(existing.ground, least):
        severity, do = "stop", "Have a grounding conductor of the size in proportion run with the circuit."
    elif smaller(existing.ground, grown):
        severity = "attention"
        do = "Ask the authority having jurisdiction whether the size in proportion is asked for here."
    values = (
        text("ground", existing.ground or "none"),
        text("least", least),
        text("grown", grown),
        amps("device", existing.device_a),
    )
    template = (
        "Existing grounding conductor: {ground}. For a device of {device} at least {least}; in proportion to the line "
        "conductors {grown}."
    )
    why = "It carries the fault current that opens the device; too thin, it burns first and leaves the heater live."
    return judgement("existing-ground", severity, template, values, why, do, sources["existing-ground"])

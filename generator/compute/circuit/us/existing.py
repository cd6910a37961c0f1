"""An existing circuit judged as strictly as a new one is sized: device, conductor, poles, neutral, ground."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.candidate import Candidate
from generator.compute.circuit.existing import conductor_case
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.us.ampacity import Ampacity
from generator.compute.circuit.us.circuit import Circuit
from generator.compute.circuit.us.conductor import DEVICE_RULES, judge
from generator.compute.circuit.us.grounding import greatest_device_a, ground, least_ground
from generator.compute.circuit.working import amps, count, text
from generator.compute.severity import ok_or_stop
from generator.errors import CannotCompute, MissingCell
from generator.model.figures import Severity, Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import ExistingCircuit

# Metal raceways that serve as the grounding conductor by themselves: 250.118(A)(4). Flexible metal conduit does so only
# in short lengths at small devices, 250.118(A)(5), so it is not counted here.
GROUNDING_RACEWAYS = ("emt",)


DEVICE_VALUES = ("device", "needed", "ceiling")
DEVICE = Rule(
    "existing-device",
    {"us-fits": DEVICE_VALUES, "us-above": DEVICE_VALUES, "us-below": DEVICE_VALUES, "us-odd": DEVICE_VALUES},
)
CONDUCTOR_VALUES = (
    "size",
    "material",
    "method",
    "ampacity",
    "device",
    "rule",
    "allowed",
    "needed",
    "wanted",
    "wanted_device",
)
CONDUCTOR = Rule(
    "existing-conductor",
    {"us-carries": CONDUCTOR_VALUES, "us-fails": CONDUCTOR_VALUES, "us-unprotected": CONDUCTOR_VALUES},
)
POLES = Rule("existing-poles", {f"us-{case}": ("poles", "lines") for case in ("fit", "too-few", "too-many")})
NEUTRAL_WAYS = ("to-neutral", "between-lines")
NEUTRAL = Rule(
    "existing-neutral",
    {"fits": ("existing", "needed"), "differs": ("existing", "needed")},
    choices={"existing": NEUTRAL_WAYS, "needed": NEUTRAL_WAYS},
)
GROUND_VALUES = ("ground", "least", "grown", "device")
GROUND = Rule(
    "existing-ground",
    {
        "us-fits": GROUND_VALUES,
        "us-tubing": GROUND_VALUES,
        "us-none": GROUND_VALUES,
        "us-too-thin": GROUND_VALUES,
        "us-not-in-proportion": GROUND_VALUES,
        "us-beyond-the-table": ("ground", "device"),
    },
)


def existing_device(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing device: not below what the load needs, not above the ceiling, of a standard rating."""
    ratings = circuit.ratings
    needed = ratings.factor * circuit.load.current_a
    table = circuit.basis.tables["standard_ratings"]
    standard = existing.device_a in [table.cell(row, "rating") for row in table.rows]
    values = (
        amps("device", existing.device_a),
        amps("needed", needed, "up"),
        amps("ceiling", ratings.ceiling_a, "down"),
    )
    source = sources[DEVICE.name]
    if existing.device_a > ratings.ceiling_a:
        return DEVICE.judge("us-above", "stop", values, source=source)
    if existing.device_a < needed - 1e-9:
        return DEVICE.judge("us-below", "stop", values, source=source)
    return DEVICE.judge("us-fits" if standard else "us-odd", "ok" if standard else "attention", values, source=source)


def existing_conductor(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing conductors on the existing device, under the route's conditions."""
    found = judged(circuit, existing)
    deciding = found.deciding
    method = circuit.conditions.method
    values = (
        text("size", existing.conductor),
        text("material", circuit.conditions.material),
        *((text("method", method.title),) if method else ()),
        amps("ampacity", found.capacity.usable_a, "down"),
        amps("device", existing.device_a),
        text("rule", deciding.rule),
        amps("allowed", deciding.allowed_a, "down"),
        amps("needed", deciding.needed_a, "up"),
        text("wanted", circuit.size),
        amps("wanted_device", circuit.ratings.device_a),
    )
    protected = all(check.passed for check in found.checks if check.rule in DEVICE_RULES)
    case, severity = conductor_case(found.carries, protected), ok_or_stop(found.carries)
    return CONDUCTOR.judge(f"us-{case}", severity, values, source=sources[CONDUCTOR.name])


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
    values, source = (count("poles", existing.poles), count("lines", lines)), sources[POLES.name]
    if existing.poles == lines:
        return POLES.judge("us-fit", "ok", values, source=source)
    if existing.poles > lines:
        return POLES.judge("us-too-many", "attention", values, source=source)
    return POLES.judge("us-too-few", "stop", values, source=source)


def existing_neutral(circuit: Circuit, existing: ExistingCircuit, sources: Mapping[str, str]) -> Judgement:
    """Judge whether a neutral was taken for a line conductor, or a line for a neutral."""
    connection = circuit.load.connection
    fits = existing.line_to_neutral == connection.to_neutral
    there, needed = (
        "to-neutral" if to_neutral else "between-lines"
        for to_neutral in (existing.line_to_neutral, connection.to_neutral)
    )
    values, source = (text("existing", there), text("needed", needed)), sources[NEUTRAL.name]
    return NEUTRAL.judge("fits" if fits else "differs", ok_or_stop(fits), values, source=source)


def existing_ground(circuit: Circuit, existing: ExistingCircuit, method: str, sources: Mapping[str, str]) -> Judgement:
    """Judge the existing grounding conductor: there, not below Table 250.122, in proportion to enlarged conductors."""
    material, basis = circuit.conditions.material, circuit.basis
    where = ("existing_circuit", "device")
    if existing.device_a > greatest_device_a(basis):
        values = (*_ground(existing), amps("device", existing.device_a))
        return GROUND.judge("us-beyond-the-table", "stop", values, source=sources[GROUND.name])
    least, _ = least_ground(existing.device_a, material, basis, where)
    needed = circuit.needed if smaller(circuit.needed, existing.conductor) else existing.conductor
    grown, _ = ground(existing.device_a, material, needed, existing.conductor, basis, where)
    least = existing.conductor if smaller(existing.conductor, least) else least
    values = (*_ground(existing), text("least", least), text("grown", grown), amps("device", existing.device_a))
    case, severity = _grounded(existing.ground, method, least, grown)
    return GROUND.judge(case, severity, values, source=sources[GROUND.name])


def _ground(existing: ExistingCircuit) -> tuple[Value, ...]:
    return () if existing.ground is None else (text("ground", existing.ground),)


def _grounded(there: str | None, method: str, least: str, grown: str) -> tuple[str, Severity]:
    """Return case and severity of a grounding conductor of the size `there`; None where there is none."""
    if there is None:
        return ("us-tubing", "attention") if method in GROUNDING_RACEWAYS else ("us-none", "stop")
    if smaller(there, least):
        return "us-too-thin", "stop"
    return ("us-not-in-proportion", "attention") if smaller(there, grown) else ("us-fits", "ok")

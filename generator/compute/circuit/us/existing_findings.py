"""An existing circuit judged as strictly as a new one is sized: device, conductor, poles, neutral, ground."""

from __future__ import annotations

from generator.compute.circuit.candidate import Demand, smallest_that_suits
from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.existing import CONDUCTOR_VALUES, conductor_values, existing_candidate
from generator.compute.circuit.sizes import smaller, standard_ratings
from generator.compute.circuit.us.conditions import Conditions
from generator.compute.circuit.us.grounding import greatest_device_a
from generator.compute.circuit.values import amps, choice, count, text
from generator.compute.severity import ok_or_attention, ok_or_stop
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
    stops=("us-above", "us-below"),
)
CARRIES = (*CONDUCTOR_VALUES, "material", "insulation", "method", "ampacity")
CONDUCTOR = Rule(
    "existing-conductor",
    {f"us-{case}": CARRIES for case in ("carries", "fails", "unprotected", "unfit")},
    stops=("us-fails", "us-unprotected", "us-unfit"),
)
POLES = Rule(
    "existing-poles",
    {f"us-{case}": ("poles", "lines") for case in ("fit", "too-few", "too-many")},
    stops=("us-too-few",),
)
NEUTRAL_WAYS = ("to-neutral", "between-lines")
NEUTRAL = Rule(
    "existing-neutral",
    {"fits": ("existing", "needed"), "differs": ("existing", "needed")},
    choices={"existing": NEUTRAL_WAYS, "needed": NEUTRAL_WAYS},
    stops=("differs",),
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
    stops=("us-none", "us-too-thin", "us-beyond-the-table"),
)


def existing_device(circuit: Circuit, existing: ExistingCircuit) -> Judgement:
    """Judge the existing device: not below what the load needs, not above the ceiling, of a standard rating."""
    ratings, basis = circuit.ratings, circuit.rules.basis
    needed = ratings.factor * circuit.load.current_a
    values = (
        amps("device", existing.device_a),
        amps("needed", needed, "at_least"),
        amps("ceiling", ratings.ceiling_a, "at_most"),
    )
    source = basis.rules.sources[DEVICE.name]
    if existing.device_a > ratings.ceiling_a:
        return DEVICE.judge("us-above", "stop", values, source=source)
    if existing.device_a < needed - 1e-9:
        return DEVICE.judge("us-below", "stop", values, source=source)
    standard = existing.device_a in standard_ratings(basis.tables["standard_ratings"])
    return DEVICE.judge("us-fits" if standard else "us-odd", ok_or_attention(standard), values, source=source)


def existing_conductor(circuit: Circuit, existing: ExistingCircuit, conditions: Conditions) -> Judgement:
    """Judge the existing conductors on the existing device, under the route's conditions, by their marked type."""
    found, method = existing_candidate(circuit, existing), conditions.method
    own = (
        choice("material", circuit.rules.material),
        text("insulation", conditions.insulation),
        *((text("method", method.title),) if method else ()),
        amps("ampacity", found.capacity.usable_a, "at_most"),
    )
    values = conductor_values(circuit, existing, found, own=own)
    source = circuit.rules.basis.rules.sources[CONDUCTOR.name]
    if existing.insulation is not None and conditions.unfit:
        return CONDUCTOR.judge("us-unfit", "stop", values, source=source)
    return CONDUCTOR.judge(f"us-{found.protection}", ok_or_stop(found.carries), values, source=source)


def existing_poles(circuit: Circuit, existing: ExistingCircuit) -> Judgement:
    """Judge the poles: one for each ungrounded conductor."""
    lines = circuit.load.connection.lines
    values = (count("poles", existing.poles), count("lines", lines))
    source = circuit.rules.basis.rules.sources[POLES.name]
    if existing.poles == lines:
        return POLES.judge("us-fit", "ok", values, source=source)
    if existing.poles > lines:
        return POLES.judge("us-too-many", "attention", values, source=source)
    return POLES.judge("us-too-few", "stop", values, source=source)


def existing_neutral(circuit: Circuit, existing: ExistingCircuit) -> Judgement:
    """Judge whether a neutral was taken for a line conductor, or a line for a neutral."""
    connection = circuit.load.connection
    fits = existing.line_to_neutral == connection.to_neutral
    there, needed = (
        "to-neutral" if to_neutral else "between-lines"
        for to_neutral in (existing.line_to_neutral, connection.to_neutral)
    )
    values = (text("existing", there), text("needed", needed))
    source = circuit.rules.basis.rules.sources[NEUTRAL.name]
    return NEUTRAL.judge("fits" if fits else "differs", ok_or_stop(fits), values, source=source)


def existing_ground(circuit: Circuit, existing: ExistingCircuit, method: str) -> Judgement:
    """Judge the existing grounding conductor: there, not below Table 250.122, in proportion to enlarged conductors."""
    rules, line, device = circuit.rules, existing.conductor, amps("device", existing.device_a)
    source = rules.basis.rules.sources[GROUND.name]
    there = () if existing.ground is None else (text("ground", existing.ground),)
    if existing.device_a > greatest_device_a(rules.basis):
        return GROUND.judge("us-beyond-the-table", "stop", (*there, device), source=source)
    needed = _needed(circuit, existing.device_a)
    needed = needed if smaller(needed, line) else line
    wanted = rules.ground(device_a=existing.device_a, needed=needed, installed=line)
    least = line if smaller(line, wanted.least) else wanted.least
    case, severity = _grounded(existing.ground, method, least=least, grown=wanted.size)
    values: tuple[Value, ...] = (*there, text("least", least), text("grown", wanted.size), device)
    return GROUND.judge(case, severity, values, source=source)


def _needed(circuit: Circuit, device_a: float) -> str:
    """Return the smallest size that the load needs on the device that is there [A]: 250.122(B) counts from it."""
    rules, demand = circuit.rules, Demand(circuit.load.current_a, circuit.ratings.factor, device_a)
    tried = smallest_that_suits(rules.sizes, lambda size: rules.judge(size, demand), rules.sizes[0])
    return tried[-1].size if tried else circuit.ground.needed


def _grounded(there: str | None, method: str, *, least: str, grown: str) -> tuple[str, Severity]:
    """Return case and severity of a grounding conductor of the size `there`; None where there is none."""
    if there is None:
        return ("us-tubing", "attention") if method in GROUNDING_RACEWAYS else ("us-none", "stop")
    if smaller(there, least):
        return "us-too-thin", "stop"
    return ("us-not-in-proportion", "attention") if smaller(there, grown) else ("us-fits", "ok")

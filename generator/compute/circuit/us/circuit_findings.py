"""Findings about a circuit as we size it, and about the limiter of the heater.

The temperature limiter, 422.47, and what the nameplate says of a relief valve: storage and instantaneous heaters have,
besides the control, a limiter that opens every ungrounded conductor and is reset by hand or replaced. Exception 2: an
instantaneous heater up to a volume (`guards` in basis.yaml) that is identified as suitable. Editions to 2020 also
required a marking that a relief valve is to be fitted; in a secondary copy of the 2023 edition it is absent, so the
valve rests on the plumbing code and the instructions, and a nameplate without the marking settles nothing. The volume
alone never settles it either: the nameplate is to be read in every case.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.candidate import Demand
from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.stated_by_basis import stated
from generator.compute.circuit.us.conditions import UNFIT, Conditions
from generator.compute.circuit.us.subdivision import heater_parts, part_limits, uncovered_share, whole_to_a
from generator.compute.circuit.values import amps, kelvin, percent, text
from generator.compute.severity import ok_or_attention, ok_or_stop
from generator.model.figures import Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis
from generator.si import from_celsius

DEVICE_VALUES = ("feed", "device", "needed", "floor", "recommended", "ceiling")
DEVICE = Rule(
    "circuit-device",
    {case: DEVICE_VALUES for case in ("us-fits", "us-both-fit", "us-too-small", "us-continuous")},
    stops=("us-too-small", "us-continuous"),
)
METHOD_VALUES = ("method", "insulation", "location", "ambient", "highest")
UNFIT_VALUES = (*METHOD_VALUES, "note")
WIRING = Rule(
    "wiring-method",
    {"us-fits": METHOD_VALUES, **{f"us-{unfit}": UNFIT_VALUES for unfit in ("too-hot", *UNFIT)}},
    choices={"location": ("wet", "damp-or-wet", "dry")},
    stops=tuple(f"us-{unfit}" for unfit in ("too-hot", *UNFIT)),
)
PART_VALUES = ("whole", "part", "load", "limit", "device", "limit_device", "bare")
SUBDIVISION = Rule(
    "element-subdivision",
    {"not-asked": ("whole", "limit"), "within": PART_VALUES, "beyond": PART_VALUES},
    stops=("beyond",),
)
VOLUMES = ("volume", "exempt")
LIMITER = Rule("limiter-marking", {"small": VOLUMES, "large": VOLUMES})


def circuit_device(circuit: Circuit) -> Judgement:
    """Judge whether the ceiling leaves room for the rating that the load needs."""
    ratings, load = circuit.ratings, circuit.load
    needed = ratings.factor * load.current_a
    values = (
        text("feed", load.name),
        amps("device", ratings.device_a),
        amps("needed", needed, "at_least"),
        amps("floor", ratings.floor_a),
        amps("recommended", ratings.recommended_a),
        amps("ceiling", ratings.ceiling_a, "at_most"),
    )
    fits = ratings.device_a >= needed - 1e-9
    if fits:
        case = "us-both-fit" if _recommended_suits(circuit) else "us-fits"
    else:
        case = "us-continuous" if ratings.factor > 1.0 and ratings.floor_a <= ratings.ceiling_a else "us-too-small"
    return DEVICE.judge(case, ok_or_stop(fits), values, source=circuit.rules.basis.rules.sources[DEVICE.name])


def _recommended_suits(circuit: Circuit) -> bool:
    """Return whether the same conductors may stand on the greater, recommended rating: heater and code allow it."""
    ratings, rules, size = circuit.ratings, circuit.rules, circuit.size
    if not ratings.device_a < ratings.recommended_a <= ratings.ceiling_a:
        return False
    on_it = rules.judge(size, Demand(circuit.load.current_a, ratings.factor, ratings.recommended_a))
    ground = rules.ground(device_a=ratings.recommended_a, needed=circuit.ground.needed, installed=size)
    return on_it.carries and ground.size == circuit.ground.size


def wiring_method(site: Site, conditions: Conditions, sources: Mapping[str, str]) -> Judgement:
    """Judge the wiring method and its insulation against the wet and the heat of the route."""
    method = conditions.method
    highest = method.highest_ambient_c if method else None
    too_hot = highest is not None and conditions.ambient_c > highest
    wet = "wet" if site.route.wet else "damp-or-wet" if site.place.damp else "dry"
    values = (
        text("method", method.title if method else site.route.method),
        text("insulation", conditions.insulation),
        text("location", wet),
        kelvin("ambient", conditions.ambient_c),
        *(() if highest is None else (Value("highest", from_celsius(highest), "temperature", "at_most"),)),
    )
    source = f"{sources[WIRING.name]}; {method.clause if method else ''}"
    case = f"us-{conditions.unfit}" if conditions.unfit else "us-too-hot" if too_hot else "us-fits"
    if case == "us-fits":
        return WIRING.judge(case, "ok", values, source=source)
    note = (text("note", method.note),) if method and method.note else ()
    return WIRING.judge(case, "stop", (*values, *note), source=source)


def element_subdivision(circuit: Circuit) -> Judgement:
    """Judge the parts of a heater above 48 A: each within its load and its device, none unprotected."""
    load, basis = circuit.load, circuit.rules.basis
    found, source = part_limits(load, basis), basis.rules.sources[SUBDIVISION.name]
    whole = amps("whole", load.heater_current_a, "at_least")
    if found is None:
        return SUBDIVISION.judge("not-asked", "ok", (whole, amps("limit", whole_to_a(basis))), source=source)
    largest = max(heater_parts(load), key=lambda part: part.current_a)
    built_in = [part.factory_device_a for part in heater_parts(load)]
    device = max(circuit.ratings.device_a if one is None else one for one in built_in)
    bare = uncovered_share(load)
    values = (
        whole,
        text("part", largest.name),
        amps("load", largest.current_a, "at_least"),
        amps("limit", found.load_a),
        amps("device", device),
        amps("limit_device", found.device_a),
        percent("bare", bare, "at_least"),
    )
    fits = largest.current_a <= found.load_a + 1e-9 and device <= found.device_a and bare < 1e-9
    return SUBDIVISION.judge("within" if fits else "beyond", ok_or_stop(fits), values, source=source)


def limiter_marking(model: HeaterModel, basis: CodeBasis) -> Judgement:
    """Judge whether the exception for a small instantaneous heater can apply."""
    volume_m3, exempt_m3 = model.water.volume_m3, stated(basis.header.guards.limiter, "guards", basis).exempt_m3
    small = volume_m3 <= exempt_m3 * (1.0 + 1e-9)
    values = (Value("volume", volume_m3, "volume", "at_least"), Value("exempt", exempt_m3, "volume"))
    case, source = "small" if small else "large", basis.rules.sources[LIMITER.name]
    return LIMITER.judge(case, ok_or_attention(small), values, source=source)

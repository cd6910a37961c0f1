"""Findings about a circuit as we size it: device, wiring method, subdivision."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.findings import judgement
from generator.compute.circuit.us.circuit import Circuit
from generator.compute.circuit.us.conditions import Conditions
from generator.compute.circuit.us.subdivision import limits, parts, uncovered_share
from generator.compute.circuit.working import amps, kelvin, percent, text
from generator.model.finding_rules import Judgement
from generator.model.site import Site


def circuit_device(circuit: Circuit, sources: Mapping[str, str]) -> Judgement:
    """Judge whether the ceiling leaves room for the rating that the load needs."""
    ratings, load = circuit.ratings, circuit.load
    needed = ratings.factor * load.current_a
    values = (
        text("feed", load.name),
        amps("device", ratings.device_a),
        amps("needed", needed, "up"),
        amps("floor", ratings.floor_a),
        amps("recommended", ratings.recommended_a),
        amps("ceiling", ratings.ceiling_a, "down"),
    )
    template = (
        "Feed {feed} needs a rating of {needed}: device {device} (code floor {floor}, recommended {recommended}, "
        "ceiling {ceiling})."
    )
    fits = ratings.device_a >= needed - 1e-9
    why = (
        "A device below the load opens while people shower; one above the marking lets the heater burn before it opens."
    )
    do = "Do not fit a larger device than marked. Ask the maker, or use a heater whose marking suits the load."
    return judgement("circuit-device", "ok" if fits else "stop", template, values, why, do, sources["circuit-device"])


def wiring_method(site: Site, conditions: Conditions, sources: Mapping[str, str]) -> Judgement:
    """Judge the wiring method and its insulation against the wet and the heat of the route."""
    method = conditions.method
    highest = method.highest_ambient_c if method else None
    too_hot = highest is not None and conditions.ambient_c > highest
    wet = "wet" if site.route.wet else "damp or wet" if site.place.kind in ("damp", "outdoor") else "dry"
    values = (
        text("method", method.title if method else site.route.method),
        text("insulation", conditions.insulation),
        text("location", wet),
        kelvin("ambient", conditions.ambient_c),
        text("highest", "the method states no limit" if highest is None else f"limit {highest:g} °C for this method"),
        text("fit", conditions.unfit or "rated for it"),
    )
    template = "{method} with {insulation} conductors. Location: {location}; {fit}. Ambient {ambient}; {highest}."
    note = f" {method.note}" if method and method.note else ""
    do = f"Use a wiring method and insulation listed for the location and its temperature.{note}"
    why = "Water or heat that a cable or insulation is not made for spoils it from inside; faults follow."
    source = f"{sources['wiring-method']}; {method.clause if method else ''}"
    fits = not conditions.unfit and not too_hot
    return judgement("wiring-method", "ok" if fits else "stop", template, values, why, do, source)


def element_subdivision(circuit: Circuit, sources: Mapping[str, str]) -> Judgement:
    """Judge the parts of a heater above 48 A: each within its load and its device, none unprotected."""
    load, found = circuit.load, limits(circuit.load)
    why = "A fault in one element of a large heater can burn on without opening a large device."
    source = sources["element-subdivision"]
    whole = amps("whole", load.heater_current_a, "up")
    if found is None:
        template = "The heater is rated {whole}; up to {limit} its elements need no subdivision."
        return judgement("element-subdivision", "ok", template, (whole, amps("limit", 48.0)), why, "", source)
    largest = max(parts(load), key=lambda part: part.current_a)
    device = max(part.factory_device_a or circuit.ratings.device_a for part in parts(load))
    bare = uncovered_share(load)
    values = (
        whole,
        text("part", largest.name),
        amps("load", largest.current_a, "up"),
        amps("limit", found.load_a),
        amps("device", device),
        amps("limit_device", found.device_a),
        percent("bare", bare, "up"),
    )
    template = (
        "The heater is rated {whole}; its largest part ({part}) takes {load} of {limit} allowed, behind {device} of "
        "{limit_device} allowed; {bare} of the feed has no device of its own."
    )
    fits = largest.current_a <= found.load_a + 1e-9 and device <= found.device_a and bare < 1e-9
    do = "Do not connect: a listed heater of this size is subdivided. Check the model's data against its nameplate."
    return judgement("element-subdivision", "ok" if fits else "stop", template, values, why, do, source)

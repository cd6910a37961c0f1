"""Findings about a circuit as we size it: its device, and the wiring system against water, external influence AD.

IEC 60364-5-52 522.3: the installation methods of the capacity tables say how heat leaves a conductor, not whether its
cable stands water. Severity: `attention` where the route is wet or the place damp or outdoors, since someone must
choose cable, glands and conduits for it; nothing in the site's data tells that it was done.
"""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.iec.conditions import Conditions
from generator.compute.circuit.values import amps, text
from generator.compute.severity import ok_or_attention, ok_or_stop
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import Site

DEVICE_VALUES = ("feed", "load", "device", "marked")
DEVICE = Rule("circuit-device", {"iec-fits": DEVICE_VALUES, "iec-too-small": DEVICE_VALUES}, stops=("iec-too-small",))
WIRING_VALUES = ("method", "insulation", "location")
WIRING = Rule(
    "wiring-method",
    {"iec-dry": WIRING_VALUES, "iec-wet": WIRING_VALUES},
    choices={"location": ("wet", "wash-down", "damp", "outdoor", "dry")},
)


def circuit_device(circuit: Circuit) -> Judgement:
    """Judge whether the marking leaves room for the design current."""
    load, device_a, marked_a = circuit.load, circuit.ratings.device_a, circuit.load.feed.maximum_device_a
    marked = () if marked_a is None else (amps("marked", marked_a, "at_most"),)
    values = (text("feed", load.name), amps("load", load.current_a, "at_least"), amps("device", device_a), *marked)
    fits = device_a >= load.current_a - 1e-9
    source = circuit.rules.basis.rules.sources[DEVICE.name]
    return DEVICE.judge("iec-fits" if fits else "iec-too-small", ok_or_stop(fits), values, source=source)


def wiring_method(site: Site, conditions: Conditions, sources: Mapping[str, str]) -> Judgement:
    """Judge whether water reaches the wiring system, which then must be made for it."""
    wet = "wet" if site.route.wet else site.place.kind if site.place.damp else "dry"
    values = (
        text("method", conditions.method.title),
        text("insulation", conditions.insulation),
        text("location", wet),
    )
    dry = wet == "dry"
    return WIRING.judge("iec-dry" if dry else "iec-wet", ok_or_attention(dry), values, source=sources[WIRING.name])

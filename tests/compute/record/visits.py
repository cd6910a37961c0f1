"""Visits made for tests: heaters on their circuits, what is read of them, and the true fault behind it.

What is read is computed apart from the program: heat by CoolProp, three-phase currents by phasors of loads in delta,
errors of instruments drawn evenly between their limits, half of the variance shared and half each reading's own.
"""

from __future__ import annotations

import cmath
import math
import random
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from CoolProp.CoolProp import PropsSI

from generator.compute.band import Ends
from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.circuits import designed
from generator.compute.record.explain import Heater
from generator.compute.record.judge import sound_heater
from generator.model.heater import Feed
from generator.model.readings import Reading
from tests.compute.circuit_cases import basis
from tests.compute.wet_cases import TOLERANCES, model, site

BAR = 1e5
TAKEN = Ends(1.0 - TOLERANCES.input.below, 1.0, 1.0 + TOLERANCES.input.above)
PLACES = {"beck-9": "packing-house", "tarn-18": "creamery", "rill-3": "potting-shed"}
PAIRS = {"L1-L2": (0, 1), "L2-L3": (1, 2), "L3-L1": (2, 0)}


@dataclass(frozen=True)
class Truth:
    """What is behind the readings: by stage its power over the nameplate's, the supply [V], what is off, and the errors
    of flow meter (read over true), of the rise [K], of clamp and voltmeter."""

    scales: tuple[float, ...]
    volts: float
    fault: tuple[str, str] = ("", "")
    flow: float = 1.0
    offset_k: float = 0.0
    clamp: float = 1.0
    voltmeter: float = 1.0


@cache
def circuits(name: str) -> tuple[Circuit, ...]:
    """The circuits of a demo heater at its site, without length, so that volts at panel and heater are the same."""
    place = site(PLACES[name])
    place = place.model_copy(update={"route": place.route.model_copy(update={"length_m": 1e-6})})
    return designed(place, model(name), basis("us"))


def heater(name: str) -> Heater:
    return sound_heater(model(name), site(PLACES[name]).supply.phases, TAKEN)


def powers_and_lines(name: str, on: int, truth: Truth, volts: float) -> tuple[float, dict[str, list[float]]]:
    """The true power [W] with stages 1 to `on` selected, and the true amps of each feed, L1 to L3 or L1 and L2."""
    unit, place = model(name), site(PLACES[name])
    siemens = {feed.name: _siemens(name, feed, on, truth) for feed in unit.electrical.feeds}
    if truth.fault[0] == "feed-off":
        siemens[truth.fault[1]] = dict.fromkeys(PAIRS.values(), 0.0)
    total, lines = 0.0, {}
    whole = {pair: sum(one[pair] for one in siemens.values()) for pair in PAIRS.values()}
    for feed, own in siemens.items():
        where, _, line = truth.fault[1].rpartition(" ") if truth.fault[0] == "line-open" else ("", "", "")
        joined = whole if not where else own
        volts_of = _volts(volts, place.supply.phases, line if where in ("", feed) else "", joined)
        currents = [0j, 0j, 0j]
        for (one, other), conductance in own.items():
            across = volts_of[one] - volts_of[other]
            total += conductance * abs(across) ** 2
            currents[one] += conductance * across
            currents[other] -= conductance * across
        lines[feed] = [abs(current) for current in currents][: 3 if place.supply.phases == 3 else 2]
    return total, lines


def _siemens(name: str, feed: Feed, on: int, truth: Truth) -> dict[tuple[int, int], float]:
    """The conductance of a feed across each pair of lines [S], with stages 1 to `on` selected."""
    unit, supply = model(name), site(PLACES[name]).supply
    rating = next(one for one in unit.ratings if (one.phases, one.voltage_v) == (supply.phases, supply.voltage_v))
    found: dict[tuple[int, int], float] = dict.fromkeys(PAIRS.values(), 0.0)
    for number in (number for number in feed.stages if number <= on):
        stage = unit.stages[number - 1]
        power = rating.power_w * stage.share * truth.scales[number - 1] / rating.voltage_v**2
        found[PAIRS[stage.lines] if rating.phases == 3 and stage.lines else (0, 1)] += power
    return found


def _volts(volts: float, phases: int, opened: str, siemens: dict[tuple[int, int], float]) -> list[complex]:
    if phases == 1:
        return [volts / 2 + 0j, -volts / 2 + 0j, 0j]
    found = [volts / math.sqrt(3.0) * cmath.exp(-2j * math.pi * line / 3.0) for line in range(3)]
    if opened:  # the open line floats where the currents into it add up to nothing
        lost = int(opened[1]) - 1
        joined = {pair: value for pair, value in siemens.items() if lost in pair}
        weight = sum(joined.values())
        others = [(next(end for end in pair if end != lost), value) for pair, value in joined.items()]
        found[lost] = sum(value * found[end] for end, value in others) / weight if weight else found[others[0][0]]
    return found


def outlet_k(inlet_k: float, flow_m3_s: float, power_w: float) -> float:
    """The true outlet [K], by CoolProp at 1 bar."""
    density, enthalpy = (float(PropsSI(what, "T", inlet_k, "P", BAR, "Water")) for what in ("D", "H"))
    return float(PropsSI("T", "H", enthalpy + power_w / (density * flow_m3_s), "P", BAR, "Water"))


THERMOMETER_K, FLOW, VOLTS, AMPS = 0.4, 0.03, 0.01, 0.02  # limits of the instruments


class Errors:
    """Errors drawn evenly between the limits, half of their variance shared by all readings of an instrument."""

    def __init__(self, draw: random.Random) -> None:
        self.draw = draw
        self.shared = {name: draw.uniform(-1.0, 1.0) for name in ("thermometer", "flow", "volts", "amps")}

    def of(self, name: str, limit: float) -> float:
        return limit * (self.shared[name] + self.draw.uniform(-1.0, 1.0)) / math.sqrt(2.0)


def read(name: str, truth: Truth, draw: random.Random, *, electric: bool, steps: Sequence[int]) -> Reading:
    """What a visit reads at these numbers of stages, at the flow of the last stage and above."""
    errors, unit = Errors(draw), model(name)
    points: list[dict[str, Any]] = []
    for on in steps:
        inlet_k, flow = 273.15 + draw.uniform(6.0, 18.0), 1.15 * unit.stages[-1].closes_at_m3_s * draw.uniform(1.0, 1.5)
        power_w, lines = powers_and_lines(name, on, truth, truth.volts)
        out_k = outlet_k(inlet_k, flow, power_w) + truth.offset_k
        point: dict[str, Any] = {
            "stages": on,
            "flow": flow * truth.flow * (1.0 + errors.of("flow", FLOW)),
            "inlet": inlet_k + errors.of("thermometer", THERMOMETER_K),
            "outlet": out_k + errors.of("thermometer", THERMOMETER_K),
        }
        if electric:
            pairs = ("L1-L2", "L2-L3", "L3-L1") if site(PLACES[name]).supply.phases == 3 else ("L1-L2",)
            point["volts"] = {pair: truth.volts * truth.voltmeter * (1.0 + errors.of("volts", VOLTS)) for pair in pairs}
            amps = {
                feed: {
                    f"L{place}": max(value * truth.clamp * (1.0 + errors.of("amps", AMPS)), 0.0)
                    for place, value in enumerate(currents, start=1)
                }
                for feed, currents in lines.items()
            }
            point["amps"] = amps
        points.append(point)
    return reading(points)


def reading(points: list[dict[str, Any]], **more: Any) -> Reading:
    """A reading of these points with the instruments of the errors above."""
    tool = {"kind": "of a test", "serial": "1", "calibrated_until": "2030-01-01"}
    return Reading.model_validate(
        {
            "kind": "commissioning",
            "serial": "1",
            "people": [{"part": "measurement", "role": "electrician", "licence": "on file"}],
            "instruments": {
                "thermometer": {**tool, "within": THERMOMETER_K},
                "flow_meter": {**tool, "share": FLOW},
                "voltmeter": {**tool, "share": VOLTS},
                "clamp": {**tool, "share": AMPS},
            },
            "points": points,
            "result": "fit for use",
            "next_check": "2030-01-01",
            **more,
        }
    )


def sound(name: str, draw: random.Random) -> tuple[float, ...]:
    """Powers of sound stages over the nameplate's: half of the variance theirs, half that of the whole heater."""
    middle, half = (TAKEN.least + TAKEN.greatest) / 2.0, (TAKEN.greatest - TAKEN.least) / 2.0
    common = draw.uniform(-1.0, 1.0)
    return tuple(middle + half * (common + draw.uniform(-1.0, 1.0)) / math.sqrt(2.0) for _ in model(name).stages)


def faulty(name: str, draw: random.Random, code: str) -> Truth:
    """A heater with one thing otherwise than stated, by so much that it matters."""
    scales, nominal_v = list(sound(name, draw)), site(PLACES[name]).supply.voltage_v
    volts, number = nominal_v * draw.uniform(0.95, 1.05), draw.randrange(len(scales)) + 1
    far = draw.choice((-1.0, 1.0)) * draw.uniform(0.12, 0.3)
    if code == "power":
        return Truth(tuple(scale * (1.0 + far) for scale in scales), volts, (code, ""))
    if code in ("stage", "stage-off"):
        scales[number - 1] = 0.0 if code == "stage-off" else scales[number - 1] * (1.0 + 2.0 * far)
        return Truth(tuple(scales), volts, (code, str(number)))
    if code == "supply":
        return Truth(tuple(scales), nominal_v * (1.0 + far / 2.0), (code, ""))
    if code == "flow-meter":
        return Truth(tuple(scales), volts, (code, ""), flow=1.0 + far)
    if code == "thermometer":
        return Truth(tuple(scales), volts, (code, ""), offset_k=math.copysign(draw.uniform(1.0, 3.0), far))
    if code == "clamp":
        return Truth(tuple(scales), volts, (code, ""), clamp=1.0 + far)
    if code == "voltmeter":
        return Truth(tuple(scales), volts, (code, ""), voltmeter=1.0 + far)
    if code == "feed-off":
        return Truth(tuple(scales), volts, (code, draw.choice(["A", "B"])))
    if code == "line-open":
        return Truth(tuple(scales), volts, (code, f"{draw.choice(['', 'A ', 'B '])}L{number % 3 + 1}"))
    return Truth(tuple(scales), volts)

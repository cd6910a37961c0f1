"""The finding `power-measured`: whether the readings agree with the nameplate, and what explains them if they do not.

Severity, and why:
- `stop`: by an explanation that is kept a line carries more than its overcurrent device is rated for, or more was read:
  until volts and amps are read nobody knows that the circuit is safe.
- `attention`: the readings do not agree with a sound heater on this supply; what may be so is named, and which reading
  tells.
- `ok`: they agree, within what heater, supply and instruments are allowed to be off by; or nothing was read.
"""

from __future__ import annotations

from collections.abc import Iterator

from generator.compute.circuit.circuit import Circuit
from generator.compute.known import Known
from generator.compute.record.expected import at_heater
from generator.compute.record.fields.full_load import pairs
from generator.compute.record.judge import Judged
from generator.compute.severity import ATTENTION, OK, STOP
from generator.compute.verdict.set_flow import selected_stage
from generator.model.figures import Finding, Row, Value
from generator.model.finding_rules import Rule
from generator.model.records import CAUSES, DECIDING, Cause, Estimate, Explanation
from generator.si import added

SOURCE = "steady-flow energy balance; Ohm and Joule; uncertainties by JCGM 100:2008"
MOST = 3  # explanations of one cause, and of two, that a finding names: the best
_CAUSE = ("cause", "of", "value")
_FOUND = ("date", "read", "predicted", "decides")
RULE = Rule(
    "power-measured",
    {
        "none": (),
        "agrees": ("date", "power", "give"),
        "differs": _FOUND,
        "unexplained": ("date", "read", "predicted"),
        "above-device": (*_FOUND, "feed", "current", "device"),
    },
    lists={"alone": _CAUSE, "together": (*_CAUSE, "second", "of_second", "value_second")},
    choices={"cause": CAUSES, "second": CAUSES, "decides": DECIDING},
    stops=("above-device",),
)


def power_measured(facts: Known) -> Finding:
    """Return the finding `power-measured` of a site, by the last visit whose points can be fitted.

    By what was sent since where that does not agree; where it does, it does not stand for the visit.
    """
    site = facts.at.site
    fitted = [one for one in reversed(facts.judged) if any(point.sound for point in one.points)]
    judged = next((one for one in fitted if not (one.record.sent and one.agrees)), next(iter(fitted), None))
    if judged is None:
        return RULE.judge("none", OK, source=SOURCE).at(site.id)
    date = Value("date", judged.record.date.isoformat(), "text")
    over = greatest_current(facts, judged)
    if judged.agrees and over is None:
        found = judged.explanations[0]
        spread = Value("give", 2.0 * found.whole_deviation, "ratio", "at_least")
        return RULE.judge("agrees", OK, (date, Value("power", found.whole, "ratio"), spread), source=SOURCE).at(site.id)
    point = max((one for one in judged.points if one.sound), key=lambda one: (one.stages, one.heat_w.best))
    values: tuple[Value, ...] = (
        date,
        Value("read", point.heat_w.best, "power"),
        Value("predicted", point.predicted_w, "power"),
    )
    if not judged.explanations and over is None:
        return RULE.judge("unexplained", ATTENTION, values, source=SOURCE).at(site.id)
    values += (Value("decides", judged.decides, "text"),)
    lists = {"alone": tuple(_alone(facts, judged)), "together": tuple(_together(facts, judged))}
    if over is None:
        return RULE.judge("differs", ATTENTION, values, source=SOURCE, lists=lists).at(site.id)
    return RULE.judge("above-device", STOP, (*values, *over), source=SOURCE, lists=lists).at(site.id)


def greatest_current(facts: Known, judged: Judged) -> tuple[Value, Value, Value] | None:
    """Return feed, current and device of the circuit that carries most over its device [A]; None where none does.

    The current is the greatest that was read. Where volts and amps were not read with the stages in use on, and the
    readings do not agree, it is the greatest that an explanation gives at the stated supply: I = I_nameplate power
    volts.
    """
    over = [
        (current_a - device_a, circuit.load.name, current_a, device_a)
        for circuit in facts.circuits
        if (current_a := _greatest_a(facts, circuit, judged)) > (device_a := _device_a(facts, circuit))
    ]
    if not over:
        return None
    _, feed, current_a, device_a = max(over)
    return (
        Value("feed", feed, "text"),
        Value("current", current_a, "current", "at_least"),
        Value("device", device_a, "current"),
    )


def _device_a(facts: Known, circuit: Circuit) -> float:
    existing = facts.at.site.existing_circuit
    return existing.device_a if existing else circuit.ratings.device_a


def _greatest_a(facts: Known, circuit: Circuit, judged: Judged) -> float:
    points = judged.record.reading.points
    read_a = [amps for point in points for amps in point.amps.get(circuit.load.name, {}).values()]
    supply_v, in_use = facts.at.site.supply.voltage_v, selected_stage(facts.at.site, facts.at.model)
    taken = at_heater(circuit, in_use, supply_v)
    decided = any(point.stages >= in_use and point.volts and circuit.load.name in point.amps for point in points)
    if judged.agrees or decided or taken is None:
        return max(read_a, default=0.0)
    powers = [_feed_power(circuit, one) * one.volts for one in judged.explanations]
    return max((0.0, *read_a, *(power * taken.current_a for power in powers)))


def _feed_power(circuit: Circuit, explained: Explanation) -> float:
    """Return the power of a feed over the nameplate's by an explanation."""
    stages, numbers = circuit.load.all_stages, circuit.load.feed.stages
    own = (explained.scales[number - 1] * stages[number - 1].share for number in numbers)
    return added(own) / circuit.load.share


def _alone(facts: Known, judged: Judged) -> Iterator[Row]:
    kept = [one for one in judged.explanations if len(one.causes) == 1]
    for one in kept[:MOST]:
        yield dict(zip(_CAUSE, _cause(facts, judged, one, cause=one.causes[0]), strict=True))


def _together(facts: Known, judged: Judged) -> Iterator[Row]:
    kept = [one for one in judged.explanations if len(one.causes) == 2]
    for one in kept[:MOST]:
        first, second = (_cause(facts, judged, one, cause=cause) for cause in one.causes)
        names = ("second", "of_second", "value_second")
        yield dict(zip(_CAUSE, first, strict=True)) | {
            name: Value(name, value.value, value.kind) for name, value in zip(names, second, strict=True)
        }


def _cause(facts: Known, judged: Judged, explained: Explanation, *, cause: Cause) -> tuple[Value, Value, Value]:
    """Return the code of a cause, what it is of (stage, feed, line, pair or instrument), and what it comes to."""
    found = next((one for one in explained.estimates if one.cause == cause), Estimate(cause, 0.0, 0.0))
    tools = judged.record.reading.instruments
    meter = tools.flow_meter or tools.bucket
    named = {
        "power": f"1-{len(explained.scales)}",
        "supply": " ".join(pairs(facts.circuits[0].load.connection)),
        "flow-meter": meter.serial if meter else "",
        "thermometer": tools.thermometer.serial if tools.thermometer else "",
        "voltmeter": tools.voltmeter.serial if tools.voltmeter else "",
        "clamp": tools.clamp.serial if tools.clamp else "",
    }
    of = Value("of", cause.of or named[cause.code], "text")
    code = Value("cause", cause.code, "text")
    if cause.code == "thermometer":
        return code, of, Value("value", found.value, "temperature_difference")
    if cause.code == "supply":
        return code, of, Value("value", found.value * facts.at.site.supply.voltage_v, "voltage")
    return code, of, Value("value", found.value, "ratio")

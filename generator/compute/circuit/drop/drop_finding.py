"""Voltage drop as a finding: recommended limits, the size that would meet them."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.circuit import Circuit
from generator.compute.circuit.drop.voltage_drop import at_stage, rise_lost, size_for_drop, worst_drop_ratio
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.values import percent, text
from generator.model.figures import Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import Terminals

VALUES = ("drop", "ratio", "limit", "lost", "size", "existing", "length", "least_limit", "better")
DROP = Rule(
    "voltage-drop",
    {"within": VALUES, "no-size": VALUES, "splice": VALUES, "larger": VALUES},
)


def voltage_drop(circuit: Circuit, sources: Mapping[str, str], *, existing: bool) -> Judgement:
    """Judge the drop of one circuit, all stages closed, against the recommended limits.

    `existing`: the run is that of a circuit which is there already, whose size the sizes to lay need not hold.
    """
    load, wires, closed = circuit.load, circuit.wires(circuit.installed), len(circuit.load.stages)
    found = at_stage(load, wires, closed)
    passed = [limit for limit in wires.limits.values() if found.drop_ratio > limit]
    better, within = size_for_drop(load, wires), worst_drop_ratio(load, wires) <= wires.limit
    values: tuple[Value, ...] = (
        Value("drop", found.drop_v, "voltage", "at_least"),
        percent("ratio", found.drop_ratio, "at_least"),
        percent("limit", max(passed) if passed else wires.limit),
        percent("lost", rise_lost(load, wires, closed), "at_least"),
        text("existing" if existing else "size", wires.size),
        Value("length", wires.length_m, "length"),
    )
    if not within:
        values += (percent("least_limit", wires.limit), *((text("better", better),) if better else ()))
    if not passed:
        return DROP.judge("within", "ok", values, source=sources[DROP.name])
    return DROP.judge(_remedy(better, circuit.terminals), "attention", values, source=sources[DROP.name])


def _remedy(better: str | None, terminals: Terminals) -> str:
    if better is None:
        return "no-size"
    return "splice" if smaller(terminals.largest, better) else "larger"

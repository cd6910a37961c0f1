"""What holds for an existing circuit on every basis: its size put to the rules, and that one may not be enough."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.candidate import Candidate, Demand
from generator.compute.circuit.circuit import Circuit, Rules
from generator.compute.circuit.values import amps, count, text
from generator.compute.severity import ok_or_stop
from generator.errors import CannotCompute, MissingCell
from generator.model.figures import Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.site import ExistingCircuit

FEEDS = ("feeds", "described")
CIRCUITS = Rule("existing-circuits", {"one-feed": FEEDS, "several-feeds": FEEDS}, stops=("several-feeds",))
CONDUCTOR_VALUES = ("size", "device", "rule", "allowed", "needed", "wanted", "wanted_device")


def existing_circuits(feeds: int, sources: Mapping[str, str]) -> Judgement:
    """Judge whether one existing circuit can be enough."""
    values = (count("feeds", feeds), count("described", 1))
    case = "one-feed" if feeds == 1 else "several-feeds"
    return CIRCUITS.judge(case, ok_or_stop(feeds == 1), values, source=sources[CIRCUITS.name])


def existing_candidate(circuit: Circuit, existing: ExistingCircuit) -> Candidate:
    """Return an existing circuit's size with every rule put to it; CannotCompute where the basis does not hold it."""
    rules = circuit.rules
    demand = Demand(circuit.load.current_a, circuit.ratings.factor, existing.device_a)
    try:
        return rules.judge(existing.conductor, demand)
    except MissingCell as missing:
        held = [size for size in rules.basis.header.sizes if _holds(rules, size, demand)]
        expected = f"one of {', '.join(held)}, which the table holds in {rules.material}"
        raise CannotCompute(("existing_circuit", "conductor"), str(missing), expected) from None


def _holds(rules: Rules, size: str, demand: Demand) -> bool:
    try:
        rules.judge(size, demand)
    except MissingCell:
        return False
    return True


def conductor_values(
    circuit: Circuit, existing: ExistingCircuit, found: Candidate, *, own: tuple[Value, ...]
) -> tuple[Value, ...]:
    """Return CONDUCTOR_VALUES, what every family says of existing conductors, and after the size the family's own."""
    deciding = found.deciding
    return (
        text("size", existing.conductor),
        *own,
        amps("device", existing.device_a),
        text("rule", deciding.rule),
        amps("allowed", deciding.allowed_a, "at_most"),
        amps("needed", deciding.needed_a, "at_least"),
        text("wanted", circuit.size),
        amps("wanted_device", circuit.ratings.device_a),
    )

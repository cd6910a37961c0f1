"""Voltage drop as a finding: recommended limits, the size that would meet them."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.drop_figures import drop_figures
from generator.compute.circuit.findings import judgement
from generator.compute.circuit.load import Load
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.voltage_drop import Run, size_for_drop, worst_drop_ratio
from generator.compute.circuit.working import percent, text
from generator.model.figures import Value
from generator.model.finding_rules import Judgement
from generator.model.heater import Terminals


def voltage_drop(
    load: Load, run: Run, terminals: Terminals, sources: Mapping[str, str], *, existing: bool = False
) -> Judgement:
    """Judge the drop of one circuit, all stages closed, against the recommended limits.

    `existing`: the run is that of a circuit which is there already, whose size the sizes to lay need not hold.
    """
    figures = {figure.id.rpartition(".")[2]: figure for figure in drop_figures(load, run)}
    drop = float(figures["drop-ratio"].value or 0.0)
    passed = [limit for limit in run.limits.values() if drop > limit]
    limit = max(passed) if passed else run.limit
    better, within = size_for_drop(load, run), worst_drop_ratio(load, run) <= run.limit
    values: tuple[Value, ...] = (
        Value("drop", float(figures["drop"].value or 0.0), "voltage", "up"),
        percent("ratio", drop, "up"),
        percent("limit", limit),
        percent("lost", float(figures["rise-lost"].value or 0.0), "up"),
        text("size", f"the existing {run.size}" if existing else run.size),
        Value("length", run.length_m, "length"),
    )
    if not within:
        values += (text("better", better or "no size of this wiring method"), percent("least_limit", run.limit))
    template = (
        "On {length} of {size} the conductors drop {drop}, {ratio} of the supply (recommended: not above {limit}); "
        "{lost} of the power and of the rise is lost."
    )
    if not within:
        template += " First size within {least_limit}, of those that a new circuit may have here: {better}."
    why = "The recommendation is about efficiency, not fire; but the rise lost here is missing at the tap."
    return judgement(
        "voltage-drop",
        "attention" if passed else "ok",
        template,
        values,
        why,
        _what_to_do(better, terminals),
        sources["voltage-drop"],
    )


def _what_to_do(better: str | None, terminals: Terminals) -> str:
    if better is None:
        return (
            "Bring the panel nearer, use a wiring method made in larger sizes or a higher voltage, or accept the rise "
            "lost."
        )
    if smaller(terminals.largest, better):
        return "Use the larger size, spliced down beside the heater to what its terminals take, with a ground to match."
    return "Use the larger size, with a grounding conductor to match, or accept the rise lost."

"""Voltage drop as a finding: recommended limits, the size that would meet them."""

from __future__ import annotations

from collections.abc import Mapping

from generator.compute.circuit.drop_figures import drop_figures
from generator.compute.circuit.load import Load
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.voltage_drop import Run, size_for_drop, worst_drop_ratio
from generator.compute.circuit.working import percent, text
from generator.model.figures import Value
from generator.model.finding_rules import Judgement, Rule
from generator.model.heater import Terminals

VALUES = ("drop", "ratio", "limit", "lost", "size", "existing", "length", "least_limit", "better")
DROP = Rule(
    "voltage-drop",
    {"within": VALUES, "no-size": VALUES, "splice": VALUES, "larger": VALUES},
)


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
        text("existing" if existing else "size", run.size),
        Value("length", run.length_m, "length"),
    )
    if not within:
        values += (percent("least_limit", run.limit), *((text("better", better),) if better else ()))
    if not passed:
        return DROP.judge("within", "ok", values, source=sources[DROP.name])
    return DROP.judge(_remedy(better, terminals), "attention", values, source=sources[DROP.name])


def _remedy(better: str | None, terminals: Terminals) -> str:
    if better is None:
        return "no-size"
    return "splice" if smaller(terminals.largest, better) else "larger"

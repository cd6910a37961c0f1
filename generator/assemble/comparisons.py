"""The figures of a heater that a fault-finding check is compared with, by the keys that the fault data name."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from generator.model.figures import Figure, Value
from generator.model.heater import HeaterModel
from generator.model.results import ModelResult, SiteResult


def comparisons(model: HeaterModel, result: ModelResult | SiteResult) -> Mapping[str, tuple[Value, ...]]:
    """Return for each key of model/faults.COMPARISONS the heater's own figures, each labelled by its symbol.

    A heater that has no such figure, such as no marked greatest device, has an empty tuple.
    """
    water, terminals = model.water, model.electrical.terminals
    stages = result.stages
    return {
        "ratings": tuple(_rated(model)),
        "stage-current": tuple(_clamp_readings(model, result)),
        "element-resistance": _by_stage((stage.number, stage.element_resistance) for stage in stages),
        "element-insulation": (),  # of no heater alone: content/stated.yaml holds it
        "closes-at": _by_stage((stage.number, stage.closes_at) for stage in stages),
        "opens-at": _by_stage((stage.number, stage.opens_at) for stage in stages),
        "working-pressure": (
            Value("least", water.working_pressure.least_pa, "pressure", "up"),
            Value("greatest", water.working_pressure.greatest_pa, "pressure", "down"),
        ),
        "head-loss": tuple(_losses(model)),
        "greatest-inlet": (Value("greatest inlet", water.greatest_inlet_k, "temperature", "down"),),
        "greatest-outlet": (Value("greatest outlet", water.greatest_outlet_k, "temperature", "up"),),
        "cut-out": (Value("cut-out", water.cut_out_k, "temperature", "up"),),
        "maximum-device": tuple(
            Value(feed.name, feed.maximum_device_a, "current", "down")
            for feed in model.electrical.feeds
            if feed.maximum_device_a is not None
        ),
        "torque": (Value("supply terminals", terminals.torque, "text"),),
    }


def _by_stage(figures: Iterable[tuple[int, Figure]]) -> tuple[Value, ...]:
    return tuple(
        Value(f"stage {number}", figure.value, figure.kind, figure.side)
        for number, figure in figures
        if figure.value is not None
    )


def _clamp_readings(model: HeaterModel, result: ModelResult | SiteResult) -> Iterator[Value]:
    """Yield what a clamp on each feed shows, stage by stage: of a model, at its first rating."""
    feeds = result.circuits[: len(model.electrical.feeds)]
    for circuit in feeds:
        feed = f"feed {circuit.name}, " if len(feeds) > 1 else ""
        for number, row in enumerate(circuit.line_currents, 1):
            for line, figure in zip(circuit.lines or ("",), row, strict=True):
                if figure.value is not None:
                    yield Value(f"{feed}stage {number} {line}".strip(), figure.value, figure.kind, figure.side)


def _rated(model: HeaterModel) -> Iterator[Value]:
    for rating in model.ratings:
        phases = "three-phase" if rating.phases == 3 else "single-phase"
        yield Value(f"{phases} voltage", rating.voltage_v, "voltage")
        yield Value("power there", rating.power_w, "power")


def _losses(model: HeaterModel) -> Iterator[Value]:
    for point in model.water.head_loss:
        yield Value("at", point.flow_m3_s, "flow")
        yield Value("loss", point.loss_pa, "pressure", "up")

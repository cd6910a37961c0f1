"""The figures that a fault-finding check is compared with, by the keys that the fault data name.

What the heater is built for is the same wherever it hangs; supply, water and limit are those of the site.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from generator.compute.verdict.set_flow import can_be_set
from generator.compute.verdict.supply import ordinary_range_v
from generator.model.faults import Compared
from generator.model.figures import Figure, FigureTable, Sentence, Value
from generator.model.heater import HeaterModel, Rating
from generator.model.results import CircuitResult, ModelResult, SiteResult
from generator.model.tolerances import ServiceVoltage

if TYPE_CHECKING:
    from generator.assemble.documents import SiteView

UNFIT = Sentence("none: the supply does not fit the heater")
OTHER_CIRCUIT = Sentence("none: the circuit there is older than the one computed on the site's page")


def of_model(
    model: HeaterModel, result: ModelResult | SiteResult, service: ServiceVoltage
) -> Mapping[str, tuple[Value, ...]]:
    """Return for each key of model/faults.OF_MODEL the heater's own figures, each labelled by its symbol; `service` is
    the range of a supply in service.

    A heater that has no such figure, such as no marked greatest device, has an empty tuple.
    """
    water, terminals = model.water, model.electrical.terminals
    stages = result.stages
    return {
        "ratings": tuple(_rated(model)),
        "supply-range": tuple(_ordinary(model, service)),
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
        "torque": (Value("supply terminals", terminals.torque_n_m, "torque"),),
    }


def at_site(view: SiteView) -> Mapping[str, Compared]:
    """Return what a check is compared with at a site, for each key of model/faults.COMPARISONS."""
    result = view.result
    own = {
        key: Compared(values)
        for key, values in of_model(view.heater, result, view.basis.header.service_voltage).items()
    }
    return own | {
        "flow-window": _window(view),
        "limit": Compared(_known([("limit", result.limit)])),
        "inlet": Compared(_known([("coldest", result.winter_inlet), ("warmest", result.summer_inlet)])),
        "supply-voltage": Compared(_supply(view)),
        "voltage-drop": _drop(view),
        "stage-current": _off(view) or Compared(tuple(_clamp_readings(result.circuits))),
        "lost-supply": _off(view) or Compared(tuple(_lost(result.lost))),
        "element-resistance": Compared(_by_stage((stage.number, stage.element_resistance) for stage in result.stages)),
    }


@dataclass(frozen=True, slots=True)
class AtRating:
    """What a heater without a site is compared with, at one line of its nameplate."""

    rating: Rating
    circuits: tuple[CircuitResult, ...]
    resistances: tuple[Value, ...]


def at_ratings(model: HeaterModel, result: ModelResult) -> tuple[AtRating, ...]:
    """Return for each rating what a clamp on each feed shows, with no run, and the resistance of each element."""
    feeds, found = len(model.electrical.feeds), []
    for place, rating in enumerate(model.ratings):
        own = (
            (int(head.value), next(cell for cell in cells if cell.kind == "resistance"))
            for head, cells in result.element_tables[place].rows
        )
        found.append(AtRating(rating, result.circuits[place * feeds : (place + 1) * feeds], _by_stage(own)))
    return tuple(found)


def _off(view: SiteView) -> Compared | None:
    """Return why nothing is compared with that holds only while the heater is on, if it must stay off."""
    if view.unfit_supply:
        return Compared(why=UNFIT)
    if not view.stays_off:
        return None
    failed = ", ".join(found.rule.replace("-", " ") for found in view.stays_off)
    return Compared(why=Sentence("none: do not switch on ({failed})", (Value("failed", failed, "text"),)))


def _lost(table: FigureTable | None) -> Iterator[Value]:
    """Yield the outlet with each line open and each feed off."""
    for head, (_, outlet, *_) in table.rows if table else ():
        yield from _known([(str(head.value), outlet)])


def _window(view: SiteView) -> Compared:
    window, off = view.window, _off(view)
    if off:
        return off
    if not can_be_set(window):
        said = window.why_empty or Sentence("no flow can be set")
        return Compared(why=replace(said, template=f"none: {said.template}"))
    ends = _known([("least", window.least), ("greatest", window.greatest)])
    unbound = (Value("greatest", "the most it gives", "text"),) if window.greatest.state == "no-bound" else ()
    return Compared((*ends, *unbound, Value("stages closed", float(window.number), "count")))


def _supply(view: SiteView) -> tuple[Value, ...]:
    ends = zip(("at least", "at most"), view.result.supply_range, strict=True)
    return Value("stated", view.spec.supply.voltage_v, "voltage"), *_known(ends)


def _drop(view: SiteView) -> Compared:
    """Return the drop of each circuit to be laid; of an older one in its place no figure is published."""
    if view.unfit_supply:
        return Compared(why=UNFIT)
    if view.spec.existing_circuit:
        return Compared(why=OTHER_CIRCUIT)
    several = len(view.result.circuits) > 1
    drops = [
        (f"feed {circuit.name}" if several else "drop", figure)
        for circuit in view.result.circuits
        for figure in circuit.extra
        if figure.id.endswith(".drop")
    ]
    return Compared(_known(drops))


def _known(figures: Iterable[tuple[str, Figure]]) -> tuple[Value, ...]:
    return tuple(
        Value(name, figure.value, figure.kind, figure.side) for name, figure in figures if figure.value is not None
    )


def _by_stage(figures: Iterable[tuple[int, Figure]]) -> tuple[Value, ...]:
    return _known((f"stage {number}", figure) for number, figure in figures)


def _clamp_readings(circuits: tuple[CircuitResult, ...]) -> Iterator[Value]:
    """Yield what a clamp on each feed shows, stage by stage and, where they differ, line by line."""
    for circuit in circuits:
        feed = f"feed {circuit.name}, " if len(circuits) > 1 else ""
        for number, row in enumerate(circuit.line_currents, 1):
            for line, figure in zip(circuit.lines or ("",), row, strict=True):
                yield from _known([(f"{feed}stage {number} {line}".strip(), figure)])


def _rated(model: HeaterModel) -> Iterator[Value]:
    for rating in model.ratings:
        phases = "three-phase" if rating.phases == 3 else "single-phase"
        yield Value(f"{phases} voltage", rating.voltage_v, "voltage")
        yield Value("power there", rating.power_w, "power")


def _ordinary(model: HeaterModel, service: ServiceVoltage) -> Iterator[Value]:
    """Yield the ends [V] of the ordinary range of the supply at each rated voltage, each once."""
    for rated in dict.fromkeys(rating.voltage_v for rating in model.ratings):
        least, greatest = ordinary_range_v(rated, service)
        yield Value("at least", least, "voltage", "up")
        yield Value("at most", greatest, "voltage", "down")


def _losses(model: HeaterModel) -> Iterator[Value]:
    for point in model.water.head_loss:
        yield Value("at", point.flow_m3_s, "flow")
        yield Value("loss", point.loss_pa, "pressure", "up")

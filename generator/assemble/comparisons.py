"""The figures that a fault-finding check is compared with, by the keys that the fault data name.

What the heater is built for is the same wherever it hangs; supply, water and limit are those of the site.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from generator.compute.verdict.set_flow import can_be_set
from generator.compute.verdict.sound_element import sound_ohm
from generator.compute.verdict.supply import ordinary_range_v
from generator.model.content.comparison_words import ComparedWord
from generator.model.content.symptoms import Compared
from generator.model.figures import Figure, FigureTable, Sentence, Value
from generator.model.heater import HeaterModel, Rating
from generator.model.results import CircuitResult, ModelResult, SiteResult
from generator.model.tables.tolerances import ServiceVoltage, Tolerances

if TYPE_CHECKING:
    from generator.assemble.documents import SiteView

Named = Mapping[ComparedWord, str]
LIKE_OHM = 1e-9  # elements whose resistances differ by no more of it than this are alike


def of_model(
    model: HeaterModel, result: ModelResult | SiteResult, service: ServiceVoltage, *, words: Named
) -> Mapping[str, tuple[Value, ...]]:
    """Return for each key of OF_MODEL the heater's own figures, each labelled by its symbol; `service` is the range of
    a supply in service.

    A heater that has no such figure, such as no marked greatest device, has an empty tuple.
    """
    water, terminals = model.water, model.electrical.terminals
    stages = result.stages
    return {
        "supply-voltage": tuple(_ordinary(model, service, words)),
        "element-insulation": (),  # of no heater alone: content/stated.yaml holds it
        "closes-at": _by_stage(((stage.number, stage.closes_at) for stage in stages), words),
        "opens-at": _by_stage(((stage.number, stage.opens_at) for stage in stages), words),
        "working-pressure": (
            Value(words["least"], water.working_pressure.least_pa, "pressure", "at_least"),
            Value(words["greatest"], water.working_pressure.greatest_pa, "pressure", "at_most"),
        ),
        "head-loss": tuple(_losses(model, words)),
        "greatest-inlet": (Value(words["greatest-inlet"], water.greatest_inlet_k, "temperature", "at_most"),),
        "greatest-outlet": (Value(words["greatest-outlet"], water.greatest_outlet_k, "temperature", "at_most"),),
        "cut-out": (Value(words["cut-out"], water.cut_out_k, "temperature", "at_least"),),
        "maximum-device": tuple(
            Value(feed.name, feed.maximum_device_a, "current", "at_most")
            for feed in model.electrical.feeds
            if feed.maximum_device_a is not None
        ),
        "torque": (Value(words["terminals"], terminals.torque_n_m, "torque"),),
    }


def at_site(view: SiteView) -> Mapping[str, Compared]:
    """Return what a check is compared with at a site, for each key of COMPARISONS."""
    result, words = view.result, view.words.compared
    service, stages = view.basis.header.service_voltage, result.stages
    own = {key: Compared(values) for key, values in of_model(view.heater, result, service, words=words).items()}
    return own | {
        "flow-window": _window(view),
        "limit": Compared(_known([(words["limit"], result.limit)])),
        "inlet": Compared(_known([(words["coldest"], result.winter_inlet), (words["warmest"], result.summer_inlet)])),
        "supply-voltage": Compared(_supply(view)),
        "voltage-drop": _drop(view),
        "stage-current": _off(view) or Compared(tuple(_clamp_readings(result.circuits, words))),
        "rise": _off(view) or Compared(tuple(_rises(result, words))),
        "lost-supply": _off(view) or Compared(tuple(_lost(result.lost))),
        "element-resistance": Compared(
            sound_elements((one.element_resistance for one in stages), view.tolerances, words)
        ),
    }


@dataclass(frozen=True, slots=True)
class AtRating:
    """What a heater without a site is compared with, at one line of its nameplate."""

    rating: Rating
    circuits: tuple[CircuitResult, ...]
    resistances: tuple[Value, ...]


def at_ratings(model: HeaterModel, result: ModelResult, held_to: Tolerances, *, words: Named) -> tuple[AtRating, ...]:
    """Return for each rating what a clamp on each feed shows, with no run, and the resistance of each element."""
    feeds, found = len(model.electrical.feeds), []
    for place, rating in enumerate(model.ratings):
        own = (
            (int(head.value), next(cell for cell in cells if cell.kind == "resistance"))
            for head, cells in result.element_tables[place].rows
        )
        resistances = sound_elements((figure for _, figure in own), held_to, words)
        found.append(AtRating(rating, result.circuits[place * feeds : (place + 1) * feeds], resistances))
    return tuple(found)


def _off(view: SiteView) -> Compared | None:
    """Return why nothing is compared with that holds only while the heater is on, if it must stay off."""
    if view.unfit_supply:
        return _none(view, "none-unfit")
    if not view.stays_off:
        return None
    failed = ", ".join(found.title for found in view.stays_off)
    return _none(view, "none-off", Value("failed", failed, "text"))


def _none(view: SiteView, why: ComparedWord, *values: Value) -> Compared:
    return Compared(why=Sentence(view.words.compared[why], values))


def _rises(result: SiteResult, words: Named) -> Iterator[Value]:
    """Yield between what the rise lies, by stages on, and the flow it holds for."""
    rows = [row for row in result.expected if row.item == "rise"]
    for row in rows[:1]:
        yield from (replace(value, symbol=words["flow"]) for value in row.at if value.kind == "flow")
    for row in reversed(rows):
        least = words["stage-least"].format(stage=row.named("stage").partition(".")[0])
        ends = ((least, row.least), (words["greatest"], row.greatest))
        yield from (replace(end, symbol=name) for name, end in ends if end)


def sound_elements(nominal: Iterable[Figure], held_to: Tolerances, words: Named) -> tuple[Value, ...]:
    """Return between what the resistance of a sound element of each stage lies; once where all are alike."""
    ohms = [float(figure.value) for figure in nominal if figure.value is not None]
    if not ohms:
        return ()
    if max(ohms) - min(ohms) <= LIKE_OHM * max(ohms):
        return tuple(_sound(words["least"], words["greatest"], sound_ohm(ohms[0], held_to)))
    return tuple(
        value
        for number, ohm in enumerate(ohms, 1)
        for value in _sound(words["stage-least"].format(stage=number), words["greatest"], sound_ohm(ohm, held_to))
    )


def _sound(least: str, greatest: str, ends: tuple[float, float]) -> Iterator[Value]:
    yield Value(least, ends[0], "resistance", "at_most")
    yield Value(greatest, ends[1], "resistance", "at_least")


def _lost(table: FigureTable | None) -> Iterator[Value]:
    """Yield the outlet with each line open and each feed off."""
    for head, (_, outlet, *_) in table.rows if table else ():
        yield from _known([(str(head.value), outlet)])


def _window(view: SiteView) -> Compared:
    window, off, words = view.window, _off(view), view.words.compared
    if off:
        return off
    if not can_be_set(window):
        said = window.why_empty
        if said is None:
            return _none(view, "none-no-flow")
        return Compared(why=replace(said, template=words["none"].format(why=said.template)))
    ends = _known([(words["least"], window.least), (words["greatest"], window.greatest)])
    most = Value(words["greatest"], words["most-it-gives"], "text")
    unbound = (most,) if window.greatest.state == "no-bound" else ()
    return Compared((*ends, *unbound, Value(words["stages"], float(window.number), "count")))


def _supply(view: SiteView) -> tuple[Value, ...]:
    words = view.words.compared
    ends = zip((words["at-least"], words["at-most"]), view.result.supply_range, strict=True)
    return Value(words["stated"], view.spec.supply.voltage_v, "voltage"), *_known(ends)


def _drop(view: SiteView) -> Compared:
    """Return the drop of each circuit to be laid; of an older one in its place no figure is published."""
    if view.unfit_supply:
        return _none(view, "none-unfit")
    if view.spec.existing_circuit:
        return _none(view, "none-other-circuit")
    several, words = len(view.result.circuits) > 1, view.words.compared
    drops = [
        (words["drop-of-feed"].format(feed=circuit.name) if several else words["drop"], figure)
        for circuit in view.result.circuits
        for figure in circuit.extra
        if figure.id.endswith(".drop")
    ]
    return Compared(_known(drops))


def _known(figures: Iterable[tuple[str, Figure]]) -> tuple[Value, ...]:
    return tuple(
        Value(name, figure.value, figure.kind, figure.bound) for name, figure in figures if figure.value is not None
    )


def _by_stage(figures: Iterable[tuple[int, Figure]], words: Named) -> tuple[Value, ...]:
    return _known((words["stage"].format(stage=number), figure) for number, figure in figures)


def _clamp_readings(circuits: tuple[CircuitResult, ...], words: Named) -> Iterator[Value]:
    """Yield what a clamp on each feed shows, stage by stage and, where they differ, line by line."""
    for circuit in circuits:
        for number, row in enumerate(circuit.line_currents, 1):
            for line, figure in zip(circuit.lines or ("",), row, strict=True):
                name = words["stage-of-line" if line else "stage"].format(stage=number, line=line)
                several = len(circuits) > 1
                yield from _known(
                    [(words["of-feed"].format(feed=circuit.name, reading=name) if several else name, figure)]
                )


def _ordinary(model: HeaterModel, service: ServiceVoltage, words: Named) -> Iterator[Value]:
    """Yield the ends [V] of the ordinary range of the supply at each rated voltage, each once."""
    for rated in dict.fromkeys(rating.voltage_v for rating in model.ratings):
        least, greatest = ordinary_range_v(rated, service)
        yield Value(words["at-least"], least, "voltage", "at_least")
        yield Value(words["at-most"], greatest, "voltage", "at_most")


def _losses(model: HeaterModel, words: Named) -> Iterator[Value]:
    for point in model.water.head_loss:
        yield Value(words["flow"], point.flow_m3_s, "flow")
        yield Value(words["loss"], point.loss_pa, "pressure", "at_least")

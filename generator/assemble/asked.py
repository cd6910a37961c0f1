"""Fault finding at one heater: the symptoms and causes that are possible there, each question with its own figures.

What a heater that must stay off hides on its site's page (window, currents, start) is hidden here too: only what can be
looked into while it is off is asked about.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING

from generator.assemble.comparisons import at_site
from generator.compute.verdict.possible import possible_at, possible_in
from generator.compute.verdict.set_flow import CONTAINER_M3, can_be_set, fill_time_s, selected_stage
from generator.model.content.symptoms import Asked, AskedSymptom, Cause, Compared, Symptom, SymptomBook
from generator.model.figures import BoundKind, Figure, Sentence, Value
from generator.model.heater import HeaterModel
from generator.model.results import SiteResult

if TYPE_CHECKING:
    from generator.assemble.documents import ModelView, SiteView

Known = Mapping[str, Value]


def site_faults(view: SiteView, symptoms: SymptomBook) -> tuple[AskedSymptom, ...]:
    """Return what is asked about at a site, with its figures."""
    off = bool(view.stays_off)
    compared = {key: one for key, one in at_site(view).items() if not (off and one.why)}

    def possible(cause: Cause) -> bool:
        return possible_at(cause.where, view.spec, view.heater, result=view.result, basis=view.basis)

    shown = symptoms.while_off() if off else symptoms.symptoms
    return _asked(shown, possible, dict(_known_at(view, compared)), compared=compared)


def model_faults(view: ModelView, symptoms: SymptomBook) -> tuple[AskedSymptom, ...]:
    """Return what is asked about at a heater whose site is not known: with the figures of the heater alone."""
    compared = dict(_compared_of(view))

    def possible(cause: Cause) -> bool:
        return possible_in(cause.where, view.spec)

    return _asked(symptoms.symptoms, possible, dict(_known_of(view, compared)), compared=compared)


def question(cause: Cause, known: Known) -> Sentence:
    """Return the question of a cause: with figures where all that it names are known, else as it holds everywhere."""
    if cause.here is None or any(name not in known for name in cause.places):
        return Sentence(cause.question)
    return Sentence(cause.here, tuple(known[name] for name in cause.places))


def _asked(
    symptoms: Iterable[Symptom], possible: Callable[[Cause], bool], known: Known, *, compared: Mapping[str, Compared]
) -> tuple[AskedSymptom, ...]:
    def asked(cause: Cause) -> Asked:
        own: dict[str, Compared] = {key: compared[key] for key in cause.compare if key in compared}
        return Asked(cause, question(cause, known), own)

    found = (AskedSymptom(one, tuple(asked(cause) for cause in one.causes if possible(cause))) for one in symptoms)
    return tuple(one for one in found if one.asked)


def _known_at(view: SiteView, compared: Mapping[str, Compared]) -> Iterator[tuple[str, Value]]:
    """Yield the figures of a site that a question may name, as far as they may be shown."""
    result = view.result
    yield from _nameplate(view.heater)
    yield from _named(
        {"limit": result.limit, "coldest": result.winter_inlet, "warmest": result.summer_inlet, "torque": result.torque}
    )
    yield from _ohms(compared["element-resistance"])
    yield from _expected(result, "ground-continuity", "ground_ohms")
    if not view.stays_off:
        yield from _while_on(view)
        yield from _at_flows(view)


def _while_on(view: SiteView) -> Iterator[tuple[str, Value]]:
    """Yield what may be shown only of a heater that may be switched on: its supply, circuit and stages."""
    result, stages = view.result, view.result.stages
    in_use = selected_stage(view.spec, view.heater)
    yield "stage", Value("stage", float(in_use), "count")
    yield from _named({"turns_on": stages[0].closes_at, "last_turns_on": stages[in_use - 1].closes_at})
    yield from _named(dict(zip(("volts_least", "volts_greatest"), result.supply_range, strict=False)))
    yield from _expected(result, "no-flow", "no_flow_amps")
    for name, part in (("breaker", "device"), ("wire", "conductor")):
        shown = {str(getattr(feed.circuit, part).value): feed.circuit for feed in view.first_page.feeds}
        if len(shown) == 1:
            yield from _named({name: getattr(next(iter(shown.values())), part)})


def _at_flows(view: SiteView) -> Iterator[tuple[str, Value]]:
    """Yield the flow window, how fast a container fills at its ends, the wait, and the rise of a sound heater."""
    window, result = view.window, view.result
    container = CONTAINER_M3[view.basis.header.family]
    if can_be_set(window):
        yield from _named({"least": window.least, "greatest": window.greatest})
        yield "container", Value("container", container, "volume")
        ends: tuple[tuple[str, Figure, BoundKind], ...] = (
            ("slowest", window.least, "at_most"),
            ("fastest", window.greatest, "at_least"),
        )
        for name, flow, bound in ends:
            if isinstance(flow.value, float):
                yield name, Value(name, fill_time_s(container, flow.value), "time", bound)
    if result.water is not None:
        waits = (figure for figure in result.water.figures if figure.id.endswith(".wait"))
        yield from _named({"wait": next(waits, None)})
    for row in [row for row in result.expected if row.item == "rise"][-1:]:
        flow_now = next((value for value in row.at if value.kind == "flow"), None)
        yield from _named({"rise_least": row.least, "working_flow": flow_now})


def _known_of(view: ModelView, compared: Mapping[str, Compared]) -> Iterator[tuple[str, Value]]:
    """Yield the figures of a heater alone that a question may name."""
    stages = view.result.stages
    yield from _nameplate(view.spec)
    yield from _named({"turns_on": stages[0].closes_at, "last_turns_on": stages[-1].closes_at})
    yield from _named({"torque": view.result.torque})
    if "element-resistance" in compared:
        yield from _ohms(compared["element-resistance"])
        ends = dict(zip(("volts_least", "volts_greatest"), compared["supply-voltage"].values, strict=False))
        yield from _named(ends)


def _compared_of(view: ModelView) -> Iterator[tuple[str, Compared]]:
    """Yield what is known of a heater alone; its currents and elements where its nameplate has one rating."""
    for key, values in view.comparisons.items():
        yield key, Compared(values)
    if len(view.at_ratings) == 1:
        yield "element-resistance", Compared(view.at_ratings[0].resistances)


def _nameplate(heater: HeaterModel) -> Iterator[tuple[str, Value]]:
    water = heater.water
    pressure = water.working_pressure
    yield "cut_out", Value("cut_out", water.cut_out_k, "temperature", "at_least")
    yield "pressure_least", Value("pressure_least", pressure.least_pa, "pressure", "at_least")
    yield "pressure_greatest", Value("pressure_greatest", pressure.greatest_pa, "pressure", "at_most")


def _ohms(compared: Compared) -> Iterator[tuple[str, Value]]:
    """Yield the range of a sound element where all elements are alike."""
    if len(compared.values) == 2:
        yield from _named(dict(zip(("ohms_least", "ohms_greatest"), compared.values, strict=True)))


def _expected(result: SiteResult, item: str, name: str) -> Iterator[tuple[str, Value]]:
    """Yield the most that a field of the record may hold, where it is the same on every feed."""
    most = {row.greatest.value: row.greatest for row in result.expected if row.item == item and row.greatest}
    if len(most) == 1:
        yield from _named({name: next(iter(most.values()))})


def _named(items: Mapping[str, Figure | Value | None]) -> Iterator[tuple[str, Value]]:
    for name, item in items.items():
        if item is not None and item.value is not None:
            yield name, Value(name, item.value, item.kind, item.bound)

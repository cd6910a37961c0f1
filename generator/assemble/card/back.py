"""The back of a card: which parts and lines of the form apply at a site, and the values that stand in them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import reduce

from generator.assemble.card.heat import record_flow
from generator.assemble.documents import SiteView
from generator.model.content.card_words import CardWord
from generator.model.content.notices import ActiveNotice
from generator.model.content.print.card_form import CardForm, Condition, FormPart, FormStep
from generator.model.content.words import Words
from generator.model.documents.card import CardLine, CardNotice, CardPart, CardRow
from generator.model.figures import Figure, Sentence, Value
from generator.model.heater import LeadRole
from generator.model.tables.tolerances import InputTolerance

ROLES: Mapping[LeadRole, CardWord] = {
    "line": "lead-line",
    "line 1": "lead-line-1",
    "line 2": "lead-line-2",
    "line 3": "lead-line-3",
    "neutral": "lead-neutral",
}

# Place of the form -> the item of the site's record whose limit stands there.
RECORD_PLACES = {"ground_ohms": "ground-continuity", "trip_time": "residual-current", "loop": "loop"}
SIZES = ("device", "poles", "conductor", "ground")


@dataclass(frozen=True, slots=True)
class Filled:
    """The form at a site: which conditions hold there, and the values of its places.

    `texts` holds what stands in a place that says something of every circuit, each value in a place of its own.
    """

    holds: Mapping[Condition, bool]
    values: Mapping[str, Value]
    texts: Mapping[str, str]

    @property
    def starts(self) -> bool:
        """Whether the heater may be started: no failed check forbids it, and a flow can be set."""
        return not (self.holds["stopped"] or self.holds["no-window"])

    def sentence(self, text: str) -> Sentence:
        """Return a text of the form with its values."""
        for place, of_circuits in self.texts.items():
            text = text.replace(f"{{{place}}}", of_circuits)
        return Sentence(text, tuple(self.values[name] for name in dict.fromkeys(re.findall(r"\{(\w+)\}", text))))


@dataclass(frozen=True, slots=True)
class Given:
    """What a card draws on besides its site: the form and the heater's tolerance."""

    form: CardForm
    tolerance: InputTolerance


def filled(view: SiteView, given: Given) -> Filled:
    """Return what holds at a site, and the values of the form there."""
    limits = {place: _of_record(view, item) for place, item in RECORD_PLACES.items()}
    values = dict(_values(view, view.words)) | dict(_stated(view, given)) | dict(_sizes(view, view.words))
    values |= {
        f"{place}_{n}": replace(one, symbol=f"{place}_{n}") for place, of in limits.items() for n, one in enumerate(of)
    }
    texts = {place: _limits_text(place, of, view.words) for place, of in limits.items()}
    return Filled(_conditions(view), values, texts | {"sizes": _sizes_text(view, view.words)})


def parts(form: CardForm, at: Filled) -> tuple[CardPart, ...]:
    """Return the parts of the back, in working order: the start-up, or what must be cleared first."""
    chosen = (part for part in (form.start_up if at.starts else form.clear) if at.holds[part.when])
    return tuple(_part(part, at) for part in chosen)


def lines(form: CardForm, at: Filled) -> tuple[CardLine, ...]:
    """Return what to do about faults or, of a heater that stays off, about accidents."""
    chosen = (line for line in (form.faults if at.starts else form.accidents) if at.holds[line.when])
    return tuple(CardLine(line.id, line.name, at.sentence(line.text)) for line in chosen)


def cautions(form: CardForm, at: Filled, active: Iterable[ActiveNotice]) -> tuple[CardNotice, ...]:
    """Return the notices that apply in the words of the card, the most important first."""
    known = {one.notice.id: one.notice for one in active}
    met: dict[str, CardNotice] = {}
    for one in form.cautions:
        notice = known.get(one.notice)
        if notice and one.notice not in met and at.holds[one.when]:
            met[one.notice] = CardNotice(one.notice, notice.signal, notice.alert_symbol, at.sentence(one.text))
    return tuple(met.values())


def _part(part: FormPart, at: Filled) -> CardPart:
    rows = tuple(_row(step, at) for step in part.steps if at.holds[step.when])
    return CardPart(part.id, at.sentence(part.title), part.who, part.content, rows)


def _row(step: FormStep, at: Filled) -> CardRow:
    return CardRow(step.id, at.sentence(step.text), at.sentence(step.expected) if step.expected else None)


def _conditions(view: SiteView) -> dict[Condition, bool]:
    feeds, selector, shown = len(view.result.circuits), view.heater.stage_selector, view.facts.circuit_shown
    stopped = bool(view.stays_off)
    return {
        "always": True,
        "stopped": stopped,
        "no-window": not stopped and record_flow(view) is None,
        "selector": selector,
        "no-selector": not selector,
        "bounded": isinstance(view.window.greatest.value, float),
        "freezing": view.spec.place.freezing,
        "no-valve": view.result.allowed is not None,
        "mixing-valve": any(fixture.mixing_valve for fixture in view.spec.fixtures),
        "one-circuit": feeds == 1,
        "several-circuits": feeds > 1,
        "found-circuit": shown == "to install",
        "new-circuit": shown in ("new", "to install"),
        "residual-current-device": view.spec.supply.residual_current_device is not None,
        "no-residual-current-device": view.spec.supply.residual_current_device is None,
        "loop": bool(_of_record(view, "loop")),
    }


def _stated(view: SiteView, given: Given) -> Iterator[tuple[str, Value]]:
    """Yield by what the code basis has the tests pass, and the heater's tolerance."""
    passes = view.basis.passes
    yield "purge_time", Value("purge_time", passes.purge.after_last_air_s, "time", "at_least")
    yield "leak_test_time", Value("leak_test_time", passes.leak.time_s, "time", "at_least")
    yield "insulation_voltage", Value("insulation_voltage", passes.insulation.volts, "voltage")
    yield "insulation_least", Value("insulation_least", passes.insulation.least_ohm, "resistance", "at_least")
    yield "below", Value("below", given.tolerance.below, "ratio")
    yield "above", Value("above", given.tolerance.above, "ratio")


def _values(view: SiteView, words: Words) -> Iterator[tuple[str, Value]]:
    for name, figure in _figures(view).items():
        yield name, _value(name, figure, words)
    card, names = words.card, [circuit.name for circuit in view.result.circuits]
    joined = _joined(names, words)
    yield "circuits", Value("circuits", card["circuits-named"].format(names=joined), "text")
    breakers = card["the-breaker"] if len(names) == 1 else card["breakers-named"].format(names=joined)
    yield "breakers", Value("breakers", breakers, "text")
    yield "leads", Value("leads", ", ".join(_leads(view, words)), "text")
    wire = view.facts.wire
    yield "wire", Value("wire", f"{wire.metal} {wire.insulation}", "text")
    yield "voltage", replace(view.facts.supply, symbol="voltage")
    yield "length", replace(view.facts.length, symbol="length")
    found = view.facts.existing
    yield "found", Value("found", str(found.conductor.value) if found else "", "text")
    device = view.spec.supply.residual_current_device
    yield "residual", Value("residual", device or "", "text")
    yield "stage", Value("stage", float(view.window.number), "count")
    if flow := record_flow(view):
        yield "flow", flow


def _of_record(view: SiteView, item: str) -> list[Value]:
    """Return the most that an item of the record may read, circuit by circuit; none where it is not asked."""
    return [row.greatest for row in view.result.expected if row.item == item and row.greatest]


def _limits_text(place: str, limits: list[Value], words: Words) -> str:
    """Return the places of a limit: one for all circuits where it is the same, else each with its circuit's name."""
    if len({limit.value for limit in limits}) <= 1:
        return f"{{{place}_0}}"
    named = words.card["limit-of-circuit"]
    return ", ".join(named.format(name=f"{{name_{n}}}", limit=f"{{{place}_{n}}}") for n in range(len(limits)))


def _sizes(view: SiteView, words: Words) -> Iterator[tuple[str, Value]]:
    """Yield the sizes of each circuit, and its name."""
    for place, circuit in enumerate(view.result.circuits):
        for name in SIZES:
            yield f"{name}_{place}", _value(f"{name}_{place}", getattr(circuit, name), words)
        yield f"name_{place}", Value(f"name_{place}", circuit.name, "text")


def _sizes_text(view: SiteView, words: Words) -> str:
    """Return the places of the sizes: of one circuit or, each with its name, of several."""
    places = range(len(view.result.circuits))
    sizes = [words.card["circuit-sizes"].format(**{name: f"{{{name}_{place}}}" for name in SIZES}) for place in places]
    if len(sizes) == 1:
        return sizes[0]
    named = words.card["sizes-of-circuit"]
    return "; ".join(named.format(name=f"{{name_{place}}}", sizes=one) for place, one in enumerate(sizes))


def _figures(view: SiteView) -> dict[str, Figure]:
    result, window = view.result, view.window
    named = {
        "torque": result.torque,
        "limit": result.limit,
        "turn_on": result.stages[0].closes_at,
        "least": window.least,
        "greatest": window.greatest,
    }
    named |= dict(zip(("least_volts", "greatest_volts"), result.supply_range, strict=True))
    if result.water:
        named["rest"] = next(one for one in result.water.figures if one.id.endswith(".water.pressure-at-rest"))
    return named


def _value(name: str, figure: Figure, words: Words) -> Value:
    """Return a figure as a value of a sentence; one that has no value shows its state."""
    if figure.value is None:
        return Value(name, words.states[figure.state], "text")
    return Value(name, figure.value, figure.kind, figure.bound)


def _joined(names: list[str], words: Words) -> str:
    return reduce(lambda first, second: words.card["both-names"].format(first=first, second=second), names)


def _leads(view: SiteView, words: Words) -> Iterator[str]:
    """Yield the leads that take a conductor of the supply here, with their colors."""
    lines, neutral = view.result.circuits[0].conductors.lines, view.result.circuits[0].conductors.neutral
    unused = {"line 3"} if lines < 3 else set()
    unused |= set() if neutral else {"neutral"}
    for lead in view.heater.electrical.leads:
        if lead.role in ROLES and lead.role not in unused:
            yield words.card["lead"].format(role=words.card[ROLES[lead.role]], color=lead.colour)

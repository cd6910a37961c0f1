"""The procedures of a card: which steps apply at a site, and the values that stand in them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace

from generator.assemble.documents import SiteView
from generator.model.card import BLOCKING, STATED_PLACES, CardStage, CardStep, CardSteps, StepCondition
from generator.model.figures import Figure, Finding, Sentence, Value
from generator.model.stated import Stated


def start_up(
    steps: CardSteps,
    view: SiteView,
    stops: tuple[Finding, ...],
    *,
    window: CardStage | None,
    stated: Mapping[str, Stated],
) -> tuple[Sentence, ...]:
    """Return the start-up; while one of `stops` or an empty flow window forbids it, only the steps that say so.

    `window` is the line of stages whose flow window leads the card, None where the supply does not fit the heater.
    `stated` holds the values of content/stated.yaml that the steps show, by id.
    """
    usable = window is not None and window.least is not None and window.least.value is not None
    holds = _conditions(view) | {"stopped": bool(stops), "no-window": not usable}
    holds["higher-stage"] = view.heater.stage_selector and window is not None and window.number.value != 1
    blocking = next((condition for condition in BLOCKING if holds[condition]), None)
    chosen = (step for step in steps.start_up if (step.when == blocking if blocking else holds[step.when]))
    failed = Value("failed", ", ".join(found.rule.replace("-", " ") for found in stops), "text")
    values = _values(view, window) | {"failed": failed}
    values |= {place: replace(stated[name].shown, symbol=place) for place, name in STATED_PLACES.items()}
    return _sentences(chosen, values, _current_places(view))


def shut_down(steps: CardSteps, view: SiteView) -> tuple[Sentence, ...]:
    """Return the shutdown, which nothing forbids."""
    holds = _conditions(view)
    return _sentences((step for step in steps.shut_down if holds.get(step.when, False)), _values(view, None), "")


def _conditions(view: SiteView) -> dict[StepCondition, bool]:
    return {
        "always": True,
        "selector": view.heater.stage_selector,
        "freezing": view.spec.place.freezing,
        "no-valve": view.result.allowed is not None,
        "mixing-valve": any(fixture.mixing_valve for fixture in view.spec.fixtures),
    }


def _current_places(view: SiteView) -> str:
    """Return the places of the currents and, of several, of their circuits: a clamp sees no more than its own.

    Where the lines of a feed differ, the row of the card's table says what each carries.
    """
    if any(circuit.lines for circuit in view.result.circuits):
        return "what row {stage} of the table of stages holds"
    names = [circuit.name for circuit in view.result.circuits]
    if len(names) == 1:
        return "{current_0}"
    return " and ".join(f"{{current_{place}}} on circuit {{circuit_{place}}}" for place in range(len(names)))


def _values(view: SiteView, window: CardStage | None) -> dict[str, Value]:
    figures: dict[str, Figure | None] = {"limit": view.result.limit, "torque": view.result.torque}
    numbers: dict[str, Value] = {}
    figures |= dict(zip(("least_volts", "greatest_volts"), view.result.supply_range, strict=True))
    if window is not None:
        circuits = enumerate(view.result.circuits)
        numbers |= {f"circuit_{place}": Value(f"circuit_{place}", one.name, "text") for place, one in circuits}
        figures |= {f"current_{place}": row[0] for place, row in enumerate(window.currents)}
        figures |= {"least": window.least, "greatest": window.greatest}
        numbers["stage"] = replace(window.number, symbol="stage")
    return numbers | {name: _value(name, figure) for name, figure in figures.items() if figure is not None}


def _value(name: str, figure: Figure) -> Value:
    """Return a figure as a value of a sentence; one that has no value shows its state."""
    if figure.state == "no-bound":
        return Value(name, "the most it gives", "text")
    if figure.value is None:
        return Value(name, figure.state, "text")
    return Value(name, figure.value, figure.kind, figure.side)


def _sentences(steps: Iterable[CardStep], values: Mapping[str, Value], currents: str) -> tuple[Sentence, ...]:
    """Return the steps with their values; `currents` stands in the place of the current."""
    texts = (step.text.replace("{current}", currents) for step in steps)
    return tuple(
        Sentence(text, tuple(values[name] for name in dict.fromkeys(re.findall(r"\{(\w+)\}", text)))) for text in texts
    )

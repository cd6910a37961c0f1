"""The fault checks of a card: for the first symptoms, the first thing to look at, and what to compare with."""

from __future__ import annotations

from generator.assemble.documents import SiteView
from generator.model.card import CardCheck
from generator.model.faults import COMPARISONS, Cause, Compared, FaultBook, Symptom

SYMPTOMS_SHOWN = 4
VALUES_SHOWN = 3  # more than so many values of one kind are read off the card's table of stages


def card_checks(faults: FaultBook, view: SiteView) -> tuple[CardCheck, ...]:
    """Return the checks that need no open cover, in reading order."""
    found = ((symptom, _first(symptom)) for symptom in faults.symptoms)
    checks = [_check(faults, view, symptom, cause=cause) for symptom, cause in found if cause is not None]
    return tuple(checks[:SYMPTOMS_SHOWN])


def _first(symptom: Symptom) -> Cause | None:
    return next((cause for cause in symptom.causes if cause.effort != "cover off"), None)


def _check(faults: FaultBook, view: SiteView, symptom: Symptom, *, cause: Cause) -> CardCheck:
    known = view.comparisons
    return CardCheck(
        symptom=symptom.title,
        state=faults.safe_states[cause.safe_state or symptom.safe_state].title,
        question=cause.question,
        check=cause.check[0],
        compare=tuple((COMPARISONS[key], _few(known[key])) for key in cause.compare if known[key] != Compared()),
    )


def _few(compared: Compared) -> Compared:
    return compared if len(compared.values) <= VALUES_SHOWN else Compared()

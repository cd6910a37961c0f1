"""Every site's quick card and record, put together from what was loaded: printing verbs and revision codes share it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from generator.assemble.card.back import Given
from generator.assemble.card.choose import card
from generator.assemble.documents import Book
from generator.assemble.record.sheet import record_sheet
from generator.compute.active_notices import site_notices
from generator.errors import InputFaults
from generator.model.content.notices import Notice
from generator.model.content.print.card_form import CardForm
from generator.model.content.print.record_form import RecordForm, strays
from generator.model.documents.card import Card
from generator.model.documents.record_sheet import RecordSheet
from generator.read.content.overlay import load_in_language
from generator.render.card.pdf import Printing

FORM, RECORD_FORM = "print/card_form.yaml", "print/record_form.yaml"


def cards_of(content: Path, book: Book, notices: Iterable[Notice]) -> Mapping[str, Card]:
    """Return each site's card by site id. InputFaults for a fault in the card's form.

    `content` is the folder of that name, `notices` every safety notice there is.
    """
    given, every = _given(content, book), tuple(notices)
    cards = {}
    for view in book.sites:
        active = site_notices(view.spec, view.heater, view.result, notices=every, basis=view.basis, target="card")
        cards[view.spec.id] = card(book.settings, view, notices=active, given=given)
    return cards


def records_of(content: Path, book: Book, cards: Mapping[str, Card]) -> Mapping[str, RecordSheet]:
    """Return each site's record to fill in, by site id, from the cards. InputFaults for a fault in either form."""
    given = _given(content, book)
    file = load_in_language(content, RECORD_FORM, RecordForm, language=book.settings.language)
    faults = [file.fault(*stray) for stray in strays(file.value, given.form)] if file.value else file.faults
    if file.value is None or faults:
        raise InputFaults(faults)
    return {view.spec.id: record_sheet(view, cards[view.spec.id], file.value, given=given) for view in book.sites}


def _given(content: Path, book: Book) -> Given:
    """Return what every card is made from. InputFaults for a fault in the card's form."""
    form = load_in_language(content, FORM, CardForm, language=book.settings.language)
    if form.value is None:
        raise InputFaults(form.faults)
    return Given(form.value, book.tolerances.input)


def printing_of(content: Path, book: Book, paper: str | None = None) -> Printing:
    """Return how cards are printed: the templates, the paper (the handbook's unless given), the style."""
    wanted = book.settings.paper if paper is None else paper
    return Printing(content / "print", "a4" if wanted == "a4" else "letter", book.style)

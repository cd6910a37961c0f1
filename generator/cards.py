"""Every site's quick card, put together from what was loaded: the printing verbs and the revision codes share it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from generator.assemble.card import card
from generator.assemble.card_checks import card_checks
from generator.assemble.documents import Book
from generator.compute.notices import site_notices
from generator.model.card import Card, CardSteps
from generator.model.notices import Notice
from generator.read.yaml_file import read_yaml_file
from generator.render.print_card import Printing

STEPS = "print/card_steps.yaml"


def cards_of(content: Path, book: Book, notices: Iterable[Notice]) -> Mapping[str, Card]:
    """Return the full form of each site's card by site id. InputFaults for a fault in the card's procedures.

    `content` is the folder of that name, `notices` every safety notice there is.
    """
    steps, every = read_yaml_file(content / STEPS, CardSteps, f"content/{STEPS}"), tuple(notices)
    cards = {}
    for view in book.sites:
        active = site_notices(view.spec, view.heater, view.result, notices=every, basis=view.basis, target="card")
        cards[view.spec.id] = card(
            book.settings, view, active, checks=card_checks(book.symptoms, view), steps=steps, stated=book.stated
        )
    return cards


def printing_of(content: Path, book: Book, paper: str | None = None) -> Printing:
    """Return how cards are printed: the templates, the paper (the handbook's unless given), the style."""
    wanted = book.settings.paper if paper is None else paper
    return Printing(content / "print", "a4" if wanted == "a4" else "letter", book.style)

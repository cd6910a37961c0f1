"""Every site's quick card, put together from what was loaded: the printing verbs and the revision codes share it."""

from __future__ import annotations

from collections.abc import Mapping

from generator.assemble.card import card
from generator.assemble.card_checks import card_checks
from generator.build import Folders, Loaded
from generator.compute.notices import site_notices
from generator.model.card import Card, CardSteps
from generator.read.yaml_file import read_yaml_file
from generator.render.print_card import Printing

STEPS = "print/card_steps.yaml"


def cards_of(folders: Folders, loaded: Loaded) -> Mapping[str, Card]:
    """Return the full form of each site's card by site id. InputFaults for a fault in the card's procedures."""
    steps = read_yaml_file(folders.content / STEPS, CardSteps, f"content/{STEPS}")
    settings, shown = loaded.inputs.settings, loaded.book
    cards = {}
    for view in shown.sites:
        active = site_notices(view.spec, view.heater, view.result, loaded.notices, view.basis, "card")
        cards[view.spec.id] = card(settings, view, active, card_checks(shown.symptoms, view), steps)
    return cards


def printing_of(folders: Folders, loaded: Loaded, paper: str | None = None) -> Printing:
    """Return how cards are printed: the templates, the paper (the handbook's unless given), the units."""
    settings = loaded.inputs.settings
    wanted = settings.paper if paper is None else paper
    return Printing(folders.content / "print", "a4" if wanted == "a4" else "letter", settings.units)

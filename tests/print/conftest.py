"""What the tests of cards share."""

from __future__ import annotations

import pytest

from generator.build import Loaded
from generator.render.card.pdf import TEMPLATE, Printing
from generator.render.typesetter import Typesetter
from generator.site_cards import printing_of
from tests.frozen import ROOT


@pytest.fixture(scope="session")
def printing(loaded: Loaded) -> Printing:
    """How the demo's cards are printed."""
    return printing_of(ROOT / "content", loaded.book)


@pytest.fixture(scope="session")
def setter() -> Typesetter:
    """The typesetter of cards."""
    return Typesetter(ROOT / "content" / "print", TEMPLATE)

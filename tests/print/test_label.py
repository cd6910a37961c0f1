"""Labels of the size of their stock, and fonts that hold what the trade writes."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any, Literal

import pytest
from fontTools.ttLib import TTFont

from generator.build import Loaded
from generator.errors import PrintFault
from generator.model.documents.card import Card
from generator.model.figures import Decided, Value
from generator.model.settings import LabelSize
from generator.render.card.label import TEMPLATE, print_label
from generator.render.typesetter import Typesetter
from generator.site_cards import printing_of
from tests.frozen import ROOT
from tests.print.reading import reader, squeezed, text_and_sizes, text_of
from tests.styles import BOTH

PRINT = ROOT / "content" / "print"
AT = Value("at", 328.7, "temperature")
BY = Decided("accepted", "farm manager", "a mixing valve is on order", "2026-11-02", "2026-12-15", "", (AT,))
BY_TEXT = "farm manager, 2026-11-02: a mixing valve is on order; until 2026-12-15"
SIGNS = "°²³Ω≤≥×→–·½−±Δµ"


@pytest.fixture(scope="module")
def setter() -> Typesetter:
    return Typesetter(PRINT, TEMPLATE)


@pytest.mark.parametrize(("kind", "points"), [("panel", (288, 144)), ("heater", (216, 72))])
def test_a_label_has_the_size_of_its_stock(loaded: Loaded, setter: Typesetter, kind: str, points: tuple) -> None:
    settings = loaded.inputs.settings
    for card in loaded.cards.values():
        size = getattr(settings, f"{kind}_label")
        pdf = print_label(setter, card, printing_of(ROOT / "content", loaded.book), kind=kind, size=size)
        (page,) = reader(pdf).pages
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(points, abs=0.1)
        text = text_of(pdf)
        assert squeezed(card.head.site) in text and squeezed(card.head.heater) in text
        for circuit in () if card.stops else card.circuits:
            assert f"{circuit.device.value:g}A" in text
        several = squeezed(f"{len(card.feeds)} circuits feed it: switch off and lock every one.")
        assert (several in text) == (len(card.feeds) > 1)
        for place in (1, 2):
            assert (squeezed(f"{place} of 2.") in text) == (len(card.feeds) > 1 and kind == "panel")
        volts = next(fact.value for fact in card.circuit_facts if fact.label == "supply")
        assert isinstance(volts, Value) and f"{volts.value:g}V" in text
        assert "Circuit" in text
        if kind == "panel" and not card.stops:
            assert squeezed(BOTH.words.card[card.wire.conductors]) in text
        assert min(text_and_sizes(pdf)[1]) >= 7.0


def _label(loaded: Loaded, setter: Typesetter, card: Card, kind: Literal["panel", "heater"]) -> str:
    settings = loaded.inputs.settings
    size = getattr(settings, f"{kind}_label")
    return text_of(print_label(setter, card, printing_of(ROOT / "content", loaded.book), kind=kind, size=size))


SIZE = re.compile(r"\d+AWG|\d+mm²|\d+A,")


@pytest.mark.parametrize("kind", ["panel", "heater"])
def test_a_failed_check_leaves_no_size_to_be_read_off(loaded: Loaded, setter: Typesetter, kind: Any) -> None:
    """The circuit of the bunkhouse must not be used: a label with sizes would invite just that."""
    card = loaded.cards["bunkhouse"]
    assert card.stops
    text = _label(loaded, setter, card, kind)
    assert "DONOTENERGIZE" in text
    assert squeezed(card.head.page if kind == "panel" else "see the page of this site") in text
    assert not SIZE.search(text)
    two = _label(loaded, setter, replace(card, feeds=("A", "B")), kind)
    assert squeezed("2 circuits feed it: switch off and lock every one.") in two


@pytest.mark.parametrize("kind", ["panel", "heater"])
def test_a_circuit_that_must_not_be_built_is_forbidden_even_when_accepted(
    loaded: Loaded, setter: Typesetter, kind: Any
) -> None:
    card = loaded.cards["bunkhouse"]
    accepted = tuple(replace(stop, decision=BY) for stop in card.stops)
    text = _label(loaded, setter, replace(card, stops=accepted, circuits=()), kind)
    assert "DONOTENERGIZE" in text
    assert "stop," not in text and "stop-pole" not in text


@pytest.mark.parametrize(("kind", "words"), [("panel", BY_TEXT), ("heater", f"{BY.by}, {BY.date}; until {BY.until}")])
def test_a_stop_that_the_owner_accepts_stands_on_both_labels(
    loaded: Loaded, setter: Typesetter, kind: Any, words: str
) -> None:
    stopped = next(card for card in loaded.cards.values() if card.stops)
    accepted = replace(stopped.stops[0], title="Hottest water", decision=BY)
    for card in loaded.cards.values():
        text = _label(loaded, setter, replace(card, stops=(), decided=(accepted,)), kind)
        assert squeezed(f"STOP Hottest water. Accepted by {words}") in text


def test_a_panel_label_states_the_circuit_that_is_there(loaded: Loaded, setter: Typesetter) -> None:
    """With an old circuit in the panel the sizes of a new one would be false."""
    card = replace(loaded.cards["bunkhouse"], stops=(), circuit_shown="as found")
    existing = next(site for site in loaded.inputs.sites if site.id == "bunkhouse").existing_circuit
    assert existing is not None and existing.conductor != card.circuits[0].conductor.value
    text = _label(loaded, setter, card, "panel")
    assert squeezed(f"{existing.device_a:g} A, {existing.poles}") in text
    assert squeezed(f"wire {existing.conductor}") in text
    assert squeezed(str(card.circuits[0].conductor.value)) not in text


def test_a_panel_label_says_what_its_sizes_hold_for(loaded: Loaded, setter: Typesetter) -> None:
    text = _label(loaded, setter, loaded.cards["packing-house"], "panel")
    assert squeezed("2 lines, no neutral: copper THWN-2, terminals rated 75 °C, Electrical metallic tubing") in text


@pytest.mark.parametrize("kind", ["panel", "heater"])
def test_a_label_says_how_many_conductors_are_pulled(loaded: Loaded, setter: Typesetter, kind: Any) -> None:
    """By hand: 240 V across two lines; 120 V from one line; each of two three-phase feeds."""
    counts = {
        "packing-house": "2 lines, no neutral",
        "farm-stand": "1 line and neutral",
        "creamery": "3 lines, no neutral each",
    }
    for site, words in counts.items():
        text = _label(loaded, setter, replace(loaded.cards[site], stops=()), kind)
        assert squeezed(words) in text, site


def test_a_label_too_small_for_its_text_is_told(loaded: Loaded, setter: Typesetter) -> None:
    card = loaded.cards["creamery"]
    printing = printing_of(ROOT / "content", loaded.book)
    with pytest.raises(PrintFault, match=r"panel label does not fit 2\.0 by 1\.0 inches.*larger panel_label"):
        print_label(setter, card, printing, kind="panel", size=LabelSize(width_m=0.0508, height_m=0.0254))


def test_a_long_title_wraps_or_is_told(loaded: Loaded, setter: Typesetter) -> None:
    card = loaded.cards["creamery"]
    printing = printing_of(ROOT / "content", loaded.book)
    long = replace(card, head=replace(card.head, site="Rinse bay of the second packing house beside the dock"))
    size = loaded.inputs.settings.panel_label
    assert len(reader(print_label(setter, long, printing, kind="panel", size=size)).pages) == 1


@pytest.mark.parametrize("file", sorted(path.name for path in (PRINT / "fonts").glob("FiraSans*.ttf")))
def test_the_fonts_hold_the_signs_of_the_trade(file: str) -> None:
    have = TTFont(PRINT / "fonts" / file).getBestCmap()
    assert not [sign for sign in SIGNS if ord(sign) not in have]


def test_every_font_comes_with_its_licence() -> None:
    fonts = {path.name.split("-")[0].removesuffix("Condensed") for path in (PRINT / "fonts").glob("*.ttf")}
    licences = {path.name.split("-")[0] for path in (PRINT / "fonts").glob("*-LICENSE.txt")}
    assert fonts == licences

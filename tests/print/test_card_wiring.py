"""The wiring on the back of a card: where it stands, what it says, how large, and that nothing gives way to it."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import get_args

import pytest

from generator.build import Loaded
from generator.model.documents.drawings import Guard, WiringDrawing
from generator.render.card.content import card_code, card_record
from generator.render.card.pdf import Printing, print_card
from generator.render.card.texts import card_texts
from generator.render.card.wiring import wiring_texts
from generator.render.typesetter import Typesetter
from tests.print.reading import placed, reader
from tests.print.test_card import LEAST_PT, elements
from tests.print.test_card_says import at_another_supply
from tests.render.drawing.svg_reader import read

DRAWN = {"farm-stand"}  # of the demo: the others' backs are full, or no wiring fits beside what they hold
LINE = 1.2  # the height of a word of our font as poppler gives it, in sizes of its type


def alternatives(pdf: bytes) -> list[str]:
    """What the pictures of a card say to who cannot see them."""
    found = elements(reader(pdf).trailer["/Root"]["/StructTreeRoot"])
    return [str(one["/Alt"]) for one in found if one.get("/S") == "/Figure"]


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_it_stands_where_there_is_room_and_nothing_gives_way(
    loaded: Loaded, setter: Typesetter, printing: Printing, paper: str
) -> None:
    drawn, on = set(), replace(printing, paper=paper)
    for site, card in loaded.cards.items():
        pdf, told = print_card(setter, card, on).pdf, [one["alt"] for one in wiring_texts(card, printing.style)]
        shown = [alt for alt in alternatives(pdf) if alt in told]
        assert shown in ([], told), site
        if not shown:
            continue
        drawn.add(site)
        words = Counter(word for word, _ in placed(pdf, 2))
        bare = replace(card, wiring=())
        without = Counter(word for word, _ in placed(print_card(setter, bare, on).pdf, 2))
        assert not without - words - Counter({card_code(bare, on.style): without.total()}), site
        written = Counter(
            word for one in wiring_texts(card, printing.style) for said in one["said"] for word in said.split()
        )
        assert not written - words, site
    assert drawn == DRAWN


def test_its_text_is_of_the_least_size_of_the_back(loaded: Loaded, setter: Typesetter, printing: Printing) -> None:
    card = loaded.cards["farm-stand"]
    words = placed(print_card(setter, card, printing).pdf, 2)
    (drawing,) = wiring_texts(card, printing.style)
    own = {said for said in drawing["said"] if said.isalpha()} - {"L", "N"}
    heights = [bottom - top for word, (_, top, _, bottom) in words if word in own]
    assert len(heights) >= len(own) >= 4
    assert min(heights) == pytest.approx(LINE * LEAST_PT[2], abs=0.05)


def test_it_says_what_the_card_says(loaded: Loaded, printing: Printing) -> None:
    checked = 0
    for site, card in loaded.cards.items():
        texts = card_texts(card, printing.style)
        shown = [texts["existing"]] if texts["circuit_shown"] == "as found" else texts["circuits"]
        drawings = wiring_texts(card, printing.style)
        assert len(drawings) == len(shown), site
        for drawing, circuit in zip(drawings, shown, strict=True):
            assert circuit is not None
            found = [text.replace("\u00a0", " ") for text in read(drawing["svg"]).texts]
            assert [said.replace("\u00a0", " ") for said in drawing["said"]] == found
            device, poles, conductor, ground, torque = (
                text.replace("\u00a0", " ")
                for text in (
                    *(circuit[key] for key in ("device", "poles", "conductor", "ground")),  # type: ignore[literal-required]
                    texts["facts"]["torque"][1],
                )
            )
            assert any(f"reaker {device}, {poles}-pole" in text for text in found), (site, found)
            sizes = [text for text in found if text in (conductor, ground)]
            assert sizes[-1] == ground and set(sizes[:-1]) == {conductor}, site
            (terminals,) = (text for text in found if text.startswith("Terminals"))
            assert all(one in terminals for one in torque.removesuffix(")").split(" (")), (site, torque)
            checked += 1
    assert checked >= 6


def test_the_code_covers_what_the_drawing_alone_shows(loaded: Loaded, printing: Printing) -> None:
    """A device to fit, or to ask for, stands on no other line of a card that has no finding of severity stop."""
    for site, card in loaded.cards.items():
        (drawn, *others) = card.wiring
        (wire, *wires), (element, *elements) = drawn.wires, drawn.elements
        drawings = [replace(drawn, guard=guard) for guard in get_args(Guard)]
        drawings.append(replace(drawn, wires=(replace(wire, colour="pink"), *wires)))
        drawings.append(replace(drawn, wires=(replace(wire, lead_colour="pink"), *wires)))
        drawings.append(replace(drawn, elements=(replace(element, across=("line 3", "ground")), *elements)))
        cards = [replace(card, wiring=(one, *others)) for one in drawings]
        assert card in cards, site
        assert len({card_code(one, printing.style) for one in cards}) == len(cards), site
        assert len({tuple(card_record(one, printing.style)["words"]) for one in cards}) == len(cards), site


def test_what_else_the_drawing_shows_is_told_once(loaded: Loaded, printing: Printing) -> None:
    for site, card in loaded.cards.items():
        bare = tuple(
            WiringDrawing(
                *(one.feed, "nameplate", not one.american, card.limit, card.limit, one.wires, one.elements),
                *(card.limit, one.guard, "", "none"),
            )
            for one in card.wiring
        )
        assert card_code(card, printing.style) == card_code(replace(card, wiring=bare), printing.style), site


def test_where_no_circuit_may_be_built_none_is_drawn(loaded: Loaded, setter: Typesetter, printing: Printing) -> None:
    card = at_another_supply(loaded, "farm-stand", 480.0, accepted=False)
    assert card.stops and not card.circuits and not card.wiring
    assert not [alt for alt in alternatives(print_card(setter, card, printing).pdf) if "Wiring" in alt]

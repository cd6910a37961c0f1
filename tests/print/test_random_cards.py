"""Any valid site gives a card of exactly one sheet, front and back, that says everything it must, nothing cut off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from generator.build import Loaded
from generator.model.documents.card import Card
from generator.render.card.pdf import Printing, print_card
from generator.render.card.texts import card_texts
from generator.render.typesetter import Typesetter
from generator.site_cards import cards_of, printing_of
from tests.frozen import ROOT
from tests.print.random_sites import random_views
from tests.print.reading import boxes, over_each_other, reader, sides, squeezed, word_count, words_of
from tests.print.test_card import LEAST_PT, MOST_WORDS
from tests.sample import sample

CONTENT = ROOT / "content"
SEEDS, SITES_A_SEED = range(10), sample(3, 50)
PAPER = {"letter": (612.0, 792.0), "a4": (595.3, 841.9)}
EDGE = 28.0  # the least margin


def _cards(loaded: Loaded, seed: int) -> Iterator[tuple[Card, Printing]]:
    """Random sites, every other one as if all its checks had passed: few random sites pass them."""
    for number, (settings, view) in enumerate(random_views(loaded.inputs, seed, SITES_A_SEED)):
        passed = number % 2 == 1 and not view.unfit_supply
        shown = replace(view, result=replace(view.result, findings=())) if passed else view
        book = replace(loaded.book, settings=settings, sites=(shown,))
        (one,) = cards_of(CONTENT, book, loaded.notices).values()
        yield one, printing_of(CONTENT, book, ("letter", "a4")[number // 2 % 2])


def _on_the_front(texts: dict[str, Any]) -> Iterator[str]:
    """Yield every text that no form of the front may leave out."""
    yield from (texts["head"]["site"], texts["head"]["heater"], texts["head"]["publisher"], texts["head"]["date"])
    yield texts["status"]["words"]
    found = [texts["existing"]] if texts["circuit_shown"] == "as found" else texts["circuits"]
    for circuit in found:
        yield from (circuit["device"], circuit["conductor"], circuit["ground"], circuit["poles"])
    if found:
        yield from (texts["wire"]["conductors"], texts["wire"]["kind"], texts["wire"]["terminals"])
        yield texts["facts"]["supply"][1]
    yield from (texts["facts"]["torque"][1], texts["facts"]["disconnect"][1])
    yield from ("Emergency:", "SHOCK", "SCALD", "SMOKE", "LEAK", "Power off", "Water off", "Call maintenance", "DANGER")
    if water := texts["water"]:
        yield from ("".join(water["hottest"]), texts["limit"], water["top"])
        yield from ("".join(water["flow"]),) if water["flow"] else ()
        yield water["window"]["text"] if water["window"] else "none"
    yield from (f"not cleared: {stop['title']}" for stop in texts["decided"])
    yield f"Planning values to {texts['basis']}"


def _on_the_back(texts: dict[str, Any]) -> Iterator[str]:
    """Yield every text that no form of the back may leave out."""
    yield texts["head"]["site"]
    for part in texts["parts"]:
        yield part["title"]
        for row in part["rows"]:
            yield from row
    yield from (stop["title"] for stop in texts["stops"])
    yield from (stop["decision"] for stop in texts["decided"])
    for name, text in texts["lines"]:
        yield name
        yield text
    water = texts["water"]
    for row in water["stages"] if water else ():
        yield from row["amps"]
        yield row["rise"]
    if water and water["allowed"]:
        yield from ("".join(row) for row in water["allowed"]["rows"])
    yield f"Planning values, {texts['basis']}"


@pytest.mark.parametrize("seed", SEEDS)
def test_one_sheet_with_everything_on_it(loaded: Loaded, setter: Typesetter, seed: int) -> None:
    for one, printing in _cards(loaded, seed):
        printed = print_card(setter, one, printing)
        site, texts = one.head.site_id, card_texts(one, printing.style)
        assert len(reader(printed.pdf).pages) == 2
        for side, (text, required) in enumerate(
            zip(sides(printed.pdf), (_on_the_front(texts), _on_the_back(texts)), strict=True), 1
        ):
            assert squeezed(printed.code) in text
            missing = [words for words in required if squeezed(words) not in text]
            assert not missing, (site, side, missing)
            assert word_count(printed.pdf, side) <= MOST_WORDS[side], (site, side)
            assert min(size for part, size in words_of(printed.pdf, side) if part.strip()) >= LEAST_PT[side] - 0.01
            width, height = PAPER[printing.paper]
            outside = [
                box
                for box in boxes(printed.pdf, side)
                if box[0] < EDGE or box[1] < EDGE - 10 or box[2] > width - EDGE or box[3] > height - EDGE + 8
            ]
            assert not outside, (site, side, outside)
            assert not over_each_other(printed.pdf, side), (site, side)

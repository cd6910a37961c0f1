"""Any valid site gives a card of exactly one page that says everything it must, nothing cut off."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pytest

from generator.assemble.card import card
from generator.assemble.card_checks import card_checks
from generator.build import Loaded
from generator.cards import STEPS, printing_of
from generator.compute.notices import site_notices
from generator.model.card import Card, CardSteps
from generator.read.yaml_file import read_yaml_file
from generator.render.print_card import TEMPLATE, Printing, print_card
from generator.render.typesetter import Typesetter
from generator.render.typst_card import card_texts
from tests.frozen import ROOT
from tests.print.random_sites import random_views
from tests.print.reading import boxes, over_each_other, reader, squeezed, text_and_sizes
from tests.sample import sample

SEEDS, SITES_A_SEED = range(20), sample(6, 25)
PAPER = {"letter": (612.0, 792.0), "a4": (595.3, 841.9)}
NO_OUTLETS = "the tables of outlets"
EDGE = 23.0  # the margin is 24 pt


def _cards(loaded: Loaded, seed: int) -> Iterator[tuple[Card, Printing]]:
    steps = read_yaml_file(ROOT / "content" / STEPS, CardSteps, STEPS)
    for number, (settings, view) in enumerate(random_views(loaded.inputs, seed, SITES_A_SEED)):
        notices = site_notices(
            view.spec, view.heater, view.result, notices=loaded.notices, basis=view.basis, target="card"
        )
        checks = card_checks(loaded.book.symptoms, view)
        paper = ("letter", "a4")[number % 2]
        yield (
            card(settings, view, notices, checks=checks, steps=steps, stated=loaded.book.stated),
            printing_of(ROOT / "content", replace(loaded.book, settings=settings), paper),
        )


def _required(texts: dict[str, Any], left_out: tuple[str, ...]) -> Iterator[str]:
    """Yield every text that no shorter form may leave out; an outlet table goes whole or keeps its switching flows."""
    yield from (texts["head"]["site"], texts["head"]["heater"], texts["head"]["publisher"], texts["head"]["date"])
    found = [texts["existing"]] if texts["circuit_shown"] == "as found" else texts["circuits"]
    if found:
        yield from texts["wire"].values()
    for circuit in found:
        yield from (circuit[key] for key in ("device", "poles", "conductor", "ground", "load"))
    yield from (f"{label}: {fact}" for label, fact in texts["circuit_facts"])
    if texts["window"]:
        yield from texts["window"]["window"] or ["none", texts["window"]["why_empty"]]
        yield from (number + unit for number, unit in texts["hottest"]["parts"])
        yield from (texts["limit"], texts["target"])
    for outlet in [] if NO_OUTLETS in left_out else texts["outlets"]:
        yield outlet["title"]
        for row in (row for row in outlet["rows"] if row["stands_for"] == "switching"):
            yield "".join(row["flow"]["parts"][0])
            yield from (cell["parts"][0][0] for cell in row["cells"] if cell["parts"])
    yield from (stop["found"] for stop in texts["stops"])
    for stop in texts["decided"]:
        yield stop["found"] + stop["decision"]
    yield from (*texts["start_up"], *texts["shut_down"], texts["basis"], texts["deferral"])
    for notice in texts["notices"]:
        if notice["signal"] != "notice":
            yield notice["signal"].upper() + notice["hazard"]
            yield notice["avoidance"][0]


@pytest.fixture(scope="module")
def setter() -> Typesetter:
    return Typesetter(ROOT / "content" / "print", TEMPLATE)


@pytest.mark.parametrize("seed", SEEDS)
def test_one_page_with_everything_on_it(loaded: Loaded, setter: Typesetter, seed: int) -> None:
    for one, printing in _cards(loaded, seed):
        printed = print_card(setter, one, printing)
        assert len(reader(printed.pdf).pages) == 1
        text, met = text_and_sizes(printed.pdf)
        assert squeezed(printed.code) in text
        missing = [
            word for word in _required(card_texts(one, printing.style), printed.left_out) if squeezed(word) not in text
        ]
        assert not missing, (one.head.site_id, printed.left_out, missing)
        assert ("Shorterform." in text) == bool(printed.left_out)
        assert all(squeezed(words) in text for words in printed.left_out)
        assert min(met) >= 9.0
        width, height = PAPER[printing.paper]
        outside = [
            box
            for box in boxes(printed.pdf)
            if box[0] < EDGE or box[1] < EDGE - 8 or box[2] > width - EDGE or box[3] > height - EDGE + 8
        ]
        assert not outside, (one.head.site_id, outside)
        assert not over_each_other(printed.pdf), one.head.site_id

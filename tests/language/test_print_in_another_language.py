"""Print in another language: no word of cards, labels and records is left in English, and nothing lies over anything.

The language is made up (`made_up.py`), some 40 % longer than English; once more it runs from right to left.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

import pytest
import yaml

from generator.build import Loaded, load
from generator.folders import Folders
from generator.model.settings import LabelSize
from generator.render.by_language import direction
from generator.render.card.label import TEMPLATE as LABEL
from generator.render.card.label import print_label
from generator.render.card.pdf import TEMPLATE as CARD
from generator.render.card.pdf import print_card
from generator.render.card.texts import card_texts
from generator.render.record.pdf import TEMPLATE as RECORD
from generator.render.record.pdf import print_record
from generator.render.typesetter import Typesetter
from generator.site_cards import printing_of, records_of
from tests.content.test_trade_words import texts_of
from tests.language.made_up import project_in
from tests.print.reading import over_each_other, placed, reader

PLAIN = re.compile("[aeiou]")
WORD = re.compile(r"(?<![\w./-])[^\W\d_]{3,}(?![\w./-])")
NAMES = {"gpm", "min", "class"}  # how quantities and kinds of ground-fault protection are written
LARGE = LabelSize.model_validate({"width": "6 in", "height": "4 in"})


# The tags that CLDR gives to such languages, from left and from right.
@pytest.fixture(scope="module", params=["en-XA", "ar-XB"])
def other(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Folders:
    return project_in(request.param, tmp_path_factory.mktemp("other"))


@pytest.fixture(scope="module")
def loaded(other: Folders) -> Loaded:
    return load(other)


@pytest.fixture(scope="module")
def prints(other: Folders, loaded: Loaded) -> dict[str, bytes]:
    """Every print of the sites."""
    printing = printing_of(other.content, loaded.book)
    sheets = records_of(other.content, loaded.book, loaded.cards)
    cards, labels, records = (Typesetter(printing.folder, name) for name in (CARD, LABEL, RECORD))
    made = {}
    for site, card in loaded.cards.items():
        made[f"card of {site}"] = print_card(cards, card, printing).pdf
        made[f"record of {site}"] = print_record(records, sheets[site], printing).pdf
        made[f"panel label of {site}"] = print_label(labels, card, printing, kind="panel", size=LARGE)
        made[f"heater label of {site}"] = print_label(labels, card, printing, kind="heater", size=LARGE)
    return made


def written(project: Folders) -> Iterator[str]:
    """Yield the texts that a writer typed of the handbook, its sites and heaters, and the names of wiring methods."""
    for pattern in ("handbook.yaml", "sites/*.yaml", "models/*.yaml", "codes/*/wiring_methods.yaml"):
        for path in project.data.glob(pattern):
            yield from texts_of(yaml.safe_load(path.read_text(encoding="utf-8")), set())


def test_no_print_has_a_word_left_in_english(other: Folders, prints: dict[str, bytes]) -> None:
    known = {word.lower() for text in written(other) for word in re.findall(r"[A-Za-z]+", text)} | NAMES
    left = {}
    for name, pdf in prints.items():
        text = " ".join(word for page in range(1, len(reader(pdf).pages) + 1) for word, _ in placed(pdf, page))
        left |= {word: name for word in WORD.findall(text) if PLAIN.search(word) and word.lower() not in known}
    assert left == {}


def test_nothing_lies_over_anything(prints: dict[str, bytes]) -> None:
    for name, pdf in prints.items():
        for page in range(1, len(reader(pdf).pages) + 1):
            assert over_each_other(pdf, page) == [], (name, page)


def test_the_smallest_label_holds_a_stop_in_longer_words(other: Folders, loaded: Loaded) -> None:
    printing, size = printing_of(other.content, loaded.book), loaded.inputs.settings.heater_label
    setter = Typesetter(printing.folder, LABEL)
    for card in loaded.cards.values():
        failed = replace(card, stops=loaded.results.findings[:1])
        pdf = print_label(setter, failed, printing, kind="heater", size=size)
        assert over_each_other(pdf, 1) == [] and len(reader(pdf).pages) == 1


WAYS = {"en": "ltr", "pt-BR": "ltr", "xq": "ltr", "en-x-own": "ltr", "he": "rtl", "fa-IR": "rtl", "he-XY": "rtl"}


@pytest.mark.parametrize(("tag", "way"), WAYS.items())
def test_the_way_of_a_language(tag: str, way: str) -> None:
    """As the CLDR has it; what it does not know is set from left to right."""
    assert direction(tag) == way


def largest(pdf: bytes, word: str) -> float:
    """Return where the largest of a word on the first page begins, from the left [pt]."""
    return max((box[3] - box[1], box[0]) for text, box in placed(pdf) if text == word)[1]


def test_from_right_to_left_the_columns_turn_and_a_figure_keeps_its_unit_behind_it(
    loaded: Loaded, prints: dict[str, bytes]
) -> None:
    card, middle = prints["card of potting-shed"], 612 / 2
    turned = direction(loaded.inputs.settings.language) == "rtl"
    assert (largest(card, "Potting") > middle) is (largest(card, "911") < middle) is turned
    water = card_texts(loaded.cards["potting-shed"], loaded.book.style)["water"]
    assert water is not None and water["flow"]
    for number, unit in (water["flow"], water["hottest"]):
        assert largest(card, number) < largest(card, unit)

"""The printed record: one sheet, nothing small or cut off, and in it what the site's results expect, by value."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Literal

import pytest
import yaml
from click.testing import CliRunner

from generator.build import Loaded
from generator.cli import cli
from generator.errors import InputFaults
from generator.model.content.words import Style
from generator.model.documents.record_sheet import RecordSheet
from generator.model.records import Expected
from generator.render.card.pdf import TEMPLATE as CARD_TEMPLATE
from generator.render.card.pdf import Printing, print_card
from generator.render.format import show
from generator.render.reading_file import expected_words, limits_words
from generator.render.record.pdf import TEMPLATE, PrintedRecord, combine_records, print_record
from generator.render.typesetter import Typesetter
from generator.site_cards import FORM, RECORD_FORM, cards_of, printing_of, records_of
from tests.frozen import ROOT, copied
from tests.print.random_sites import random_views
from tests.print.reading import boxes, over_each_other, reader, sides, squeezed, word_count, words_of
from tests.sample import sample

CONTENT = ROOT / "content"
MOST_WORDS, LEAST_PT, EDGE = 500, 10.5, 18.0
PAPER = {"letter": (612.0, 792.0), "a4": (595.3, 841.9)}
# A site with a valve on two three-phase feeds, one on a selector, one without, one of IEC 60364, and two that stay off.
STARTED, STOPPED = ("creamery", "packing-house", "potting-shed", "seedling-house"), ("bunkhouse", "farm-stand")


@pytest.fixture(scope="module")
def setter() -> Typesetter:
    return Typesetter(CONTENT / "print", TEMPLATE)


@pytest.fixture(scope="module")
def sheets(loaded: Loaded) -> dict[str, RecordSheet]:
    return dict(records_of(CONTENT, loaded.book, loaded.cards))


@pytest.fixture(scope="module")
def printed(setter: Typesetter, sheets: dict[str, RecordSheet], printing: Printing) -> dict[str, PrintedRecord]:
    return {site: print_record(setter, sheet, printing) for site, sheet in sheets.items()}


@pytest.fixture(scope="module")
def texts(printed: dict[str, PrintedRecord]) -> dict[str, str]:
    return {site: text_of(found) for site, found in printed.items()}


def text_of(found: PrintedRecord) -> str:
    return "".join(sides(found.pdf))


def whole(found: PrintedRecord, paper: str, most_words: int = MOST_WORDS) -> None:
    """Each side keeps its words, the size of its type and its margins, and no text lies over another."""
    width, height = PAPER[paper]
    for side in range(1, len(reader(found.pdf).pages) + 1):
        assert word_count(found.pdf, side) <= most_words, side
        assert min(size for text, size in words_of(found.pdf, side) if text.strip()) >= LEAST_PT - 0.01
        assert not over_each_other(found.pdf, side), side
        for left, top, right, bottom in boxes(found.pdf, side):
            assert left >= EDGE and top >= EDGE and right <= width - EDGE and bottom <= height - EDGE, side


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_one_sheet_holds_each_demo_site(
    sheets: dict[str, RecordSheet], setter: Typesetter, printing: Printing, paper: Literal["letter", "a4"]
) -> None:
    assert set(sheets) == {*STARTED, *STOPPED}
    for sheet in sheets.values():
        found = print_record(setter, sheet, replace(printing, paper=paper))
        assert found.sides <= 2
        whole(found, paper)


def numbers(row: Expected, style: Style) -> Iterator[str]:
    """What a row of a site's record says as it is shown in one cell; of amps, whose head has the unit, the number."""
    if row.item == "bucket":
        yield from (show(value, style) for value in (*row.at[1:], row.value) if value)
    elif row.item == "amps":
        assert row.value and row.least and row.greatest
        yield show(row.value, style).split("\u00a0")[0]
    elif row.value is not None and row.value.symbol == "yes":
        yield "no hot flow" if row.item == "valve-shuts-off" else "yes"
    elif row.item in ("rise", "turns-on", "drops-out"):
        assert row.value
        yield f"{show(row.value, style)}; {limits_words(row, style)}"
    elif row.item in ("insulation-volts", "residual-current-rated"):  # in the sentence of the test
        yield from (show(end, style) for end in (row.least, row.greatest) if end)
    elif row.item == "interrupting":  # beside the fault current of the panel
        yield "not below it"
    elif row.item not in (
        "hottest",
        "volts-circuit",
    ):  # a table of its own; two meters at once, for who doubts the fall
        yield expected_words(row, style)


@pytest.mark.parametrize("site", STARTED)
def test_what_is_expected_is_what_the_results_expect(
    loaded: Loaded, sheets: dict[str, RecordSheet], texts: dict[str, str], site: str
) -> None:
    """Every row of the site's record is on the paper, and every cell of the readings allowed today."""
    result = next(one for one in loaded.results.sites if one.id == site)
    style, text = Style(sheets[site].card.units, loaded.book.words), texts[site]
    for row in result.expected:
        for said in numbers(row, style):
            assert squeezed(said) in text, (row.item, said)
    for _, cells in result.allowed.rows if result.allowed else ():
        assert squeezed("".join(show(cell, style).split("\u00a0")[0] for cell in cells)) in text


def test_another_result_is_another_record(loaded: Loaded, sheets: dict[str, RecordSheet], setter: Typesetter) -> None:
    """A limit that is moved in the results is moved on the paper: no number stands in form or template."""
    printing, view = (
        printing_of(CONTENT, loaded.book),
        next(v for v in loaded.book.sites if v.spec.id == "packing-house"),
    )
    moved = tuple(
        replace(row, greatest=replace(row.greatest, value=0.7777))
        if row.item == "ground-continuity" and row.greatest
        else row
        for row in view.result.expected
    )
    book = replace(loaded.book, sites=(replace(view, result=replace(view.result, expected=moved)),))
    (sheet,) = records_of(CONTENT, book, loaded.cards).values()
    before, after = (text_of(print_record(setter, one, printing)) for one in (sheets["packing-house"], sheet))
    assert "0.7777Ω" in after and "0.7777Ω" not in before


def test_card_and_record_say_one_thing_of_one_test(
    loaded: Loaded, sheets: dict[str, RecordSheet], texts: dict[str, str], printing: Printing
) -> None:
    """Each step of the card's back that the record has too stands on both in the same words."""
    setter, shared = Typesetter(CONTENT / "print", CARD_TEMPLATE), 0
    for site, sheet in sheets.items():
        back = sides(print_card(setter, sheet.card, printing).pdf)[1]
        style = Style(sheet.card.units, loaded.book.words)
        steps = {row.id: row.text for part in sheet.card.parts for row in part.rows}
        for field in (field for part in sheet.parts for field in part.fields if field.id in steps):
            said = squeezed("".join(text for text, _ in field.text.filled(lambda value, own=style: show(value, own))))
            assert said in back and said.rstrip(".") in texts[site], (site, field.id)
            shared += 1
    assert shared > 40


@pytest.mark.parametrize("site", STOPPED)
def test_while_a_check_fails_nothing_is_started(
    texts: dict[str, str], sheets: dict[str, RecordSheet], site: str
) -> None:
    text = texts[site]
    assert squeezed("STOP No start-up.") in text and squeezed("Print this record again when no check fails") in text
    assert not re.search(r"Stage|Amps|Outlet|Hottest\d|Turnson|fitforuse", text)
    for stop in sheets[site].card.stops:
        assert squeezed(stop.title) in text


def test_a_circuit_to_install_is_tested_as_such(loaded: Loaded, texts: dict[str, str]) -> None:
    """The bunkhouse: 70 ft of the new 10 AWG ground, 1.24 ohm/kft (NFPA 70 chapter 9 table 8, from memory), not the old
    12 AWG of 1.98: 0.0868 ohm, and 20 % and 0.05 above."""
    result = next(one for one in loaded.results.sites if one.id == "bunkhouse")
    (row,) = (row for row in result.expected if row.item == "ground-continuity")
    assert row.greatest is not None and row.greatest.value == pytest.approx(0.0868 * 1.2 + 0.05, abs=2e-4)
    assert squeezed("0.154") in texts["bunkhouse"]


def test_a_heater_of_many_stages_and_feeds_takes_a_second_sheet_at_most(
    sheets: dict[str, RecordSheet], setter: Typesetter, printing: Printing
) -> None:
    """Twelve stages on three feeds of three lines, whose 108 currents alone are a fifth of what a side may hold."""
    sheet = sheets["creamery"]
    wide = tuple(replace(stage, amps=(*stage.amps, *stage.amps[:3])) for stage in sheet.stages)
    found = print_record(setter, replace(sheet, stages=wide * 2), printing)
    assert found.sides <= 4
    whole(found, printing.paper, MOST_WORDS + 108)


SEEDS, SITES_A_SEED = range(3), sample(10, 50)


@pytest.mark.parametrize("seed", SEEDS)
def test_any_site_has_a_record(loaded: Loaded, setter: Typesetter, seed: int) -> None:
    """Random sites, every other one as if all its checks had passed."""
    for number, (settings, view) in enumerate(random_views(loaded.inputs, 100 + seed, SITES_A_SEED)):
        passed = number % 2 == 1 and not view.unfit_supply
        shown = replace(view, result=replace(view.result, findings=())) if passed else view
        book = replace(loaded.book, settings=settings, sites=(shown,))
        (sheet,) = records_of(CONTENT, book, cards_of(CONTENT, book, loaded.notices)).values()
        printing = printing_of(CONTENT, book, ("letter", "a4")[number // 2 % 2])
        found = print_record(setter, sheet, printing)
        assert found.sides <= 2
        whole(found, printing.paper)
        text = text_of(found)
        for stage in sheet.stages:
            for row in stage.amps:
                said = [squeezed(one) for one in numbers(row, Style(sheet.card.units, book.words))]
                assert all(one in text for one in said)


def test_it_is_a_tagged_document_with_its_own_title(
    sheets: dict[str, RecordSheet], printed: dict[str, PrintedRecord]
) -> None:
    found, head = reader(printed["packing-house"].pdf), sheets["packing-house"].card.head
    assert found.metadata is not None
    assert found.metadata.title == f"Commissioning and service record: {head.site}, {head.heater}"
    root = found.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"].value is True
    assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data()


def test_many_records_in_one_file(sheets: dict[str, RecordSheet], setter: Typesetter, printing: Printing) -> None:
    every = [(sheets[site], print_record(setter, sheets[site], printing)) for site in ("packing-house", "bunkhouse")]
    pdf = combine_records(setter, [(sheet, one.form) for sheet, one in every], printing)
    assert len(reader(pdf).pages) == sum(one.sides for _, one in every)


def test_the_verb_prints_the_sites_that_are_named(tmp_path: Path) -> None:
    copied(tmp_path)
    run = CliRunner().invoke(cli, ["--root", str(tmp_path), "record", "packing-house", "creamery", "--combine"])
    assert run.exit_code == 0, run.output
    folder = tmp_path / "build" / "print"
    assert sorted(path.name for path in (folder / "records").glob("*.pdf")) == ["creamery.pdf", "packing-house.pdf"]
    assert len(reader((folder / "records.pdf").read_bytes()).pages) == 4


def test_a_step_that_the_card_does_not_have_is_told_with_its_place(loaded: Loaded, tmp_path: Path) -> None:
    for name in (FORM, RECORD_FORM):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes((CONTENT / name).read_bytes())
    path = tmp_path / RECORD_FORM
    form = path.read_text(encoding="utf-8")
    line = next(n for n, text in enumerate(form.splitlines(), 1) if "step: purge," in text)
    path.write_text(form.replace("step: purge,", "step: purging,", 1), encoding="utf-8")
    with pytest.raises(InputFaults, match=rf"record_form\.yaml:{line}:.*'purging' is no step of the part 'water'"):
        records_of(tmp_path, loaded.book, loaded.cards)


def test_every_item_of_a_record_has_its_field() -> None:
    """What the program expects of a visit stands on the paper: a field, or a table of its own."""
    form = yaml.safe_load((CONTENT / RECORD_FORM).read_text(encoding="utf-8"))
    fields = {field.get("item") for part in form["start_up"] for field in part.get("fields", ())}
    modules = (ROOT / "generator" / "compute" / "record").rglob("*.py")
    source = "".join(path.read_text(encoding="utf-8") for path in modules)
    items = set(re.findall(r'Expected\(\s*"([\w-]+)"', source)) | {"residual-current", "residual-current-5"}
    tables = {"amps", "rise", "bucket", "hottest", "valve-standard", "valve-setting", "valve-shuts-off"}
    sentences = {
        "insulation-volts",
        "residual-current-rated",
        "interrupting",
    }  # the limit stands in the field's own words
    assert len(items) > 15 and items - fields - tables - sentences == set()

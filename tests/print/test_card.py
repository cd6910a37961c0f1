"""The quick cards of the demo sites: what the PDF is, how large its type, and what a batch does with them."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf.generic import IndirectObject

from generator.assemble.revision_code import revision_code
from generator.build import Loaded
from generator.errors import PrintFault
from generator.model.documents.card import Card
from generator.model.register.card_codes import ALPHABET
from generator.render.card import batch
from generator.render.card.batch import Job, Outcome, render_cards
from generator.render.card.pdf import TEMPLATE, Printing, print_card
from generator.render.kept_prints import KeptPrints, kept_prints
from generator.render.typesetter import Typesetter
from tests.content.test_trade_words import found as banned
from tests.print.reading import over_each_other, reader, word_count, words_of

# What a side holds at most: its words; and what its type has at least [pt]. NASA CR 177605, from memory, gives an
# x-height of 0.10 in as the least of what is read at arm's length in poor light: 14 pt of this font.
MOST_WORDS, LEAST_PT = {1: 350, 2: 500}, {1: 12.0, 2: 10.5}
AT_THE_HEATER, LEADING = 14.0, 28.0


@pytest.fixture(scope="module")
def cards(loaded: Loaded) -> list[Card]:
    return list(loaded.cards.values())


@pytest.fixture
def kept(tmp_path: Path, printing: Printing) -> KeptPrints:
    return kept_prints(tmp_path / "kept", tmp_path, printing.folder)


@pytest.fixture(scope="module")
def pdf(setter: Typesetter, loaded: Loaded, printing: Printing) -> bytes:
    return print_card(setter, loaded.cards["packing-house"], printing).pdf


@pytest.fixture(scope="module", params=["letter", "a4"])
def printed(
    setter: Typesetter, cards: list[Card], printing: Printing, request: pytest.FixtureRequest
) -> dict[str, bytes]:
    paper = replace(printing, paper=request.param)
    return {card.head.site_id: print_card(setter, card, paper).pdf for card in cards}


def test_one_sheet_holds_both_sides_within_their_words_and_sizes(printed: dict[str, bytes]) -> None:
    for site, found in printed.items():
        assert len(reader(found).pages) == 2
        for side in (1, 2):
            assert word_count(found, side) <= MOST_WORDS[side], (site, side)
            sizes = [size for text, size in words_of(found, side) if text.strip()]
            assert min(sizes) >= LEAST_PT[side] - 0.01, (site, side)
            assert not over_each_other(found, side), (site, side)


def test_it_uses_the_words_of_the_trade(printed: dict[str, bytes]) -> None:
    """Each side as its words follow one another; what they are stands in tests/content/trade_words.yaml."""
    said = {site: " ".join(page.extract_text() for page in reader(found).pages) for site, found in printed.items()}
    assert not {site: words for site, text in said.items() if (words := banned(text))}


def test_what_is_read_at_the_heater_is_large(printed: dict[str, bytes], cards: list[Card]) -> None:
    """All but dates, deferral, labels and the notes of a table is 14 pt; what is set or bought is 28 pt or more."""
    for card in cards:
        sizes = [(text, size) for text, size in words_of(printed[card.head.site_id], 1) if text.strip()]
        small = sum(len(text) for text, size in sizes if size < AT_THE_HEATER - 0.01)
        assert small < 0.55 * sum(len(text) for text, _ in sizes)
        large = " ".join(text for text, size in sizes if size >= LEADING - 0.01)
        figures = [circuit.device for circuit in card.circuits] + ([card.water.hottest] if card.water else [])
        for figure in figures:
            assert figure.value is not None
        for circuit in card.circuits:
            assert f"{circuit.device.value:g}" in large and str(circuit.conductor.value).split()[0] in large
        if card.stops:
            assert max(sizes, key=lambda one: one[1])[0].strip() == "STOP"


def test_the_document_says_what_it_is(pdf: bytes, loaded: Loaded) -> None:
    found, head = reader(pdf), loaded.cards["packing-house"].head
    assert found.metadata is not None
    assert found.metadata.title == f"Quick card: {head.site}, {head.heater}"
    assert found.metadata.author == head.publisher
    root = found.trailer["/Root"]
    assert root["/Lang"] == head.language
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value is True


def test_it_is_tagged_and_claims_pdf_ua_1(pdf: bytes) -> None:
    """ISO 14289-1:2014, clauses 5 and 7.1, from memory: a mark in the metadata, tagged content, a structure tree."""
    root = reader(pdf).trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"].value is True
    assert b"<pdfuaid:part>1</pdfuaid:part>" in root["/Metadata"].get_data()
    kinds = _kinds(root["/StructTreeRoot"])
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/Figure"} <= kinds
    assert all("/Alt" in figure for figure in elements(root["/StructTreeRoot"]) if figure.get("/S") == "/Figure")


def elements(node: object) -> list[dict]:
    node = node.get_object() if isinstance(node, IndirectObject) else node
    if isinstance(node, list):
        return [found for part in node for found in elements(part)]
    if not isinstance(node, dict):
        return []
    return [node, *elements(node.get("/K", []))]


def _kinds(node: object) -> set[str]:
    return {str(found["/S"]) for found in elements(node) if "/S" in found}


def test_its_fonts_are_ours_and_inside(pdf: bytes) -> None:
    fonts = [font.get_object() for font in reader(pdf).pages[0]["/Resources"]["/Font"].values()]
    assert fonts
    for font in fonts:
        below = font["/DescendantFonts"][0].get_object()
        assert re.search(r"FiraSans|DejaVuSans", str(below["/BaseFont"]))
        descriptor = below["/FontDescriptor"].get_object()
        assert {"/FontFile2", "/FontFile3"} & set(descriptor)


def test_the_same_input_gives_the_same_bytes(
    cards: list[Card], printing: Printing, monkeypatch: pytest.MonkeyPatch
) -> None:
    first, second = (print_card(Typesetter(printing.folder, TEMPLATE), cards[0], printing).pdf for _ in range(2))
    assert first == second
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1000000000")
    third = print_card(Typesetter(printing.folder, TEMPLATE), cards[0], printing).pdf
    assert third != first
    assert reader(third).metadata.creation_date.isoformat() == "2001-09-09T01:46:40+00:00"


def test_a_letter_the_fonts_lack_is_told(setter: Typesetter, cards: list[Card], printing: Printing) -> None:
    card = replace(cards[0], head=replace(cards[0].head, site="北"))
    with pytest.raises(PrintFault, match="site potting-shed|site "):
        print_card(setter, card, printing)


def test_a_card_that_cannot_fit_is_named_and_the_others_are_written(
    cards: list[Card], printing: Printing, tmp_path: Path, kept: KeptPrints
) -> None:
    endless = replace(cards[0], head=replace(cards[0].head, site_id="endless", site="word " * 900))
    seen: list[tuple[int, int, str]] = []

    def progress(done: int, total: int, outcome: Outcome) -> None:
        seen.append((done, total, outcome.state))

    jobs = [Job(card, tmp_path / f"{card.head.site_id}.pdf") for card in (cards[0], endless, cards[1])]
    outcomes = render_cards(jobs, printing, 1, on_progress=progress, combined=tmp_path / "all.pdf", kept=kept)
    assert [outcome.state for outcome in outcomes] == ["written", "failed", "written"]
    assert "site endless" in outcomes[1].wrong and "does not fit one sheet" in outcomes[1].wrong
    assert sorted(path.name for path in tmp_path.glob("*.pdf")) == sorted(
        ["all.pdf", f"{cards[0].head.site_id}.pdf", f"{cards[1].head.site_id}.pdf"]
    )
    assert seen == [(1, 3, "written"), (2, 3, "failed"), (3, 3, "written")]
    combined = (tmp_path / "all.pdf").read_bytes()
    assert len(reader(combined).pages) == 4
    assert "/H1" in _kinds(reader(combined).trailer["/Root"]["/StructTreeRoot"])


def test_an_unchanged_card_is_left_alone(
    cards: list[Card], printing: Printing, tmp_path: Path, kept: KeptPrints
) -> None:
    jobs = [Job(card, tmp_path / f"{card.head.site_id}.pdf") for card in cards[:2]]
    render_cards(jobs, printing, kept=kept)
    before = jobs[1].path.stat().st_mtime_ns
    jobs[0] = Job(replace(cards[0], basis="Other code"), jobs[0].path)
    outcomes = render_cards(jobs, printing, kept=kept)
    assert [outcome.state for outcome in outcomes] == ["written", "unchanged"]
    assert jobs[1].path.stat().st_mtime_ns == before


def test_several_processes_write_the_same_bytes(
    cards: list[Card], printing: Printing, tmp_path: Path, kept: KeptPrints, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(batch, "CARDS_A_TASK", 2)
    monkeypatch.setattr(batch, "CARDS_A_PROCESS", len(cards))
    alone = [Job(card, tmp_path / "one" / f"{card.head.site_id}.pdf") for card in cards]
    shared = [Job(card, tmp_path / "two" / f"{card.head.site_id}.pdf") for card in cards]
    assert {outcome.state for outcome in render_cards(alone, printing, 1, kept=kept)} == {"written"}
    assert [outcome.job for outcome in render_cards(shared, printing, 2, kept=kept)] == shared
    assert all(one.path.read_bytes() == two.path.read_bytes() for one, two in zip(alone, shared, strict=True))


def test_no_two_signs_of_a_code_look_alike() -> None:
    assert not set("ILOU") & set(ALPHABET)
    assert len(set(ALPHABET)) == 32
    # SHA-256 of the empty text begins e3b0c44298 (FIPS 180-4 example values, from memory).
    assert revision_code(b"") == "WERC-8GMR"

"""The quick cards of the demo sites: what the PDF is, what is on it, and what a batch does with them."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from pypdf.generic import IndirectObject

from generator.assemble.card import card as card_of
from generator.assemble.card_checks import card_checks
from generator.assemble.documents import SiteView
from generator.assemble.results_json import walk
from generator.assemble.revision_code import ALPHABET, revision_code
from generator.build import Loaded
from generator.cards import STEPS, printing_of
from generator.compute.site import compute_site
from generator.errors import PrintFault
from generator.model.card import Card, CardSteps
from generator.model.figures import Decided, Figure, Value
from generator.model.results import FlowWindow
from generator.read.yaml_file import read_yaml_file
from generator.render.format import NBSP, show
from generator.render.print_batch import Job, Outcome, render_cards
from generator.render.print_card import TEMPLATE, Printing, print_card
from generator.render.typesetter import Typesetter
from generator.render.typst_card import card_code, card_texts
from tests.finding_texts import worded
from tests.frozen import ROOT
from tests.print.reading import over_each_other, reader, squeezed, text_of, words_of
from tests.styles import BOTH, US

AT = Value("at", 328.7, "temperature")
BY = Decided("accepted", "farm manager", "a mixing valve is on order", "2026-11-02", "2026-12-15", "", (AT,))
BY_TEXT = "Accepted by farm manager, 2026-11-02: a mixing valve is on order; until 2026-12-15."


@pytest.fixture(scope="module")
def printing(loaded: Loaded) -> Printing:
    return printing_of(ROOT / "content", loaded.book)


@pytest.fixture(scope="module")
def setter() -> Typesetter:
    return Typesetter(ROOT / "content" / "print", TEMPLATE)


@pytest.fixture(scope="module")
def cards(loaded: Loaded) -> list[Card]:
    return list(loaded.cards.values())


@pytest.fixture(scope="module")
def pdf(setter: Typesetter, cards: list[Card], printing: Printing) -> bytes:
    return print_card(setter, cards[0], printing).pdf


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_no_words_lie_over_others(setter: Typesetter, cards: list[Card], printing: Printing, paper: str) -> None:
    """The columns end above what runs across the page below them: their heights are estimated, not measured."""
    for one in cards:
        found = print_card(setter, one, replace(printing, paper=paper)).pdf
        assert not over_each_other(found), one.head.site_id


def test_the_document_says_what_it_is(pdf: bytes, cards: list[Card]) -> None:
    found, head = reader(pdf), cards[0].head
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
    assert {"/H1", "/H2", "/Table", "/TH", "/TD", "/L", "/LI", "/Figure"} <= kinds
    assert all("/Alt" in figure for figure in _elements(root["/StructTreeRoot"]) if figure.get("/S") == "/Figure")


def _elements(node: object) -> list[dict]:
    node = node.get_object() if isinstance(node, IndirectObject) else node
    if isinstance(node, list):
        return [found for part in node for found in _elements(part)]
    if not isinstance(node, dict):
        return []
    return [node, *_elements(node.get("/K", []))]


def _kinds(node: object) -> set[str]:
    return {str(found["/S"]) for found in _elements(node) if "/S" in found}


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


def test_stops_stand_on_the_card_and_forbid_the_start(
    setter: Typesetter, cards: list[Card], printing: Printing
) -> None:
    stopped = [card for card in cards if card.stops]
    assert stopped
    for card in stopped:
        text = text_of(print_card(setter, card, printing).pdf)
        assert squeezed("STOP Do not energize") in text
        failed = ", ".join(stop.rule.replace("-", " ") for stop in card.stops)
        assert squeezed(f"1. Do not switch on. First have these checks cleared: {failed}. Shut down") in text
        assert not re.search(r"Switchon|Removeyourlocks|Readingsonsite|Setthe", text)
    free = next(card for card in cards if not card.stops)
    assert "Donotenergize" not in text_of(print_card(setter, free, printing).pdf)


def _at_another_supply(loaded: Loaded, site_id: str, voltage_v: float, accepted: bool) -> Card:
    """The card of a demo site whose supply is another than the one its heater is made for."""
    site = next(site for site in loaded.inputs.sites if site.id == site_id)
    supply = site.supply.model_copy(update={"voltage_v": voltage_v})
    changed = site.model_copy(update={"supply": supply})
    result = worded(compute_site(changed, replace(loaded.inputs, sites=(changed,))))
    if accepted:
        result = replace(
            result, findings=tuple(replace(f, decision=BY if f.severity == "stop" else None) for f in result.findings)
        )
    view = SiteView(changed, result, loaded.inputs.model(site.heater), loaded.inputs.basis_of(site))
    steps = read_yaml_file(ROOT / "content" / STEPS, CardSteps, STEPS)
    return card_of(
        loaded.inputs.settings,
        view,
        (),
        checks=card_checks(loaded.book.symptoms, view),
        steps=steps,
        stated=loaded.book.stated,
    )


def test_what_a_size_holds_for_stands_beside_it(loaded: Loaded, setter: Typesetter, printing: Printing) -> None:
    """8 AWG copper carries 50 A on 75 °C terminals and 40 A in NM cable: a size alone would invite either."""
    one = loaded.cards["packing-house"]
    route = next(site for site in loaded.inputs.sites if site.id == "packing-house").route
    text = text_of(print_card(setter, one, printing).pdf)
    words = f"{one.circuits[0].conductor.value} {route.conductor} {route.insulation}, terminals rated 75 °C"
    assert squeezed(words) in text
    assert text.index(squeezed(words)) < text.index(squeezed("Electrical metallic tubing")) < text.index("Supply:")
    assert squeezed("2 lines, no neutral") in text
    shed = loaded.cards["potting-shed"]  # the site's terminals are rated lower than many heaters'
    basin = text_of(print_card(setter, shed, printing).pdf)
    assert squeezed("terminals rated 60 °C") in basin
    assert squeezed("1 line and neutral") in basin  # 120 V: a neutral is pulled too


def test_a_card_by_iec_names_what_clears_a_fault(loaded: Loaded, setter: Typesetter, printing: Printing) -> None:
    text = text_of(print_card(setter, loaded.cards["seedling-house"], printing).pdf)
    assert squeezed("Earthing system: TN-S") in text and squeezed("Residual-current device: 30 mA") in text
    assert squeezed("1 line and neutral") in text


def test_the_first_start_climbs_from_stage_1_with_the_meter_fitted_while_dead(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    """The order of the page First start: dead before a cover opens, stage 1 first, dead again before the meter goes."""
    one = loaded.cards["packing-house"]
    assert not one.stops
    view = next(view for view in loaded.book.sites if view.spec.id == "packing-house")
    text = text_of(print_card(setter, one, printing).pdf)
    order = [
        "Licensed electrician only",
        "Prove it dead",
        "Power locked off: open the cold stop valve",
        "Power locked off: watch for leaks",
        "Record the tests of the circuit",
        "Fit the meter at the disconnect",
        "Refit every cover",
        "Set the stage selector to 1.",
        "Switch on. The supply must read",
        f"one stage at a time to {view.spec.selected_stage}.",
        "Set the flow from",
        "prove dead. Take the meter off",
    ]
    places = [text.index(squeezed(words)) for words in order]
    assert places == sorted(places)
    assert squeezed(f"Set the stage selector to {view.spec.selected_stage}") not in text
    plain = text_of(print_card(setter, loaded.cards["potting-shed"], printing).pdf)
    assert "selector" not in plain


def _set_to(figure: Figure, value: float) -> Figure:
    return replace(figure, value=value, state="ok")


def test_a_heater_of_two_feeds_shows_what_a_clamp_on_each_feed_shows(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    """Kirchhoff's current law: the feeds share the heater's current, so no clamp on one feed shows the sum of them.

    The stated total is a three-phase heater's power over √3 times the voltage, before any drop.
    """
    view = next(view for view in loaded.book.sites if view.spec.id == "creamery")
    windows = tuple(
        FlowWindow(old.number, _set_to(old.least, 1.0e-4), _set_to(old.greatest, 1.5e-4)) for old in view.result.windows
    )
    free = replace(view, result=replace(view.result, findings=(), windows=windows))
    steps = read_yaml_file(ROOT / "content" / STEPS, CardSteps, STEPS)
    one = card_of(loaded.inputs.settings, free, (), checks=(), steps=steps, stated=loaded.book.stated)
    text = text_of(print_card(setter, one, printing).pdf)
    total_a = float(view.result.supply_power.value) / (3**0.5 * view.spec.supply.voltage_v)
    assert one.water is not None
    rows = {stage.number.value: stage.currents for stage in one.water.stages}
    assert [len(feed) for feed in rows[6]] == [3, 3]
    for line in range(3):
        currents = [float(feed[line].value) for feed in rows[6]]
        assert 0.9 * total_a < sum(currents) < total_a
        assert max(currents) < 0.6 * total_a
    assert squeezed("A L1 L2 L3 B L1 L2 L3") in text
    for number, row in rows.items():
        shown = [show(current, BOTH).removesuffix("\u00a0A") for feed in row for current in feed]
        assert squeezed(f"{number:.0f} {' '.join(shown)}") in text
    assert "mustrise" not in text
    assert squeezed("to 6. Each reading must match its row, whether it rises or not.") in text
    assert squeezed("Read about what row 6 of the table of stages holds.") in text
    assert squeezed("Amps A L1") in text
    assert f"{total_a:.1f}A" not in text


def test_a_heater_of_two_single_phase_feeds_has_one_column_for_both(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    """Both lines of a single-phase circuit carry the same current, Kirchhoff's current law."""
    one = loaded.cards["creamery"]
    assert one.water is not None
    single = tuple(replace(stage, currents=tuple(feed[:1] for feed in stage.currents)) for stage in one.water.stages)
    water = replace(one.water, stages=single, clamp=(("A", ()), ("B", ())))
    roomy = replace(one, water=water, circuit_facts=())  # the card is full: without room the table of stages would go
    text = text_of(print_card(setter, roomy, printing).pdf)
    shown = " / ".join(show(feed[0], BOTH) for feed in single[-1].currents)
    assert squeezed("Clamp on A / B") in text and squeezed(shown) in text
    assert "AmpsA" in text and "L1" not in text.partition("Readings")[2]


@pytest.mark.parametrize("accepted", [False, True])
@pytest.mark.parametrize(("site", "voltage_v"), [("potting-shed", 240.0), ("creamery", 120.0), ("bunkhouse", 480.0)])
def test_a_supply_that_does_not_fit_leaves_only_the_stop(
    loaded: Loaded, setter: Typesetter, printing: Printing, site: str, voltage_v: float, accepted: bool
) -> None:
    """A heater for 120 V on 240 V takes four times its power: no figure at that supply may stand as if it held."""
    one = _at_another_supply(loaded, site, voltage_v, accepted)
    pdf = print_card(setter, one, printing).pdf
    text = text_of(pdf)
    assert squeezed("1. Do not switch on. First have these checks cleared: supply voltage. Shut down") in text
    assert squeezed("STOP Do not energize: the supply does not fit the heater") in text
    assert (squeezed(BY_TEXT) in text) == accepted
    assert squeezed("Circuit: none can be stated") in text
    assert not re.search(r"Flowwindow|Hottestwater|Expectedoutlet|Stagesand|Switchon\.|Readingsonsite|Pointsto", text)
    stays = {f"site.{site}.{name}" for name in ("limit", "target", "torque")}  # none follows from the supply
    assert {figure.id for figure in walk(one, Figure)} == stays
    assert not re.search(r"\d A\b", " ".join(page.extract_text() for page in reader(pdf).pages))


def test_a_circuit_that_fails_its_checks_is_small_and_the_one_to_install_is_large(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    one = loaded.cards["bunkhouse"]
    assert one.existing is not None and one.circuits[0].conductor.value != one.existing.conductor.value
    pdf = print_card(setter, one, printing).pdf
    text = text_of(pdf)
    block = text[text.index("TOINSTALL:newcircuit") : text.index("Supply:")]
    new, old = (squeezed(str(wire.conductor.value)) for wire in (one.circuits[0], one.existing))
    assert new in block
    assert block.index(new) < block.index("Donotusethecircuitthatisthere") < block.index(old)
    large = {squeezed(words) for words, size in words_of(pdf) if size > 12.0}
    assert any(new in words for words in large) and not any(old in words for words in large), large


def test_an_older_circuit_that_passes_is_the_heater_s_own(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    one = replace(loaded.cards["bunkhouse"], circuit_shown="as found", stops=())
    assert one.existing is not None
    text = text_of(print_card(setter, one, printing).pdf)
    block = text[text.index("Circuitasfound") : text.index("Supply:")]
    assert squeezed(str(one.existing.conductor.value)) in block
    assert squeezed(str(one.circuits[0].conductor.value)) not in block


def test_where_no_circuit_may_be_built_no_size_stands_on_the_card(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    one = _at_another_supply(loaded, "bunkhouse", 480.0, accepted=False)
    assert (one.circuit_shown, one.existing, one.circuits) == ("none", None, ())
    assert not re.search(r"\d+AWG", text_of(print_card(setter, one, printing).pdf))


def test_an_accepted_stop_keeps_its_banner_above_the_circuit(
    setter: Typesetter, cards: list[Card], printing: Printing
) -> None:
    card = next(card for card in cards if card.stops)
    accepted = replace(card.stops[0], decision=BY)
    changed = replace(card, stops=(), decided=(accepted,))
    text = text_of(print_card(setter, changed, printing).pdf)
    assert text.index(squeezed("STOP not cleared")) < text.index(squeezed(BY_TEXT))
    assert text.index(squeezed(BY_TEXT)) < text.index("Breaker")


def test_a_lapsed_acceptance_is_said_in_the_banner(setter: Typesetter, cards: list[Card], printing: Printing) -> None:
    card = next(card for card in cards if card.stops)
    lapsed = replace(card.stops[0], decision=replace(BY, lapsed="worse"))
    text = text_of(print_card(setter, replace(card, stops=(lapsed,)), printing).pdf)
    assert squeezed(f"A decision has lapsed. What is found now is worse than what was decided. {BY_TEXT}") in text


def test_water_above_the_limit_is_marked_by_a_sign(setter: Typesetter, cards: list[Card], printing: Printing) -> None:
    """Colour never carries it alone: the mark is in the text, so that a reader of any kind meets it."""
    card = next(card for card in cards if card.head.site_id == "farm-stand")
    assert card.water is not None
    hot = [cell for _, cells in card.water.outlet_summer.rows for cell in cells if cell.state == "above-limit"]
    assert hot
    text = text_of(print_card(setter, card, printing).pdf)
    texts = card_texts(card, printing.style)
    marked = [
        cell["parts"][0][0] + "!"
        for row in texts["outlets"][1]["rows"]
        for cell in row["cells"]
        if cell["state"] == "above-limit"
    ]
    assert all(mark in text for mark in marked)
    assert squeezed("! hotter than the limit") in text


def test_without_an_address_the_page_is_named_in_words(
    setter: Typesetter, cards: list[Card], printing: Printing
) -> None:
    card = replace(cards[0], head=replace(cards[0].head, address=None))
    pdf = print_card(setter, card, printing).pdf
    assert squeezed(f"in the handbook: {card.head.page}") in text_of(pdf)
    assert "/Figure" not in _kinds(reader(pdf).trailer["/Root"]["/StructTreeRoot"])


def test_a_letter_the_fonts_lack_is_told(setter: Typesetter, cards: list[Card], printing: Printing) -> None:
    card = replace(cards[0], head=replace(cards[0].head, site="北"))
    with pytest.raises(PrintFault, match="site potting-shed|site "):
        print_card(setter, card, printing)


def test_a_card_that_cannot_fit_is_named_and_the_others_are_written(
    cards: list[Card], printing: Printing, tmp_path: Path
) -> None:
    endless = replace(cards[0], head=replace(cards[0].head, site_id="endless", site="word " * 900))
    seen: list[tuple[int, int, str]] = []

    def progress(done: int, total: int, outcome: Outcome) -> None:
        seen.append((done, total, outcome.state))

    jobs = [Job(card, tmp_path / f"{card.head.site_id}.pdf") for card in (cards[0], endless, cards[1])]
    outcomes = render_cards(jobs, printing, 1, on_progress=progress, combined=tmp_path / "all.pdf")
    assert [outcome.state for outcome in outcomes] == ["written", "failed", "written"]
    assert "site endless" in outcomes[1].wrong and "does not fit one page" in outcomes[1].wrong
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(
        ["all.pdf", f"{cards[0].head.site_id}.pdf", f"{cards[1].head.site_id}.pdf"]
    )
    assert seen == [(1, 3, "written"), (2, 3, "failed"), (3, 3, "written")]
    combined = (tmp_path / "all.pdf").read_bytes()
    assert len(reader(combined).pages) == 2
    assert "/H1" in _kinds(reader(combined).trailer["/Root"]["/StructTreeRoot"])


def test_an_unchanged_card_is_left_alone(cards: list[Card], printing: Printing, tmp_path: Path) -> None:
    jobs = [Job(card, tmp_path / f"{card.head.site_id}.pdf") for card in cards[:2]]
    render_cards(jobs, printing)
    before = jobs[1].path.stat().st_mtime_ns
    jobs[0] = Job(replace(cards[0], deferral="Other words."), jobs[0].path)
    outcomes = render_cards(jobs, printing)
    assert [outcome.state for outcome in outcomes] == ["written", "unchanged"]
    assert jobs[1].path.stat().st_mtime_ns == before


def test_several_processes_write_the_same_bytes(cards: list[Card], printing: Printing, tmp_path: Path) -> None:
    many = [
        replace(card, head=replace(card.head, site_id=f"{card.head.site_id}-{copy}"))
        for copy in range(11)
        for card in cards
    ]
    alone = [Job(card, tmp_path / "one" / f"{card.head.site_id}.pdf") for card in many]
    shared = [Job(card, tmp_path / "two" / f"{card.head.site_id}.pdf") for card in many]
    assert {outcome.state for outcome in render_cards(alone, printing, 1)} == {"written"}
    assert [outcome.job.path for outcome in render_cards(shared, printing, 2)] == [job.path for job in shared]
    assert all(one.path.read_bytes() == two.path.read_bytes() for one, two in zip(alone, shared, strict=True))


def test_the_code_follows_what_the_card_tells(cards: list[Card], printing: Printing) -> None:
    code = card_code(cards[0], printing.style)
    assert re.fullmatch(rf"[{ALPHABET}]{{4}}-[{ALPHABET}]{{4}}", code)
    assert code == card_code(replace(cards[0], head=replace(cards[0].head, revision="99")), printing.style)
    water = cards[0].water
    assert water is not None
    hotter = replace(water.hottest, value=float(water.hottest.value) + 5.0)
    assert code != card_code(replace(cards[0], water=replace(water, hottest=hotter)), printing.style)


def test_no_two_signs_of_a_code_look_alike() -> None:
    assert not set("ILOU") & set(ALPHABET)
    assert len(set(ALPHABET)) == 32
    # SHA-256 of the empty text begins e3b0c44298 (FIPS 180-4 example values, from memory).
    assert revision_code(b"") == "WERC-8GMR"


def test_the_card_says_how_its_tables_are_read_and_how_the_hottest_water_is_proved(
    setter: Typesetter, cards: list[Card], printing: Printing
) -> None:
    """Where the heater may be switched on: each reading allowed, and the step that asks for it."""
    card = next(card for card in cards if card.head.site_id == "packing-house")
    assert card.water
    assert card.water.allowed
    text = text_of(print_card(setter, card, printing).pdf)
    assert (
        squeezed("Between two rows: warmest inlet, the hotter; coldest, the cooler, in the column farther left.")
        in text
    )
    assert (
        squeezed("The hottest reading at the heater's outlet must not pass the table Hottest reading allowed.") in text
    )
    shown = [show(cell, US).split(NBSP)[0] for _, cells in card.water.allowed.rows for cell in cells]
    allowed = text[text.index(squeezed("Hottest reading allowed: take")) :]
    assert all(number in allowed for number in shown)


def test_a_card_that_forbids_switching_on_invites_to_no_reading(cards: list[Card]) -> None:
    for card in (card for card in cards if card.stops):
        assert card.water is None or card.water.allowed is None

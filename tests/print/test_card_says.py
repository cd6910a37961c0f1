"""What stands on the two sides of a quick card: by value, in order, and what must never stand there."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from pathlib import Path

import pytest
import yaml

from generator.assemble.documents import SiteView
from generator.build import Loaded
from generator.compute.site import compute_site
from generator.compute.verdict.status import status
from generator.model.documents.card import Card, CardSince
from generator.model.documents.walk import walk
from generator.model.figures import Decided, Figure, Sentence, Value
from generator.model.records import Status
from generator.model.results import FlowWindow
from generator.read.content.notices import read_notices
from generator.render.card.content import card_code
from generator.render.card.pdf import Printing, print_card
from generator.render.check.site_status import status_words
from generator.render.format import show
from generator.render.typesetter import Typesetter
from generator.site_cards import FORM, cards_of, printing_of
from tests.finding_texts import worded
from tests.frozen import ROOT
from tests.print.reading import sides, squeezed, words_of
from tests.styles import BOTH, US

AT = Value("at", 328.7, "temperature")
BY = Decided("accepted", "farm manager", "a mixing valve is on order", "2026-11-02", "2026-12-15", "", (AT,))
CONTENT = ROOT / "content"


@pytest.fixture(scope="module")
def printed(loaded: Loaded, setter: Typesetter, printing: Printing) -> dict[str, tuple[str, ...]]:
    return {site: sides(print_card(setter, card, printing).pdf) for site, card in loaded.cards.items()}


def card_at(loaded: Loaded, view: SiteView) -> Card:
    (card,) = cards_of(CONTENT, replace(loaded.book, sites=(view,)), loaded.notices).values()
    return card


def at_another_supply(loaded: Loaded, site_id: str, voltage_v: float, accepted: bool) -> Card:
    """The card of a demo site whose supply is another than the one its heater is made for."""
    view = next(view for view in loaded.book.sites if view.spec.id == site_id)
    supply = view.spec.supply.model_copy(update={"voltage_v": voltage_v})
    changed = view.spec.model_copy(update={"supply": supply})
    result = worded(compute_site(changed, replace(loaded.inputs, sites=(changed,))))
    if accepted:
        result = replace(
            result, findings=tuple(replace(f, decision=BY if f.severity == "stop" else None) for f in result.findings)
        )
    return card_at(loaded, replace(view, spec=changed, result=result))


def view_of(loaded: Loaded, card: Card) -> SiteView:
    return next(view for view in loaded.book.sites if view.spec.id == card.head.site_id)


def in_order(text: str, *words: str) -> None:
    places = [text.index(squeezed(one)) for one in words]
    assert places == sorted(places), words


def test_whom_to_call_and_where_to_shut_off_is_what_the_site_states(
    loaded: Loaded, printed: dict[str, tuple[str, ...]]
) -> None:
    """What nobody has stated is a line to fill by hand under the same words."""
    stated = 0
    for site in loaded.inputs.sites:
        front, back = printed[site.id]
        for words in ("Power off", "Water off", "Call maintenance", "Heater serial number", "Panel and circuit"):
            assert squeezed(words) in front, site.id
        panel, numbers = site.supply.panel.label, " and ".join(site.circuit_numbers.values())
        values = (
            site.shutoffs.power,
            site.shutoffs.water,
            site.contacts.maintenance,
            site.serial_number,
            site.permit.number if site.permit else None,
            f"Emergency: {site.contacts.emergency}" if site.contacts.emergency else None,
            f"{panel}, circuit {numbers}" if panel and numbers else None,
        )
        stated += sum(value is not None for value in values)
        assert all(squeezed(value) in front for value in values if value), site.id
        assert all(squeezed(f"Note: {note}") in back for note in site.notes), site.id
    assert stated >= 20


def test_a_stop_forbids_the_start_on_both_sides(loaded: Loaded, printed: dict[str, tuple[str, ...]]) -> None:
    stopped = [card for card in loaded.cards.values() if card.stops]
    assert stopped and len(stopped) < len(loaded.cards)
    for card in stopped:
        front, back = printed[card.head.site_id]
        in_order(front, "STOP", "Do not switch on. Keep it locked off.", "Before it may run")
        in_order(back, "To clear the STOP", "No start-up.", "Make safe today", "B Failed checks", "Then who")
        for stop in card.stops:
            line = squeezed("".join(text for text, _ in stop.line.filled(lambda value: show(value, US))))
            assert squeezed(f"Clear {stop.title}") in front or line in front
            assert squeezed(stop.title) in back and line in back
        for text in (front, back):
            assert not re.search(r"Stages:|Ampsexpected|Outlet,inlet|[Ss]electorat|Keep[\d.]", text)
        assert squeezed("winter summer") not in front
    for card in (card for card in loaded.cards.values() if not card.stops):
        front, back = printed[card.head.site_id]
        words = squeezed(status_words(status(view_of(loaded, card).result), BOTH.words))
        assert words in front and ("STOP" in front) == bool(card.measured) and "STOP" not in back
        assert squeezed("Start-up and record") in back


def test_no_card_prints_a_word_that_permits(
    printed: dict[str, tuple[str, ...]], loaded: Loaded, setter: Typesetter
) -> None:
    for card in loaded.cards.values():
        found = print_card(setter, card, printing_of(CONTENT, loaded.book)).pdf
        texts = " ".join(text for side in (1, 2) for text, _ in words_of(found, side))
        assert not re.search(r"\b(GO|go|safe to|may run\.|approved)\b", texts), card.head.site_id


@pytest.mark.parametrize("site", ["packing-house", "creamery"])
def test_the_status_is_outside_the_code_and_a_record_is_named_with_its_dates(
    loaded: Loaded, setter: Typesetter, printing: Printing, site: str
) -> None:
    card = loaded.cards[site]
    days = datetime.date(2026, 11, 20), datetime.date(2027, 11, 20)
    proved = replace(card, status=Status("commissioned", (), *days))
    assert card_code(proved, BOTH) == card_code(card, BOTH)
    stopped = loaded.cards["bunkhouse"]
    assert card_code(replace(stopped, status=proved.status), BOTH) == card_code(stopped, BOTH)
    front, _ = sides(print_card(setter, proved, printing).pdf)
    assert squeezed("Commissioned 2026-11-20, next check due 2027-11") in front
    assert squeezed("NOT COMMISSIONED") not in front


def test_the_back_is_in_working_order(loaded: Loaded, printed: dict[str, tuple[str, ...]]) -> None:
    """Common practice, no source: water and leak test locked off, circuit tests, power at stage 1, stages, hottest."""
    view = next(view for view in loaded.book.sites if view.spec.id == "packing-house")
    _, back = printed["packing-house"]
    in_order(
        back,
        "A Water, power locked off",
        "Prove dead.",
        "Run on after the last air.",
        "look at every joint",
        "B Circuit tests, still locked off",
        "Ground first, then L1 black, L2 red.",
        "C Switch on, tap shut",
        "Set the selector.",
        "0 A",
        f"D Stages: set {show(view.result.water.working_flow, US)}, selector 1 to {view.spec.selected_stage}",
        "E Hottest water, corrected to summer",
        "Tap shut: amps fall to zero.",
        "meter off",
        "Faults",
        "Result",
    )
    assert "elector" not in "".join(printed["potting-shed"])


def test_expected_values_of_the_day_stand_beside_what_is_read(
    loaded: Loaded, printed: dict[str, tuple[str, ...]]
) -> None:
    """The rise of each stage: power after the drop over what the flow takes, 2.4 kW a stage at 1.40 gpm, from memory
    of the trade's constant: 500 Btu/h for each gpm and degree, within 2 °F."""
    _, back = printed["packing-house"]
    view = next(view for view in loaded.book.sites if view.spec.id == "packing-house")
    for stage, power in enumerate(view.result.delivered, 1):
        assert isinstance(power.value, float)
        by_trade = power.value * 3.412 / (500.0 * 1.40)
        amps = 10.0 * stage  # 2.4 kW a stage on 240 V; a sound heater takes 10 % less to 5 % more
        (shown,) = re.findall(rf"{stage}{0.9 * amps:g}to{1.05 * amps:g}A\+(\d+)°F", back)
        assert abs(float(shown) - by_trade) < 2.0
    assert view.result.allowed
    for head, cells in view.result.allowed.rows:
        row = "".join(show(item, US).split("\u00a0")[0] for item in (head, *cells))
        assert row in back


def test_each_line_of_two_feeds_has_its_own_current(loaded: Loaded, printed: dict[str, tuple[str, ...]]) -> None:
    """Kirchhoff's current law: the feeds share the heater's current, so no clamp on one feed shows the sum of them."""
    view = next(view for view in loaded.book.sites if view.spec.id == "creamery")
    front, back = printed["creamery"]
    total_a = float(view.result.supply_power.value or 0.0) / (3**0.5 * view.spec.supply.voltage_v)
    water = loaded.cards["creamery"].water
    assert water
    last = {row.feed: row.currents for row in water.stages}
    for line in range(3):
        currents = [float(last[feed][line].value or 0.0) for feed in "AB"]
        assert 0.95 * total_a < sum(currents) < 1.001 * total_a
    for row in water.stages:
        shown = "".join(show(one, US).removesuffix("\u00a0A") for one in row.currents)
        assert f"{row.number}{row.feed}{shown}+" in back
    assert [row.feed for row in water.stages] == ["A", "B", "A", "B", "A", "B"]
    assert squeezed("Lock off and tag breakers A and B.") in back
    assert squeezed("Cut A and B.") in front and squeezed("A and B off, then water off.") in front


def test_a_limit_that_only_a_valve_keeps_is_proved_at_the_valve(printed: dict[str, tuple[str, ...]]) -> None:
    front, back = printed["creamery"]
    assert squeezed("Only the mixing valve keeps 120 °F.") in front and squeezed("Hottest before valve") in front
    in_order(
        back,
        "E Mixing valve",
        "at its lowest mark",
        "its mark",
        "Shut its cold supply.",
        "no hot flow",
        "120 °F or less",
    )
    assert squeezed("corrected to summer") not in back


def test_what_a_size_holds_for_stands_beside_it(printed: dict[str, tuple[str, ...]]) -> None:
    """8 AWG copper carries 50 A on 75 °C terminals and 40 A in NM cable: a size alone would invite either."""
    front, _ = printed["packing-house"]
    assert squeezed("2 lines, no neutral, copper THWN-2") in front
    assert squeezed("Electrical metallic tubing, steel, terminals rated 75 °C") in front
    shed, _ = printed["potting-shed"]
    assert squeezed("terminals rated 60 °C") in shed and squeezed("1 line and neutral") in shed


def test_a_card_by_iec_is_metric_and_names_what_clears_a_fault(printed: dict[str, tuple[str, ...]]) -> None:
    front, back = printed["seedling-house"]
    assert squeezed("Earthing system TN-S") in front and squeezed("Residual-current device 30 mA") in front
    assert squeezed("Residual-current device, 30 mA: time to trip") in back
    for text in (front, back):
        assert not re.search(r"gpm|°F|AWG|psi|lbf", text)


@pytest.mark.parametrize("accepted", [False, True])
@pytest.mark.parametrize(("site", "voltage_v"), [("potting-shed", 240.0), ("creamery", 120.0), ("bunkhouse", 480.0)])
def test_a_supply_that_does_not_fit_leaves_only_the_stop(
    loaded: Loaded, setter: Typesetter, printing: Printing, site: str, voltage_v: float, accepted: bool
) -> None:
    """A heater for 120 V on 240 V takes four times its power: no figure at that supply may stand as if it held."""
    one = at_another_supply(loaded, site, voltage_v, accepted)
    front, back = sides(print_card(setter, one, printing).pdf)
    assert squeezed("The supply does not fit the heater: no figure of it holds.") in front
    assert squeezed("Circuit: none can be stated") in front
    for text in (front, back):
        assert not re.search(r"Settheflow|Hottest|Stages:|Switchon\.|\d+AWG|mm²|Newcircuit", text)
        assert not re.search(r"\d A\b", text)
    assert {figure.id for figure in walk(one, Figure)} == {f"site.{site}.limit", f"site.{site}.torque"}
    assert (one.circuit_shown, one.existing, one.circuits) == ("none", None, ())


def test_a_circuit_that_fails_its_checks_is_small_and_the_one_to_install_is_large(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    one = loaded.cards["bunkhouse"]
    assert one.existing is not None and one.circuits[0].conductor.value != one.existing.conductor.value
    pdf = print_card(setter, one, printing).pdf
    front, back = sides(pdf)
    in_order(front, "Breaker TO INSTALL", "Found: 8 AWG on 50 A. Do not use.")
    assert squeezed("8 AWG off, tagged") in back and squeezed("50 A, 2-pole, 6 AWG") in back
    large = squeezed("".join(text for text, size in words_of(pdf, 1) if size > 14.01))
    assert "6AWG" in large and "8AWG" not in large, large


def test_an_older_circuit_that_passes_is_the_heater_s_own(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    one = replace(loaded.cards["bunkhouse"], circuit_shown="as found", stops=())
    assert one.existing is not None
    front, _ = sides(print_card(setter, one, printing).pdf)
    block = front[front.index("Breaker,asfound") : front.index("Setthe")]
    assert squeezed("8 AWG") in block and squeezed("6 AWG") not in block


def test_an_accepted_stop_keeps_its_banner_on_both_sides(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    card = loaded.cards["packing-house"]
    stopped = next(card for card in loaded.cards.values() if card.stops)
    accepted = replace(stopped.stops[0], decision=BY)
    front, back = sides(print_card(setter, replace(card, decided=(accepted,)), printing).pdf)
    in_order(front, f"STOP not cleared: {accepted.title}.", "Accepted by farm manager, 2026-11-02", "Breaker")
    assert squeezed("Accepted by farm manager, 2026-11-02: a mixing valve is on order; until 2026-12-15.") in back


def test_a_lapsed_acceptance_is_said_where_the_stop_is_cleared(
    loaded: Loaded, setter: Typesetter, printing: Printing
) -> None:
    card = loaded.cards["farm-stand"]
    lapsed = replace(card.stops[0], decision=replace(BY, lapsed="worse"))
    _, back = sides(print_card(setter, replace(card, stops=(lapsed,)), printing).pdf)
    assert squeezed("A decision has lapsed. What is found now is worse than what was decided.") in back


def test_water_above_the_limit_is_marked_by_a_sign(loaded: Loaded, printed: dict[str, tuple[str, ...]]) -> None:
    """Color never carries it alone: the mark is in the text, so that a reader of any kind meets it."""
    for site, card in loaded.cards.items():
        if card.water and card.water.hottest_top:
            mark = squeezed(f"! up to {show(card.water.hottest_top, replace(US, units=card.units))}")
            assert (mark in printed[site][0]) == card.water.hottest_above_limit, site


def test_where_no_flow_can_be_set_nothing_is_started(loaded: Loaded, setter: Typesetter, printing: Printing) -> None:
    view = next(one for one in loaded.book.sites if one.spec.id == "packing-house")
    ends = (replace(end, value=None, state="none") for end in (view.window.least, view.window.greatest))
    empty = FlowWindow(view.window.number, *ends, why_empty=Sentence("No flow fits."))
    result = replace(view.result, windows=tuple(replace(empty, number=one.number) for one in view.result.windows))
    card = card_at(loaded, replace(view, result=result))
    front, back = sides(print_card(setter, card, printing).pdf)
    assert squeezed("No flow can be set. Do not switch on.") in front
    assert squeezed("Before it may be started") in back and squeezed("a flow to set") in back
    assert "Stages:" not in back and squeezed("No start-up.") in back


def test_the_card_names_the_one_it_replaces_and_what_moved(loaded: Loaded, printed: dict[str, tuple[str, ...]]) -> None:
    """The release of the demo froze other figures: a 40 A breaker at the packing house."""
    card = loaded.cards["packing-house"]
    old = loaded.book.history.codes["card"]["packing-house"]
    assert card.since and card.since.replaces == old
    assert ("moved-breaker", "40\u00a0A", "50\u00a0A") in card.since.moved
    front, _ = printed["packing-house"]
    in_order(front, f"replaces {old}", "Changed: breaker 40 A → 50 A")
    assert card_code(replace(card, since=None), BOTH) == card_code(card, BOTH)
    many = replace(card, since=CardSince(old, card.since.moved * 3))
    assert len(many.since.moved if many.since else ()) > 3


def test_without_an_address_there_is_no_picture(loaded: Loaded, setter: Typesetter, printing: Printing) -> None:
    card = loaded.cards["packing-house"]
    card = replace(card, head=replace(card.head, address=None))
    assert squeezed(card.head.site) in sides(print_card(setter, card, printing).pdf)[0]


def test_the_code_follows_what_the_card_tells_and_not_its_words(loaded: Loaded, tmp_path: Path) -> None:
    card = loaded.cards["packing-house"]
    code, water = card_code(card, BOTH), card.water
    assert water is not None
    hotter = replace(water.hottest, value=float(water.hottest.value or 0.0) + 5.0)
    assert code != card_code(replace(card, water=replace(water, hottest=hotter)), BOTH)
    assert code != card_code(replace(card, notices=card.notices[1:]), BOTH)
    assert code != card_code(replace(card, parts=card.parts[1:]), BOTH)
    assert code != card_code(replace(card, place=replace(card.place, maintenance="555-0199")), BOTH)
    assert code == card_code(replace(card, head=replace(card.head, revision="99")), BOTH)
    form = (CONTENT / FORM).read_text(encoding="utf-8")
    better = form.replace("Run on after the last air.", "After the last air, run on.").replace(
        "Hot water can kill", "It kills"
    )
    assert better != form
    (tmp_path / "print").mkdir()
    (tmp_path / FORM).write_text(better, encoding="utf-8")
    again = cards_of(tmp_path, loaded.book, loaded.notices)
    assert again["packing-house"] != card
    assert {site: card_code(one, BOTH) for site, one in again.items()} == loaded.book.card_codes
    other = form.replace("{id: purge,", "{id: purge-again,")
    (tmp_path / FORM).write_text(other, encoding="utf-8")
    assert card_code(cards_of(tmp_path, loaded.book, loaded.notices)["packing-house"], BOTH) != code


def test_a_stop_that_is_worded_anew_leaves_the_code(loaded: Loaded) -> None:
    card = loaded.cards["bunkhouse"]
    other = Sentence("Other words.")
    stop = replace(card.stops[0], found=other, do=other, line=other, short=other, title="Other")
    assert card_code(replace(card, stops=(stop, *card.stops[1:])), BOTH) == card_code(card, BOTH)
    worse = tuple(replace(one, value=one.value + 1.0) if isinstance(one.value, float) else one for one in stop.values)
    assert card_code(replace(card, stops=(replace(stop, values=worse), *card.stops[1:])), BOTH) != card_code(card, BOTH)


MOST_CAUTION_WORDS = 22


def test_every_notice_of_the_card_has_its_words_in_the_form() -> None:
    due = {notice.id for notice in read_notices(CONTENT) if "card" in notice.appears}
    form = yaml.safe_load((CONTENT / FORM).read_text(encoding="utf-8"))["cautions"]
    assert {entry["notice"] for entry in form} == due
    for notice in due:
        entries = [entry for entry in form if entry["notice"] == notice]
        assert "when" not in entries[-1] or notice != "live-parts"
        assert all(len(entry["text"].split()) <= MOST_CAUTION_WORDS for entry in entries), notice


def test_danger_and_two_warnings_stand_on_the_front_of_each_card(
    loaded: Loaded, printed: dict[str, tuple[str, ...]]
) -> None:
    for site, card in loaded.cards.items():
        front, back = printed[site]
        assert (front.count("DANGER"), front.count("WARNING"), back.count("DANGER")) == (1, 2, 0)
        shown = [
            squeezed("".join(text for text, _ in one.text.filled(lambda value: show(value, US))))
            for one in card.notices
        ]
        assert all(text in front for text in shown[:3])
        assert card.notices[0].id == "live-parts"

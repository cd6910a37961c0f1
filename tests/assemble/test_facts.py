"""Each field of what card, labels and a page's head show: which figure of the results it is, by id and by value.

The expected side takes nothing from assemble: ids and values come from the results document, the site's own data and
the lists below. A field that no list names fails.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from generator.assemble.card.choose import _circuit_facts, card_water
from generator.assemble.documents import SiteView
from generator.assemble.facts import SiteFacts, site_facts
from generator.assemble.results_json import results_document
from generator.model.content.words import Units
from generator.model.documents.card import Card, Worded
from generator.model.figures import Figure, Sentence, Value
from generator.model.results import SiteResult
from generator.render.card.label import TEMPLATE, print_label
from generator.render.card.texts import card_texts
from generator.render.format import NBSP, show_quantity
from generator.render.pages.write import render_pages
from generator.render.typesetter import Typesetter
from generator.site_cards import printing_of
from tests.assemble.joint_sites import CONTENT, Joined, joined
from tests.print.reading import squeezed, text_of
from tests.styles import US, WORDS

# Field of SiteFacts -> the id of the figure that it is, after `site.<id>.`; {n} counts stages from 1, {feed} is a, b.
FIGURES = {
    r"circuits\.(?P<feed>\d)\.device": "circuit.{feed}.device",
    r"circuits\.(?P<feed>\d)\.poles": "circuit.{feed}.poles",
    r"circuits\.(?P<feed>\d)\.conductor": "circuit.{feed}.conductor",
    r"circuits\.(?P<feed>\d)\.ground": "circuit.{feed}.ground",
    r"circuits\.(?P<feed>\d)\.load_current": "circuit.{feed}.load-current",
    r"existing\.load_current": "circuit.a.load-current",
    r"limit": "limit",
    r"target": "target",
    r"winter_inlet": "water.inlet.coldest",
    r"summer_inlet": "water.inlet.hottest",
    r"hottest": "hottest.{selected}",
    r"hottest_top": "hottest.{selected}.top",
    r"stages\.(?P<n>\d)\.power": "stage.{n}.power",
    r"stages\.(?P<n>\d)\.currents\.(?P<feed>\d)\.0": "circuit.{feed}.expected.{n}",
    r"stages\.(?P<n>\d)\.closes_at": "stage.{n}.closes-at",
    r"stages\.(?P<n>\d)\.least": "window.{n}.least",
    r"stages\.(?P<n>\d)\.greatest": "window.{n}.greatest",
    r"window\.power": "stage.{leading}.power",
    r"window\.currents\.(?P<feed>\d)\.0": "circuit.{feed}.expected.{leading}",
    r"window\.closes_at": "stage.{leading}.closes-at",
    r"window\.least": "window.{leading}.least",
    r"window\.greatest": "window.{leading}.greatest",
}
# On the three-phase site each line of a feed has a current of its own.
BY_LINE = {
    r"stages\.(?P<n>\d)\.currents\.(?P<feed>\d)\.(?P<line>\d)": "circuit.{feed}.expected.{n}.l{line}",
    r"window\.currents\.(?P<feed>\d)\.(?P<line>\d)": "circuit.{feed}.expected.{leading}.l{line}",
}
# Fields that are no figures: what the site's data or the lists below say of them.
GIVEN = (
    r"circuits\.\d\.name",
    r"existing\.(name|device|poles|conductor|ground)",
    r"wire\.(metal|insulation|method|terminals|conductors)",
    r"(supply|length|met|too_hot|circuit_shown)",
    r"(stages\.\d|window)\.(number|why_empty)",
)

# Site -> the stage selected (the last where there is no selector), and the stage whose flow window leads: worked out by
# hand from FINCH, PLOVER and DUNLIN. Without a selector that is the highest stage with a window.
SELECTED = {"two-feeds": 3, "metric": 2}
LEADING = {"two-feeds": 3, "metric": 2}
# Site -> the lower of the terminals' ratings of heater and route [degC].
TERMINALS_C = {"two-feeds": 75.0, "metric": 70.0}
# Sites where a check fails that nobody accepted, or where no circuit may be built.
OFF = {"pressed", "accepted-and-open", "must-not-be-built", "unfit"}
NOT_BUILT = {"must-not-be-built", "unfit"}
CIRCUIT_SHOWN = {"as-found": "as found", "must-not-be-built": "none", "unfit": "none"}
NAMES = {"two-feeds": ["Upper", "Lower"]}
WIRES = {
    "two-feeds": ("copper", "XHHW-2", "Rigid PVC conduit"),
    "metric": ("copper", "PVC", "Single-core insulated conductors in conduit on a wall"),
    "as-found": ("copper", "THW", "Rigid PVC conduit"),
    "must-not-be-built": ("copper", "NM-B", "Nonmetallic-sheathed cable"),
}
# What is pulled beside the ground: by hand from the leads of FINCH, PLOVER and DUNLIN.
CONDUCTORS = {"two-feeds": "lines-3", "metric": "lines-1-neutral"}
LENGTHS_M = {"two-feeds": 52 * 0.3048, "metric": 14.0}
VOLTS = {"two-feeds": 208.0, "metric": 230.0, "unfit": 300.0}
PROTECTION = {"earthing": "TN-S", "residual-current-device": "30 mA"}
ACCEPTED = {"accepted", "accepted-and-open"}
COOL_ENOUGH = {"two-feeds"}


@pytest.fixture(scope="module")
def made() -> Joined:
    return joined()


@pytest.fixture(scope="module")
def figures(made: Joined) -> dict[str, Any]:
    return results_document(made.inputs, made.results, {}, cards={}, generator_version="0", working=False)["figures"]


def leaves(node: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every field of a tree of records, with its path: names and places joined by points."""
    if isinstance(node, Figure | Value | Sentence) or not (is_dataclass(node) or isinstance(node, tuple)):
        yield path, node
    elif isinstance(node, tuple):
        for place, part in enumerate(node):
            yield from leaves(part, f"{path}.{place}")
    else:
        for field in fields(node):
            yield from leaves(getattr(node, field.name), f"{path}.{field.name}".lstrip("."))


def figure_id(site: str, path: str) -> str:
    """The id that the lists name for a field."""
    table = (BY_LINE | FIGURES) if site == "two-feeds" else FIGURES
    (found,) = [(match, id_) for pattern, id_ in table.items() if (match := re.fullmatch(pattern, path))][:1]
    match, id_ = found
    named = match.groupdict()
    places = {
        "feed": "ab"[int(named.get("feed") or 0)],
        "n": int(named.get("n") or 0) + 1,
        "line": int(named.get("line") or 0) + 1,
        "selected": SELECTED.get(site, 4),
        "leading": LEADING.get(site, 4),
    }
    return f"site.{site}.{id_.format(**places)}"


def views(made: Joined) -> list[tuple[str, SiteView, SiteFacts, Card]]:
    return [(view.spec.id, view, view.facts, made.cards[view.spec.id]) for view in made.book.sites]


def test_what_was_measured_above_the_limit_leads_before_what_was_computed(made: Joined) -> None:
    """A thermometer has refuted the computed figure: neither it nor the top of its band stands as a bound."""
    view, card = next((view, card) for site, view, _, card in views(made) if site not in OFF and site != "metric")
    met = Value("met", 340.0, "temperature", "at_least")
    findings = tuple(
        replace(one, severity="stop", case="measured", values=(*one.values, met))
        if one.rule == "hottest-water"
        else one
        for one in view.result.findings
    )
    measured = replace(view, result=replace(view.result, findings=findings))
    assert (measured.facts.met, measured.facts.too_hot, view.facts.met) == (met, True, None)
    texts = card_texts(replace(card, water=card_water(measured)), US)["water"]
    assert texts and (texts["met"], texts["hottest"], texts["top"]) == (True, ["153", "°F"], "")
    plain = card_texts(card, US)["water"]
    assert plain and plain["met"] is False and plain["top"]


def test_each_field_is_the_figure_that_the_list_names(made: Joined, figures: dict[str, Any]) -> None:
    met: set[str] = set()
    for site, _, facts, _ in views(made):
        for path, leaf in leaves(facts):
            if not isinstance(leaf, Figure):
                continue
            stored = figures[figure_id(site, path)]
            if path != "hottest":  # one figure under two names is one id
                assert leaf.id == figure_id(site, path), (site, path)
            assert (leaf.value, leaf.state, leaf.reason) == (stored["value"], stored["state"], stored["reason"]), path
            assert (leaf.kind, leaf.side, leaf.steps) == (stored["kind"], stored["rounds"], ()), path
            met.update(pattern for pattern in FIGURES if re.fullmatch(pattern, path))
    assert met == set(FIGURES), "no site has these fields"


def test_every_other_field_is_named_too(made: Joined) -> None:
    for site, _, facts, _ in views(made):
        for path, leaf in leaves(facts):
            absent = leaf is None or leaf == ()
            if not isinstance(leaf, Figure) and not absent:
                assert any(re.fullmatch(pattern, path) for pattern in GIVEN), (site, path)


def test_what_comes_from_the_sites_data(made: Joined) -> None:
    for site, _, facts, _ in views(made):
        assert [one.name for one in facts.circuits] == ([] if site in NOT_BUILT else NAMES.get(site, ["A"]))
        expected = WIRES.get(site, ("copper", "THWN-2", "Rigid PVC conduit"))
        assert (facts.wire.metal, facts.wire.insulation, facts.wire.method) == expected
        assert facts.wire.conductors == CONDUCTORS.get(site, "lines-2")
        assert facts.wire.terminals.value == pytest.approx(TERMINALS_C.get(site, 60.0) + 273.15)
        assert facts.length.value == pytest.approx(LENGTHS_M.get(site, 37 * 0.3048), rel=1e-12)
        assert facts.supply.value == VOLTS.get(site, 240.0)
        assert (facts.supply.kind, facts.length.kind, facts.length.side) == ("voltage", "length", "up")
        assert facts.too_hot == (site not in COOL_ENOUGH)
        assert (facts.existing is not None) == (site == "as-found")
        assert facts.circuit_shown == CIRCUIT_SHOWN.get(site, "new")


def test_the_circuit_as_found_is_what_the_site_states(made: Joined) -> None:
    (found,) = [facts.existing for _, _, facts, _ in views(made) if facts.existing]
    stated = [one.value for one in (found.device, found.poles, found.conductor, found.ground) if isinstance(one, Value)]
    assert stated == [40.0, 2.0, "6 AWG", "8 AWG"]


def test_the_insulation_is_that_of_the_wires_that_are_shown(made: Joined) -> None:
    """That of the cable found where it is kept, else that of the cable to lay."""
    view = next(view for view in made.book.sites if view.spec.id == "as-found")
    assert view.spec.existing_circuit is not None
    old = view.spec.existing_circuit.model_copy(update={"insulation": "RHW"})
    site = view.spec.model_copy(update={"existing_circuit": old})
    for result, insulation in ((view.result, "RHW"), (_stopped(view.result), "THWN-2")):
        shown = site_facts(site, result, view.heater, basis=view.basis, words=view.words.card)
        assert shown.wire.insulation == insulation


def _stopped(result: SiteResult) -> SiteResult:
    """The same with a stop about the circuit that is there."""
    found = [replace(one, severity="stop") if one.rule == "existing-conductor" else one for one in result.findings]
    return replace(result, findings=tuple(found))


def test_nothing_to_set_is_shown_while_the_heater_stays_off(made: Joined) -> None:
    for site, view, facts, _ in views(made):
        assert len(facts.stages) == (0 if site == "unfit" else len(view.heater.stages))
        assert (facts.window is None, facts.hottest is None) == (site == "unfit",) * 2
        for stage in (*facts.stages, facts.window):
            if stage is not None and site in OFF:
                assert (stage.least, stage.greatest, stage.why_empty) == (None, None, Sentence(WORDS.card["forbidden"]))
            elif stage is not None:
                window = view.result.windows[int(stage.number.value) - 1]
                assert stage.least is not None and stage.greatest is not None
                assert stage.why_empty == window.why_empty
        if facts.window and site not in OFF:
            assert facts.window.number.value == LEADING.get(site, 4)
            assert facts.window.why_empty is None, "an open window leads, so that its ends are compared"
        assert [stage.number.value for stage in facts.stages] == [1.0, 2.0, 3.0, 4.0, 5.0][: len(facts.stages)]


def test_a_residual_current_device_that_is_too_large_is_not_shown_as_one_to_fit(made: Joined) -> None:
    (view,) = [view for site, view, *_ in views(made) if site == "metric"]
    rule = "residual-current-protection"
    for severity in ("ok", "attention", "stop"):
        found = tuple(replace(one, severity=severity) if one.rule == rule else one for one in view.result.findings)
        assert severity in {one.severity for one in found if one.rule == rule}
        labels = {fact.label for fact in _circuit_facts(replace(view, result=replace(view.result, findings=found)))}
        assert ("residual-current-too-large" in labels) == (severity == "stop") != ("residual-current-device" in labels)


def test_the_card_shows_the_facts_and_no_other_figure(made: Joined) -> None:
    for site, view, facts, card in views(made):
        assert (card.circuits, card.existing, card.wire) == (facts.circuits, facts.existing, facts.wire)
        assert card.feeds == tuple(feed.name for feed in view.heater.electrical.feeds)
        assert card.limit == facts.limit
        stated = {fact.label: fact.value for fact in card.circuit_facts}
        assert stated["phases"] == Worded("three-phase" if site == "two-feeds" else "single-phase")
        protection = {name: stated.get(name) for name in ("earthing", "residual-current-device")}
        assert protection == (PROTECTION if site == "metric" else dict.fromkeys(PROTECTION))
        assert stated["supply"] == facts.supply
        torque = stated["torque"]
        assert isinstance(torque, Figure) and torque.id == f"site.{site}.torque"
        assert {"lockable": Worded("disconnect-lockable")}[view.spec.place.disconnect] == stated["disconnect"]
        assert bool(card.stops) == (site in OFF) == (not card.start_up) == (card.status.word == "stop")
        assert [one.id for one in card.decided] == ([f"{site}.hottest-water"] if site in ACCEPTED else [])
        water = card.water
        assert (water is None) == (site == "unfit")
        if water:
            assert (water.window, water.hottest, water.hottest_top) == (
                facts.window,
                facts.hottest,
                facts.hottest_top,
            )
            assert (water.winter_inlet, water.summer_inlet) == (facts.winter_inlet, facts.summer_inlet)
            assert water.hottest_above_limit == facts.too_hot


def printed(figures: dict[str, Any], id_: str, units: Units = "both") -> str:
    """What a reader sees of a figure of the results document."""
    one = figures[id_]
    return (
        WORDS.states[one["state"]]
        if one["value"] is None
        else show_quantity(one["value"], one["kind"], one["rounds"], units=units)
    )


def circuit_words(figures: dict[str, Any], site: str, feed: str) -> dict[str, str]:
    keys = {"device": "device", "poles": "poles", "conductor": "conductor", "ground": "ground", "load": "load-current"}
    return {key: printed(figures, f"site.{site}.circuit.{feed}.{name}") for key, name in keys.items()}


def units_of(site: str) -> Units:
    """A card is in the units that the code of its site is written in."""
    return "si" if site == "metric" else "us"


def test_the_cards_texts_are_those_figures(made: Joined, figures: dict[str, Any]) -> None:
    for site, _, facts, card in views(made):
        texts, units = card_texts(card, made.book.style), units_of(site)
        for feed, row in zip("ab", texts["circuits"], strict=False):
            sizes = {key: text for key, text in circuit_words(figures, site, feed).items() if key != "load"}
            assert {key: row[key] for key in sizes} == sizes
            for key in ("device", "conductor"):
                assert NBSP.join(row[f"{key}_parts"]) == row[key]
        assert texts["limit"] == printed(figures, f"site.{site}.limit", units)
        assert texts["facts"]["torque"][1] == printed(figures, f"site.{site}.torque", "both" if units == "us" else "si")
        assert texts["wire"]["terminals"] == f"terminals rated {TERMINALS_C.get(site, 60.0):g}\u00a0°C"
        if not facts.stages:
            assert texts["water"] is None
            continue
        water = texts["water"]
        assert water["winter"] == printed(figures, f"site.{site}.water.inlet.coldest", units)
        assert water["summer"] == printed(figures, f"site.{site}.water.inlet.hottest", units)
        hottest = f"site.{site}.hottest.{SELECTED.get(site, 4)}"
        assert NBSP.join(water["hottest"]) == printed(figures, hottest, units)
        more = f"{NBSP}or more" if figures[f"{hottest}.top"]["state"] == "at-cut-out" else ""
        assert water["top"] == printed(figures, f"{hottest}.top", units) + more
        ends = [figures[f"site.{site}.window.{LEADING.get(site, 4)}.{end}"] for end in ("least", "greatest")]
        assert water["window"] == (None if site in OFF or ends[0]["value"] is None else window_words(ends, units))


def window_words(ends: list[dict[str, Any]], units: Units) -> dict[str, str]:
    least, greatest = (show_quantity(end["value"], "flow", end["rounds"], units=units) for end in ends)
    return {"text": f"{least.partition(NBSP)[0]} to {greatest.partition(NBSP)[0]}", "unit": least.partition(NBSP)[2]}


# Line of the back -> the ids of the figures in it, in order, after `site.<id>.`; {leading} as above.
ON_THE_BACK = {
    "leak": ["water.pressure-at-rest"],
    "connect": ["torque"],
    "volts": ["supply.least", "supply.greatest"],
    "valve-set": ["limit"],
    "no-heat": ["stage.1.closes-at"],
    "lukewarm": ["window.{leading}.greatest"],
    "too-hot": ["window.{leading}.least", "supply.greatest"],
}


def test_the_figures_on_the_back_are_those_of_the_results(made: Joined, figures: dict[str, Any]) -> None:
    met = set()
    for site, view, _, card in views(made):
        least, greatest = view.result.supply_range
        supply = {"supply.least": least.id, "supply.greatest": greatest.id}
        lines = {row.id: (row.text, row.expected) for part in card.parts for row in part.rows}
        lines |= {line.id: (line.text, None) for line in card.lines}
        for name, texts in lines.items():
            values = [value for text in texts if text for value in text.values if value.symbol in FIGURE_PLACES]
            leading = LEADING.get(site, 4)
            expected = (id_.format(leading=leading) for id_ in ON_THE_BACK.get(name, []))
            ids = [supply.get(id_) or f"site.{site}.{id_}" for id_ in expected]
            assert [(value.value, value.kind) for value in values] == [
                (figures[id_]["value"], figures[id_]["kind"]) for id_ in ids
            ], (site, name)
            met |= {name} if ids else set()
    assert met == set(ON_THE_BACK)


# The places of the form that are figures of the results by themselves.
FIGURE_PLACES = {"torque", "rest", "least_volts", "greatest_volts", "least", "greatest", "turn_on", "limit"}


def test_each_stage_of_the_record_is_what_the_results_say(made: Joined) -> None:
    seen = 0
    for site, view, _, card in views(made):
        rows = card.water.stages if card.water else ()
        assert (rows == ()) == (site in OFF)
        assert [row.number for row in rows] == list(range(1, len(rows) + 1))
        for row in rows:
            place = next(n for n, feed in enumerate(view.heater.electrical.feeds) if row.number in feed.stages)
            assert row.feed == NAMES.get(site, ["A"])[place]
            named = {"feed": row.feed, "stage": float(row.number)}
            amps = [one.value for one in expected_rows(view, "amps", named)]
            by_line = site == "two-feeds"
            assert (row.between is None) == by_line
            assert list(row.currents) == (amps if by_line else amps[:1])
            rises = expected_rows(view, "rise", {"stage": float(row.number)})
            assert row.rise in ([one.value for one in rises] or [None]) or row.rise is None
            seen += 1
        if rows:
            assert len(rows) == LEADING.get(site, 4)
    assert seen >= 12


def expected_rows(view: SiteView, item: str, named: dict[str, Any]) -> list[Any]:
    """The rows of the site's record of an item, of what is named."""
    return [
        row
        for row in view.result.expected
        if row.item == item and {one.symbol: one.value for one in row.of}.items() >= named.items()
    ]


def test_the_heat_of_the_front_is_that_of_the_outlet_tables(made: Joined, figures: dict[str, Any]) -> None:
    """Each cell is a cell of the table of its season; the flow marked worst gives the hottest water of the results."""
    for site, _, facts, card in views(made):
        if card.water is None or site in OFF:
            continue
        assert {row.mark for row in card.water.heat} >= {"mark-worst", "mark-min", "mark-max"}
        for row in card.water.heat:
            for season, cell in (("winter", row.winter), ("summer", row.summer)):
                if cell is not None:
                    assert cell.id.startswith(f"site.{site}.outlet.{season}.stage.")
                    assert cell.value == figures[cell.id]["value"]
        (worst,) = [row for row in card.water.heat if row.mark == "mark-worst"]
        assert worst.summer and facts.hottest
        assert worst.summer.value == pytest.approx(facts.hottest.value, abs=1e-6)


def test_the_head_of_the_page_shows_those_figures(made: Joined, figures: dict[str, Any]) -> None:
    pages = {one.page.id: one.text for one in render_pages(CONTENT, made.book)}
    for site, view, _, _ in views(made):
        head = re.sub(r"<[^>]*>", "", pages[f"sites/{site}/details"].partition("</dl>")[0].replace("\u00a0", " "))
        for feed, name in zip("ab", NAMES.get(site, ["A"]), strict=False):
            words = {key: text.replace("\u00a0", " ") for key, text in circuit_words(figures, site, feed).items()}
            if site == "as-found":
                name, words = "as found", {"device": "40 A", "poles": "2", "conductor": "6 AWG"}
            metal, insulation, method = WIRES.get(site, ("copper", "THWN-2", "Rigid PVC conduit"))
            size = (
                f"{words['device']}, {words['poles']}-pole; conductor {words['conductor']} {metal} {insulation}, "
                f"{method}, terminals {TERMINALS_C.get(site, 60.0):g} °C"
            )
            line = next(line for line in head.splitlines() if line.startswith(f"Circuit {name}"))
            assert (size in line) == (site not in NOT_BUILT), (site, line)
        units: Units = "si" if view.basis.header.family == "iec60364" else "us"
        window = f"site.{site}.window.{LEADING.get(site, 4)}"
        ends = [printed(figures, f"{window}.{end}", units) for end in ("least", "greatest")]
        assert (f"Flow window{ends[0]} to {ends[1]}".replace("\u00a0", " ") in head) == (site not in OFF)
        hottest = printed(figures, f"site.{site}.hottest.{SELECTED.get(site, 4)}", units).replace("\u00a0", " ")
        assert (f"Hottest water{hottest}" in head) == (site != "unfit")
        assert ("above the limit" in head) == (site not in COOL_ENOUGH | {"unfit"})
        assert f"Limit at the tap{printed(figures, f'site.{site}.limit', units)}".replace("\u00a0", " ") in head
        assert view.spec.title in pages[f"sites/{site}/details"]


@pytest.mark.parametrize("kind", ["panel", "heater"])
def test_the_labels_show_those_figures(made: Joined, figures: dict[str, Any], kind: Any) -> None:
    setter, settings = Typesetter(CONTENT / "print", TEMPLATE), made.inputs.settings
    for site, _, _, card in views(made):
        pdf = print_label(
            setter, card, printing_of(CONTENT, made.book), kind=kind, size=getattr(settings, f"{kind}_label")
        )
        text = text_of(pdf)
        assert ("DONOTENERGIZE" in text) == (site in OFF)
        rows = [circuit_words(figures, site, feed) for feed in "ab"[: len(NAMES.get(site, "A"))]]
        if site == "as-found":
            rows = [{"device": "40 A", "poles": "2", "conductor": "6 AWG", "ground": "8 AWG"}]
        for row in rows:
            sizes = f"{row['device']}, {row['poles']}"
            wire = f"wire {row['conductor']}, ground {row['ground']}"
            if kind == "panel":
                assert (squeezed(sizes) in text and squeezed(wire) in text) == (site not in OFF), site
            elif site not in OFF | {"accepted"}:
                assert squeezed(row["device"]) in text, site
        if kind == "panel" and site not in OFF:
            assert squeezed(f"terminals rated {TERMINALS_C.get(site, 60.0):g} °C") in text
        if kind == "heater" and site not in OFF | {"accepted"}:
            assert squeezed(f"limit {printed(figures, f'site.{site}.limit', units_of(site))}") in text

"""The first page of a site holds the results it comes from, by value: tiles, rows, stages, checks, what is on file."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import pytest

from generator.assemble.documents import SiteView
from generator.build import Loaded
from generator.compute.active_notices import site_notices
from generator.model.content.words import Style, Units
from generator.model.figures import Figure, Finding, Sentence, Severity, Value
from generator.render.book.html_tree import Element, parse
from generator.render.check.programs import say
from generator.render.format import show
from generator.render.pages.write import Rendered, render_pages
from tests.finding_texts import speaker
from tests.frozen import ROOT
from tests.print.random_sites import random_views
from tests.styles import SI, US


@dataclass(frozen=True)
class Shown:
    """A site with its first page as a tree, and how it shows figures."""

    view: SiteView
    tree: Element
    style: Style

    def part(self, name: str) -> str:
        """The text of the section that the heading of this id names."""
        sections = self.tree.find_all("section")
        return plain(next(one.text() for one in sections if one.attributes["aria-labelledby"] == name))

    def tiles(self) -> list[str]:
        (tiles,) = [one for one in self.tree.find_all("div") if "tiles" in one.classes]
        return [plain(one.text()) for one in tiles.children if isinstance(one, Element)]

    def rows(self, caption: str) -> list[list[str]]:
        """The cells of the table whose caption begins so."""
        for table in self.tree.find_all("table"):
            if any(one.text().startswith(caption) for one in table.find_all("caption")):
                body = next(table.find_all("tbody"))
                return [[plain(cell.text()) for cell in row.find_all("th", "td")] for row in body.find_all("tr")]
        return []

    def text(self, item: Figure | Value) -> str:
        return plain(show(item, self.style))

    def number(self, item: Figure | Value) -> str:
        return show(item, self.style).split("\u00a0")[0]


def plain(text: str) -> str:
    return text.replace("\u00a0", " ")


@pytest.fixture(scope="module")
def shown(loaded: Loaded) -> list[Shown]:
    random = [
        replace(view, spec=view.spec.model_copy(update={"title": f"Place {number}"}))
        for number, (_, view) in enumerate(random_views(loaded.inputs, 41, 12))
    ]
    views = (*loaded.book.sites, *random)
    notices = dict(loaded.book.notices) | {
        f"sites/{view.spec.id}": speaker().worded(
            site_notices(view.spec, view.heater, view.result, notices=loaded.notices, basis=view.basis)
        )
        for view in views
    }
    codes = {view.spec.id: "CODE" for view in views}
    book = replace(loaded.book, sites=views, notices=notices, card_codes=codes)
    pages = {one.page.id: one.text for one in render_pages(ROOT / "content", book)}
    units: dict[str, Units] = {view.spec.id: "si" if view.basis.header.family == "iec60364" else "us" for view in views}
    return [
        Shown(view, parse(pages[f"sites/{view.spec.id}"]), SI if units[view.spec.id] == "si" else US) for view in views
    ]


def test_the_tiles_show_circuit_torque_flow_and_hottest_water(shown: list[Shown]) -> None:
    for one in shown:
        result, facts = one.view.result, one.view.facts
        circuit, flow, hottest, _ = one.tiles()
        wires = [facts.existing] if facts.circuit_shown == "as found" else list(facts.circuits)
        for wire in wires:
            assert wire is not None
            device, poles, conductor = (one.text(item) for item in (wire.device, wire.poles, wire.conductor))
            assert f"{device} {poles}-pole {conductor}" in circuit, one.view.spec.id
            assert one.text(wire.ground) in circuit
        if wires:
            assert result.torque.value is None or one.text(result.torque) in circuit
        ends = [one.number(end) for end in (one.view.window.least, one.view.window.greatest)]
        assert (" to ".join(ends) in flow) == (not one.view.first_page.stops and not one.view.window.why_empty)
        if not one.view.unfit_supply:
            assert result.hottest_flow and result.hottest_top
            for figure in (result.hottest, result.limit, result.hottest_flow, result.hottest_top):
                assert one.text(figure) in hottest, one.view.spec.id


def test_every_supply_is_named_where_it_is_to_be_off_or_switched_on(shown: list[Shown]) -> None:
    numbers = set()
    for one in shown:
        names = [circuit.name for circuit in one.view.result.circuits]
        if len(names) > 1 and one.view.first_page.feeds:
            words = "Both" if len(names) == 2 else f"All {len(names)}"
            assert f"{words} off and locked before a cover comes off" in one.tiles()[0]
            numbers.add(len(names))
            if not one.view.first_page.stops:
                start = one.part("start")
                assert f"{', '.join(names[:-1])} and {names[-1]} locked off:" in start
                assert f"switch on {', then '.join(names)}," in start
    assert numbers >= {2, 3}


def test_the_wait_names_its_fixture_where_there_are_several(shown: list[Shown]) -> None:
    """The tap that runs slowest waits longest, or never gets hot water: not every tap of the site."""
    seen = set()
    for one in shown:
        fixtures, result = one.view.spec.fixtures, one.view.result
        if result.water and len(fixtures) > 1:
            wait = next(figure for figure in result.water.figures if figure.id.endswith(".water.wait"))
            name = min(fixtures, key=lambda fixture: fixture.flow_m3_s).name
            assert f"{'never' if wait.value is None else one.text(wait)} at the {name}" in one.part("water")
            seen.add(wait.value is None)
    assert seen == {True, False}


def test_the_tiles_show_whom_to_call_and_where_to_shut_off_or_a_line_to_fill(shown: list[Shown]) -> None:
    gaps = set()
    for one in shown:
        spec, tile = one.view.spec, one.tiles()[3]
        feeds = [feed.name for feed in one.view.heater.electrical.feeds]
        stated = (
            spec.contacts.emergency,
            spec.contacts.maintenance,
            spec.supply.panel.label,
            spec.shutoffs.power,
            spec.shutoffs.water,
            *([spec.circuit_numbers.get(name) for name in feeds] if spec.circuit_numbers else [None]),
        )
        assert all(value in tile for value in stated if value)
        assert tile.count("not on file") == sum(value is None for value in stated)
        gaps.add(tile.count("not on file") > 0)
        for note in (*spec.notes, *(rule.clause for rule in spec.local_rules)):
            assert note in plain(one.tree.text())
    assert gaps == {True, False}


def test_each_row_shows_its_flow_the_stages_on_and_both_outlets(shown: list[Shown]) -> None:
    seen = 0
    for one in shown:
        table, off = one.view.result.outlet_by_flow, bool(one.view.first_page.stops)
        own = ("-of-the-flow-window",)
        kept = [
            (head, cells)
            for head, cells in (table.rows if table else ())
            if not off or not all(name.endswith(own) for name in head.symbol.split(", "))
        ]
        rows = one.rows("Outlet by flow")
        assert len(rows) == len(kept)
        for row, (head, (on, winter, summer)) in zip(rows, kept, strict=True):
            assert [row[0], row[2], row[3]] == [one.number(item) for item in (head, on, winter)]
            assert row[4] == ("" if summer.state == "ok" else "▲") + one.number(summer)
            seen += 1
    assert seen > 60


def test_the_stages_show_their_flows_and_the_current_of_their_own_feed(shown: list[Shown]) -> None:
    for one in shown:
        rows = one.rows("Stages at")
        if one.view.first_page.stops:
            assert rows == [] and "leak test" not in one.part("start").lower()
            continue
        used = (one.view.spec.selected_stage if one.view.heater.stage_selector else None) or len(one.view.heater.stages)
        assert len(rows) == used
        several = len(one.view.result.circuits) > 1
        for row, stage in zip(rows, one.view.result.stages, strict=False):
            feed = next(f.name for f in one.view.heater.electrical.feeds if stage.number in f.stages)
            circuit = next(c for c in one.view.result.circuits if c.name == feed)
            flows = [str(stage.number), one.number(stage.closes_at), one.number(stage.opens_at)]
            currents = [one.number(current) for current in circuit.line_currents[stage.number - 1]]
            assert row == [*flows, *([feed] if several else []), *currents], one.view.spec.id


def test_a_stopped_site_shows_neither_window_nor_current(shown: list[Shown]) -> None:
    stopped = [one for one in shown if one.view.first_page.stops]
    assert len(stopped) > 2
    for one in stopped:
        words = plain(one.tree.text())
        assert "STOP" in words and "Do not switch on." in words and "To clear the STOP" in words
        assert "Load" not in one.part("wire") and "Supply in service" not in one.part("wire")
        for stop in one.view.first_page.stops:
            assert plain(say(stop.short, one.style)) in words, stop.id


def test_every_open_check_stands_in_a_line_that_opens_and_the_rest_is_counted(shown: list[Shown]) -> None:
    for one in shown:
        checks = one.part("checks")
        page, result = one.view.first_page, one.view.result
        for found in (*result.findings, *result.measured):
            if found.severity != "ok":
                assert plain(say(found.line, one.style)) in checks, found.id
                assert plain(say(found.short, one.style)) in checks, found.id
        folds = [fold for fold in one.tree.find_all("details") if "check" in fold.classes]
        assert len(folds) == len({f.id for f in (*result.findings, *result.measured) if f.severity != "ok"})
        assert page.passed == sum(found.severity == "ok" for found in result.findings)
        assert f"{page.passed} checks passed" in checks


def test_every_notice_stands_at_the_part_that_it_guards(shown: list[Shown], loaded: Loaded) -> None:
    for one in shown:
        due = site_notices(
            one.view.spec, one.view.heater, one.view.result, notices=loaded.notices, basis=one.view.basis
        )
        sections = {part.attributes["aria-labelledby"]: part for part in one.tree.find_all("section")}
        for active in due:
            brief = active.notice.brief
            assert brief.part
            there = [part.attributes.get("data-notice") for part in sections[brief.part].find_all("div", "p", "li")]
            assert there.count(active.notice.id) == 1, (one.view.spec.id, active.notice.id)


def test_status_and_readings_are_outside_the_code_of_the_page(loaded: Loaded) -> None:
    codes = []
    for measured in (True, False):
        views = tuple(
            view
            if measured
            else replace(view, result=replace(view.result, measured=tuple(map(_unmeasured, view.result.measured))))
            for view in loaded.book.sites
        )
        book = replace(loaded.book, sites=views)
        codes.append({one.page.id: one.code for one in render_pages(ROOT / "content", book) if one.page.kind == "site"})
    assert codes[0] and codes[0] == codes[1]


def _unmeasured(found: Finding) -> Finding:
    return replace(found, line=Sentence("Another line."), short=Sentence("Another text."))


def test_every_figure_with_its_working_stands_on_the_working_page(
    loaded: Loaded, rendered: tuple[Rendered, ...]
) -> None:
    pages = {one.page.id: one.text for one in rendered}
    for view in loaded.book.sites:
        text = pages[f"sites/{view.spec.id}/working"]
        places = set(re.findall(r'<h3 id="([^"]+)">', text))
        found = view.workings
        assert places == {one.id for one in (*found.figures, *found.tables)}
        assert text.count("<main>") == 1 and "Revision code" in text.partition("</main>")[0]


@pytest.mark.parametrize(
    ("severities", "worst"),
    [
        (("ok", "attention", "stop"), "stop"),
        (("stop", "ok"), "stop"),
        (("ok", "attention"), "attention"),
        (("attention",), "attention"),
        (("ok", "ok"), "ok"),
        ((), "ok"),
    ],
)
def test_the_worst_finding_is_the_gravest(loaded: Loaded, severities: tuple[Severity, ...], worst: Severity) -> None:
    view = loaded.book.sites[0]
    one = view.result.findings[0]
    result = replace(view.result, findings=tuple(replace(one, severity=severity) for severity in severities))
    assert replace(view, result=result).worst == worst

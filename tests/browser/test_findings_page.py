"""The page of findings, from disk: every finding stands there, and it filters and sorts by keyboard; without scripts
it is as it was."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from generator.build import Loaded
from generator.model.figures import Finding
from generator.read.content.trades import read_trades
from generator.rules import declared_rules
from tests.frozen import ROOT

pytestmark = pytest.mark.browser
TRADES = read_trades(ROOT / "content", set(declared_rules()))


def asked(loaded: Loaded, *, trade: str | None = None, severity: str | None = None) -> list[Finding]:
    """The findings that ask for something, of one trade or severity, from the results."""
    return [
        one
        for one in loaded.results.findings
        if one.severity != "ok" and trade in (None, TRADES[one.rule]) and severity in (None, one.severity)
    ]


def shown(page: Page) -> list[tuple[str, str, str]]:
    rows = page.locator("ul.filtered > li")
    return rows.evaluate_all("rows => rows.map(({dataset: d}) => [d.severity, d.trade, d.place])")


def test_every_finding_stands_there_with_its_trade(site: Path, page: Page, loaded: Loaded) -> None:
    page.goto((site / "findings.html").as_uri())
    rows = page.locator("li[data-severity]").evaluate_all(
        "rows => rows.map(({dataset: d}) => [d.place, d.severity, d.trade])"
    )
    wanted = [
        ["site." * ("." not in one.subject) + one.subject, one.severity, TRADES[one.rule]] for one in asked(loaded)
    ]
    assert sorted(rows) == sorted(wanted)
    expect(page.locator("p.filtered")).to_have_text(f"{len(wanted)} of {len(wanted)} shown.")


def test_it_filters_by_keyboard_and_says_how_many(site: Path, page: Page, loaded: Loaded) -> None:
    page.goto((site / "findings.html").as_uri())
    page.get_by_label("Trade").focus()
    page.keyboard.type("plumber")
    plumbers = asked(loaded, trade="plumber")
    expect(page.get_by_role("status")).to_have_text(f"{len(plumbers)} of {len(asked(loaded))} shown. plumber")
    page.keyboard.press("Shift+Tab")
    page.keyboard.type("stop")
    stops = asked(loaded, trade="plumber", severity="stop")
    assert 0 < len(stops) < len(plumbers)
    assert [row[:2] for row in shown(page)] == [["stop", "plumber"]] * len(stops)
    expect(page.locator("details.grouped").first).to_be_hidden()
    page.get_by_label("Site or heater").select_option(f"site.{stops[0].subject}")
    assert {place for *_, place in shown(page)} == {f"site.{stops[0].subject}"}
    for label in ("How grave", "Trade", "Site or heater"):
        page.get_by_label(label).select_option("")
    expect(page.locator("ul.filtered")).to_be_hidden()
    expect(page.locator("details.grouped").first).to_be_visible()


def test_it_sorts(site: Path, page: Page, loaded: Loaded) -> None:
    page.goto((site / "findings.html").as_uri())
    page.get_by_label("Order").select_option("severity")
    severities = [severity for severity, *_ in shown(page)]
    stops = len(asked(loaded, severity="stop"))
    assert severities == ["stop"] * stops + ["attention"] * (len(asked(loaded)) - stops)
    page.get_by_label("Order").select_option("trade")
    trades = [trade for _, trade, _ in shown(page)]
    assert [one for place, one in enumerate(trades) if one not in trades[:place]] == [
        one for one in dict.fromkeys(TRADES.values()) if one in trades
    ]
    assert trades == sorted(trades, key=list(dict.fromkeys(TRADES.values())).index)


def test_the_address_may_ask(site: Path, page: Page, loaded: Loaded) -> None:
    page.goto((site / "findings.html").as_uri() + "?severity=stop&trade=electrician&place=nowhere")
    wanted = asked(loaded, trade="electrician", severity="stop")
    assert [row[:2] for row in shown(page)] == [["stop", "electrician"]] * len(wanted)


def test_without_scripts_it_stands_by_site(site: Path, browser: Browser) -> None:
    window = browser.new_context(java_script_enabled=False).new_page()
    window.goto((site / "findings.html").as_uri())
    expect(window.locator("form.filter")).to_be_hidden()
    expect(window.locator("p.filtered")).to_be_hidden()
    expect(window.locator("details.grouped").first).to_be_visible()
    window.context.close()

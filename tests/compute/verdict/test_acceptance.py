"""Which stops an owner can accept, and when an acceptance lapses."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Any

import pytest

from generator.compute.site import compute_site
from generator.compute.verdict.acceptance import JUDGED, with_acceptances
from generator.compute.verdict.off import stays_off
from generator.errors import CannotCompute
from generator.model.figures import Finding, Sentence, Severity, Value
from generator.model.results import SiteResult
from generator.model.site import Acceptance, Site
from tests.compute.test_delivered import inputs

TODAY = datetime.date(2026, 11, 2)
NOTHING = Finding("x.rule", "rule", "stop", "x", Sentence(""), Sentence(""), Sentence(""), "source")


def acceptance(finding: str = "x.hottest-water", **changes: Any) -> Acceptance:
    data = {
        "finding": finding,
        "by": "farm manager",
        "reason": "a mixing valve is on order",
        "date": "2026-11-02",
        "until": "2026-12-15",
        "at": "132 degF",
    }
    return Acceptance.model_validate(data | changes)


def water(fahrenheit: float, severity: Severity = "stop", rule: str = "hottest-water") -> Finding:
    hottest = Value("hottest", (fahrenheit + 459.67) / 1.8, "temperature", "up")
    return replace(NOTHING, id=f"x.{rule}", rule=rule, severity=severity, values=(hottest,))


def judged(found: Finding, entry: Acceptance, today: datetime.date = TODAY) -> Finding:
    return with_acceptances((found,), (entry,), today)[0]


@pytest.mark.parametrize("fahrenheit", [131.2, 132.0])
def test_an_acceptance_holds_at_the_figure_as_it_was_printed(fahrenheit: float) -> None:
    found = judged(water(fahrenheit), acceptance())
    assert found.accepted is not None and not found.lapsed
    assert found.accepted.text == "farm manager, 2026-11-02: a mixing valve is on order; until 2026-12-15"


@pytest.mark.parametrize(
    ("found", "today", "words"),
    [
        (water(132.1), TODAY, "worse than what was accepted"),
        (water(150.0), TODAY, "worse than what was accepted"),
        (replace(water(132.0), values=()), TODAY, "worse than what was accepted"),
        (water(132.0), datetime.date(2026, 12, 16), "has passed"),
    ],
)
def test_an_acceptance_lapses_and_the_stop_is_open_again(found: Finding, today: datetime.date, words: str) -> None:
    lapsed = judged(found, acceptance(), today)
    assert lapsed.accepted is None
    assert words in lapsed.lapsed and "farm manager, 2026-11-02" in lapsed.lapsed
    assert judged(water(132.0), acceptance(), datetime.date(2026, 12, 15)).accepted


def test_of_a_figure_that_must_be_great_less_is_worse() -> None:
    def flow(litres_a_minute: float) -> Finding:
        wanted = Value("wanted", litres_a_minute * 1e-3 / 60.0, "flow")
        return replace(NOTHING, id="x.working-flow", rule="working-flow", values=(wanted,))

    entry = acceptance("x.working-flow", at="1.2 L/min")
    assert judged(flow(1.2), entry).accepted
    assert judged(flow(1.1), entry).lapsed


@pytest.mark.parametrize(
    ("found", "changes", "key", "words"),
    [
        (water(132.0), {"finding": "x.no-such-rule"}, "finding", "is no finding of this site"),
        (water(132.0), {"finding": "x.hotest-water"}, "finding", "x.hottest-water"),
        (water(119.0, "ok"), {}, "finding", "is ok here, and only a stop is accepted"),
        (water(125.0, "attention"), {}, "finding", "is attention here"),
        (water(132.0), {"at": "132 psi"}, "at", "the figure found is a temperature"),
        (water(132.0), {"at": "200 degF"}, "at", "more is accepted than what is found"),
        (water(132.0, rule="static-pressure"), {"finding": "x.static-pressure"}, "finding", "no owner can accept"),
    ],
)
def test_an_acceptance_that_cannot_be_is_refused(found: Finding, changes: Any, key: str, words: str) -> None:
    with pytest.raises(CannotCompute, match=words) as refused:
        judged(found, acceptance(**changes))
    assert refused.value.where == ("accepts", 0, key)


def bunkhouse(*entries: Acceptance, **changes: Any) -> SiteResult:
    site: Site = next(one for one in inputs().sites if one.id == "bunkhouse")
    site = site.model_copy(update={"accepts": entries, **changes})
    return compute_site(site, replace(inputs(), sites=(site,)))


def test_no_electrical_stop_of_a_site_can_be_accepted() -> None:
    """Every rule that the electrical side returns, on both bases: a check of the code is not an owner's to waive."""
    for site in inputs().sites:
        found = compute_site(site, inputs())
        electrical = {one.rule for one in found.findings} & {
            "supply-voltage", "supply-phases", "supply-neutral", "supply-frequency", "circuit-device",
            "element-subdivision", "wiring-method", "terminal-material", "terminal-size", "disconnect", "enclosure",
            "panel-spaces", "panel-demand", "residual-current-protection", "ground-fault-protection", "limiter-marking",
            "existing-device", "existing-conductor", "existing-poles", "existing-ground", "existing-neutral",
        }  # fmt: skip
        assert len(electrical) >= 10
        assert not electrical & set(JUDGED)
    with pytest.raises(CannotCompute, match="no owner can accept 'existing-conductor'"):
        bunkhouse(acceptance("bunkhouse.existing-conductor"))


def test_at_a_site_the_acceptance_leaves_the_other_stops_open_and_lapses_when_the_water_gets_hotter() -> None:
    open_ = bunkhouse()
    hottest = next(one for one in open_.findings if one.rule == "hottest-water")
    figure = next(float(value.value) for value in hottest.found.values if value.symbol == "hottest")
    entry = acceptance("bunkhouse.hottest-water", at=f"{figure - 273.15:.9f} degC")
    accepted = bunkhouse(entry)
    assert hottest in stays_off(open_)
    assert {one.rule for one in stays_off(accepted)} == {one.rule for one in stays_off(open_)} - {"hottest-water"}
    site = next(one for one in inputs().sites if one.id == "bunkhouse")
    inlet = site.water.inlet.model_copy(update={"summer_k": site.water.inlet.summer_k + 2.0})
    worse = bunkhouse(entry, water=site.water.model_copy(update={"inlet": inlet}))
    lapsed = next(one for one in stays_off(worse) if one.rule == "hottest-water")
    assert lapsed.lapsed


def test_every_rule_that_can_be_accepted_shows_its_figure_where_it_says_stop() -> None:
    seen = set()
    for site in inputs().sites:
        for found in compute_site(site, inputs()).findings:
            if found.rule in JUDGED and found.severity == "stop" and found.found.values:
                symbols = {value.symbol for value in found.found.values}
                assert JUDGED[found.rule][0] in symbols, found.id
                seen.add(found.rule)
    assert "hottest-water" in seen

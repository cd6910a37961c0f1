"""Who may decide what of a finding, and when a decision lapses."""

from __future__ import annotations

import datetime
from dataclasses import replace
from typing import Any

import pytest

from generator.compute.site import compute_site
from generator.compute.verdict.built import VOIDING
from generator.compute.verdict.decisions import ACCEPTABLE, HELD, ROUNDING, WAIVABLE, judged_on, with_decisions
from generator.compute.verdict.off import stays_off
from generator.errors import CannotCompute
from generator.model.decision import Decision
from generator.model.figures import Finding, Sentence, Severity, Value
from generator.model.results import Results, SiteResult
from generator.model.site import Site
from generator.rules import declared_rules
from tests.compute.test_delivered import inputs

NOTHING = Finding("x.rule", "rule", "stop", "x", Sentence(""), Sentence(""), Sentence(""), "source")
ACCEPTED = {
    "finding": "x.hottest-water",
    "kind": "accepted",
    "by": "farm manager",
    "why": "a mixing valve is on order",
    "date": "2026-11-02",
    "until": "2026-12-15",
    "at": {"hottest": "132 degF", "limit": "120 degF"},
}
SETTLED = ACCEPTED | {"finding": "x.hardness", "kind": "settled", "case": "hard", "at": {"hardness": "8 gpg"}}
WAIVED = ACCEPTED | {
    "finding": "x.existing-conductor",
    "kind": "waived",
    "at": {"allowed": "40 A", "needed": "50 A"},
    "authority": {"name": "the inspector", "document": "letter 17"},
}


def fahrenheit(degrees: float) -> float:
    return (degrees + 459.67) / 1.8


def water(
    hottest: float = 132.0, limit: float = 120.0, severity: Severity = "stop", rule: str = "hottest-water"
) -> Finding:
    values = (
        Value("hottest", fahrenheit(hottest), "temperature", "up"),
        Value("limit", fahrenheit(limit), "temperature", "down"),
    )
    return replace(NOTHING, id=f"x.{rule}", rule=rule, severity=severity, values=values)


def hard(gpg: float, severity: Severity = "attention", case: str = "hard") -> Finding:
    value = Value("hardness", gpg * 64.79891e-6 / 3.785411784e-3, "concentration", "up")
    return replace(NOTHING, id="x.hardness", rule="hardness", severity=severity, values=(value,), case=case)


def cable(allowed_a: float, needed_a: float) -> Finding:
    values = Value("allowed", allowed_a, "current", "down"), Value("needed", needed_a, "current", "up")
    return replace(NOTHING, id="x.existing-conductor", rule="existing-conductor", values=values)


def judged(found: Finding, entry: dict[str, Any]) -> Finding:
    return with_decisions((found,), (Decision.model_validate(entry),))[0]


@pytest.mark.parametrize("hottest", [131.2, 132.0])
def test_a_decision_holds_at_the_figure_as_it_was_printed(hottest: float) -> None:
    found = judged(water(hottest), ACCEPTED)
    assert found.decided and found.standing == "stop, accepted"
    made = found.decision
    assert made is not None
    assert (made.by, made.date, made.until, made.why) == (
        "farm manager",
        "2026-11-02",
        "2026-12-15",
        "a mixing valve is on order",
    )


@pytest.mark.parametrize(
    ("found", "entry", "lapsed"),
    [
        (water(132.1), ACCEPTED, "worse"),
        (water(150.0), ACCEPTED, "worse"),
        (water(132.0, limit=115.0), ACCEPTED, "worse"),  # the limit fell, the water is what it was
        (replace(water(132.0), values=()), ACCEPTED, "another"),  # not judged
        (replace(water(132.0), case="past"), ACCEPTED | {"case": "by-another"}, "another"),
        (hard(8.5), SETTLED, "worse"),
        (hard(8.0, case="very-hard"), SETTLED, "another"),
        (hard(8.0, "stop"), SETTLED, "worse"),  # an attention that has become a stop
        (cable(38.0, 50.0), WAIVED, "worse"),
        (cable(40.0, 60.0), WAIVED, "worse"),
    ],
)
def test_a_decision_lapses_where_what_is_found_is_worse_or_another(
    found: Finding, entry: dict[str, Any], lapsed: str
) -> None:
    marked = judged(found, entry)
    assert marked.decision is not None and marked.decision.lapsed == lapsed
    assert not marked.decided and marked.standing == f"{found.severity}, lapsed"


@pytest.mark.parametrize(
    ("found", "entry", "standing"),
    [
        (water(132.0, limit=120.5), ACCEPTED, "stop, accepted"),  # better than what was decided, within the rounding
        (hard(8.0), SETTLED, "attention, settled"),
        (hard(7.95), SETTLED, "attention, settled"),
        (cable(40.0, 50.0), WAIVED, "stop, waived"),
    ],
)
def test_a_decision_holds_while_nothing_is_worse(found: Finding, entry: dict[str, Any], standing: str) -> None:
    assert judged(found, entry).standing == standing


def test_only_the_day_that_is_asked_for_makes_a_decision_late() -> None:
    site = compute_site(inputs().sites[0], inputs())
    held = replace(site, findings=(judged(water(132.0), ACCEPTED),))
    results = Results((), (held,))
    assert results.open_stops == ()
    for day, late in (("2026-12-15", ()), ("2026-12-16", ("x.hottest-water",))):
        on_day = judged_on(results, datetime.date.fromisoformat(day))
        assert on_day.open_stops == late
    made = judged_on(results, datetime.date(2030, 1, 1)).findings[0].decision
    assert made is not None and made.lapsed == "late"


def test_of_a_list_the_worst_is_held() -> None:
    rows = tuple({"hardness": value} for found in (hard(7.0), hard(8.5)) for value in found.values)
    found = replace(hard(8.0), values=(), lists={"waters": rows})
    assert judged(found, SETTLED).standing == "attention, lapsed"


@pytest.mark.parametrize(
    ("found", "entry", "key", "words"),
    [
        (
            water(),
            ACCEPTED | {"finding": "x.no-such-rule"},
            "finding",
            "is no finding of this site; write one of x.hot",
        ),
        (
            water(119.0, severity="ok"),
            ACCEPTED,
            "kind",
            "is ok here, and what is accepted is stop; leave the entry out",
        ),
        (water(125.0, severity="attention"), ACCEPTED, "kind", "is attention here.*; kind: settled"),
        (water(), ACCEPTED | {"kind": "settled"}, "", ""),  # an attention that became a stop: lapsed, not refused
        (hard(8.0, "ok"), SETTLED, "kind", "is ok here"),
        (water(), ACCEPTED | {"at": {"hottest": "132 psi", "limit": "120 degF"}}, "at", "hottest, is a temperature"),
        (water(), ACCEPTED | {"at": {"hottest": "200 degF", "limit": "120 degF"}}, "at", "more is accepted than what"),
        (water(), ACCEPTED | {"at": {"hottest": "132 degF", "limit": "100 degF"}}, "at", "more is accepted than what"),
        (water(), ACCEPTED | {"at": {"hottest": "132 degF"}}, "at", "not all held: limit"),
        (water(), ACCEPTED | {"at": ACCEPTED["at"] | {"flow": "1 gpm"}}, "at", "no figure 'flow'"),
        (hard(8.0), SETTLED | {"at": {"hardness": "20 gpg"}}, "at", "more is settled than what"),
        (water(rule="static-pressure"), ACCEPTED | {"finding": "x.static-pressure"}, "finding", "no owner can accept"),
        (
            cable(40.0, 50.0),
            WAIVED | {"kind": "accepted", "authority": None},
            "finding",
            "no owner can accept 'existing",
        ),
        (water(), WAIVED | {"finding": "x.hottest-water", "at": ACCEPTED["at"]}, "finding", "cannot be waived"),
        (
            replace(NOTHING, severity="attention", case="check-valve"),
            SETTLED | {"finding": "x.rule", "at": {}, "case": None},
            "case",
            "the case that was found is not held; case: check-valve",
        ),
        (hard(8.0), SETTLED | {"case": None}, "case", "is not held; case: hard"),
        (
            replace(water(severity="attention"), case="band"),
            ACCEPTED | {"kind": "settled", "case": "band"},
            "finding",
            "no person can settle 'x.hottest-water': only the band",
        ),
    ],
)
def test_a_decision_that_cannot_be_is_refused(found: Finding, entry: dict[str, Any], key: str, words: str) -> None:
    if not key:
        assert judged(found, entry).standing == "stop, lapsed"
        return
    with pytest.raises(CannotCompute, match=words) as refused:
        judged(found, entry)
    assert refused.value.where == ("decisions", 0, key)


def test_an_attention_without_a_figure_is_settled_by_its_case() -> None:
    entry = SETTLED | {"finding": "x.rule", "at": {}, "case": "check-valve"}
    for case, standing in (("check-valve", "attention, settled"), ("between-valves", "attention, lapsed")):
        assert judged(replace(NOTHING, severity="attention", case=case), entry).standing == standing


def bunkhouse(*entries: dict[str, Any], **changes: Any) -> SiteResult:
    site: Site = next(one for one in inputs().sites if one.id == "bunkhouse")
    decisions = tuple(map(Decision.model_validate, entries))
    site = site.model_copy(update={"decisions": decisions, **changes})
    return compute_site(site, replace(inputs(), sites=(site,)))


ELECTRICAL = {
    "supply-voltage", "supply-phases", "supply-neutral", "supply-frequency", "circuit-device", "heater-leads",
    "element-subdivision", "wiring-method", "terminal-material", "terminal-size", "disconnect", "enclosure",
    "panel-spaces", "panel-demand", "residual-current-protection", "ground-fault-protection", "limiter-marking",
    "existing-device", "existing-conductor", "existing-poles", "existing-ground", "existing-neutral",
    "existing-circuits", "voltage-drop", "arc-fault-protection", "agricultural-wiring", "supply-system",
}  # fmt: skip


def test_no_electrical_stop_is_an_owners_to_accept() -> None:
    """Every rule that the electrical side returns, on both bases; what leaves no size to state is nobody's to waive."""
    assert not ELECTRICAL & set(ACCEPTABLE)
    assert set(WAIVABLE) <= ELECTRICAL - set(VOIDING) - {"supply-neutral", "existing-neutral"}
    with pytest.raises(CannotCompute, match="no owner can accept 'existing-conductor'"):
        bunkhouse(ACCEPTED | {"finding": "bunkhouse.existing-conductor", "at": {"allowed": "40 A", "needed": "50 A"}})


def test_at_a_site_a_decision_leaves_the_other_stops_open_and_lapses_when_the_water_gets_hotter() -> None:
    open_ = bunkhouse()
    hottest = next(one for one in open_.findings if one.rule == "hottest-water")
    values = {value.symbol: value for value in hottest.values}
    entry = ACCEPTED | {
        "finding": "bunkhouse.hottest-water",
        "case": hottest.case or None,
        "at": {name: values[name] for name in ("hottest", "limit")},
    }
    accepted = bunkhouse(entry)
    assert hottest in stays_off(open_)
    assert {one.rule for one in stays_off(accepted)} == {one.rule for one in stays_off(open_)} - {"hottest-water"}
    site = next(one for one in inputs().sites if one.id == "bunkhouse")
    inlet = site.water.inlet.model_copy(update={"summer_k": site.water.inlet.summer_k + 2.0})
    worse = bunkhouse(entry, water=site.water.model_copy(update={"inlet": inlet}))
    fixture = site.fixtures[0].model_copy(update={"limit_k": fahrenheit(110.0)})
    stricter = bunkhouse(entry, fixtures=(fixture,))
    for result in (worse, stricter):
        again = next(one for one in stays_off(result) if one.rule == "hottest-water")
        assert again.decision is not None and again.decision.lapsed == "worse"


def test_a_waiver_of_the_authority_clears_the_stop_of_the_cable() -> None:
    entry = WAIVED | {"finding": "bunkhouse.existing-conductor"}
    assert {one.rule for one in stays_off(bunkhouse())} - {one.rule for one in stays_off(bunkhouse(entry))} == {
        "existing-conductor"
    }


def test_what_is_held_is_found_and_rounds_to_the_side_on_which_a_copy_holds() -> None:
    """A figure copied as it was printed is never better than the one found, or to the nearest."""
    seen = set()
    for site in inputs().sites:
        for found in compute_site(site, inputs()).findings:
            for value in found.values:
                worse = HELD.get(found.rule, {}).get(value.symbol)
                if worse is not None:
                    assert value.side in ("nearest", "up" if worse == "above" else "down"), found.id
                    assert value.kind in ROUNDING
                    seen.add((found.rule, value.symbol))
    assert {rule for rule, _ in seen} == set(HELD)
    assert {("hottest-water", "hottest"), ("hottest-water", "limit"), ("existing-conductor", "allowed")} <= seen


def test_what_is_held_is_a_value_of_its_rule() -> None:
    declared = declared_rules()
    for rule, names in HELD.items():
        given = set[str]().union(*declared[rule].cases.values(), *declared[rule].lists.values())
        assert set(names) <= given, rule
    assert {*ACCEPTABLE, *WAIVABLE} <= set(declared)

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
from generator.model.site import MixingValve, Site, Supply, VoltageRange
from generator.model.site_water import WaterSource
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
        Value("hottest", fahrenheit(hottest), "temperature", "at_least"),
        Value("limit", fahrenheit(limit), "temperature", "at_most"),
    )
    return replace(NOTHING, id=f"x.{rule}", rule=rule, severity=severity, values=values)


def hard(gpg: float, severity: Severity = "attention", case: str = "hard") -> Finding:
    value = Value("hardness", gpg * 64.79891e-6 / 3.785411784e-3, "concentration", "at_least")
    return replace(NOTHING, id="x.hardness", rule="hardness", severity=severity, values=(value,), case=case)


def cable(allowed_a: float, needed_a: float) -> Finding:
    values = Value("allowed", allowed_a, "current", "at_most"), Value("needed", needed_a, "current", "at_least")
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


def test_a_finding_that_is_none_names_those_that_can_be_decided() -> None:
    """All that are graver than ok, and nothing to write where none is."""
    graver = [replace(water(), id="x.one"), replace(water(severity="attention"), id="x.two")]
    fine = replace(water(119.0, severity="ok"), id="x.three")
    entry = Decision.model_validate(ACCEPTED | {"finding": "x.four"})
    for found, words in (((*graver, fine), "write one of x.one, x.two"), ((fine,), "leave the entry out: nothing")):
        with pytest.raises(CannotCompute) as refused:
            with_decisions(found, (entry,))
        assert refused.value.expected.startswith(words)


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
        "at": {name: values[name] for name in ("hottest", "top", "supply", "limit")},
    }
    accepted = bunkhouse(entry)
    assert hottest in stays_off(open_)
    assert {one.rule for one in stays_off(accepted)} == {one.rule for one in stays_off(open_)} - {"hottest-water"}
    site = next(one for one in inputs().sites if one.id == "bunkhouse")
    inlet = site.water.inlet.model_copy(update={"summer_k": site.water.inlet.summer_k + 0.2})
    worse = bunkhouse(entry, water=site.water.model_copy(update={"inlet": inlet}))
    fixture = site.fixtures[0].model_copy(update={"limit_k": fahrenheit(110.0)})
    stricter = bunkhouse(entry, fixtures=(fixture,))
    known = {"known_by": "recording of a week", "document": "recorder 2", "date": "2026-09-21"}
    wider = bunkhouse(entry, supply=_supply(site, {"least": "228 V", "greatest": "252.2 V"} | known))
    for result in (worse, stricter, wider):
        again = next(one for one in stays_off(result) if one.rule == "hottest-water")
        assert again.decision is not None and again.decision.lapsed == "worse"


def _supply(site: Site, known: dict[str, str]) -> Supply:
    return site.supply.model_copy(update={"voltage_range": VoltageRange.model_validate(known)})


@pytest.mark.parametrize(("greatest", "lapsed"), [("249 V", None), ("250 V", "worse"), ("246 V", None)])
def test_what_is_settled_of_a_guarded_fixture_lapses_when_the_range_widens(greatest: str, lapsed: str | None) -> None:
    """Settled at a range to 249 V; the mixing valve was checked against the water that such a supply can make."""
    site = next(one for one in inputs().sites if one.id == "bunkhouse")
    valve = {"standard": "ASSE 1016", "type": "thermostatic", "setting": "110 degF"}
    guarded = site.fixtures[0].model_copy(update={"mixing_valve": MixingValve.model_validate(valve)})
    known = {"least": "228 V", "known_by": "recording of a week", "document": "recorder 2", "date": "2026-09-21"}
    at_249 = _supply(site, known | {"greatest": "249 V"})
    found = bunkhouse(fixtures=(guarded,), supply=at_249).findings[0]
    assert (found.rule, found.severity, found.case) == ("hottest-water", "attention", "guarded")
    held = {value.symbol: value for value in found.values if value.symbol in HELD["hottest-water"]}
    assert {"top", "supply"} <= held.keys()
    entry = SETTLED | {"finding": "bunkhouse.hottest-water", "case": "guarded", "at": held}
    now = _supply(site, known | {"greatest": greatest})
    if greatest == "246 V":  # three volts less: what was settled was more than what is found
        with pytest.raises(CannotCompute, match="more is settled than what is found"):
            bunkhouse(entry, fixtures=(guarded,), supply=now)
        return
    (again,) = (one for one in bunkhouse(entry, fixtures=(guarded,), supply=now).findings if one.rule == found.rule)
    assert again.decision is not None and again.decision.lapsed == lapsed


def test_a_waiver_of_another_device_lapses() -> None:
    """A device is worse for being larger or smaller than the one that the authority saw."""
    for device_a, lapsed in ((60.0, None), (60.04, None), (70.0, "worse"), (45.0, "worse")):
        values = (Value("device", device_a, "current"), Value("ceiling", 50.0, "current", "at_most"))
        found = replace(NOTHING, id="x.existing-device", rule="existing-device", values=values)
        entry = WAIVED | {"finding": "x.existing-device", "at": {"device": "60 A", "ceiling": "50 A"}}
        made = judged(found, entry).decision
        assert made is not None and made.lapsed == lapsed


@pytest.mark.parametrize(
    ("rule", "now", "at", "lapsed"),
    [
        ("terminal-size", ("4 AWG", "10 AWG", "6 AWG"), ("4 AWG", "10 AWG", "6 AWG"), None),
        ("terminal-size", ("3 AWG", "10 AWG", "6 AWG"), ("4 AWG", "10 AWG", "6 AWG"), "worse"),
        ("terminal-size", ("2.5 mm2", "4 mm2", "6 mm2"), ("2.5 mm2", "4 mm2", "6 mm2"), None),
        ("existing-poles", (1.0, 2.0), ("1", "2"), None),
        ("existing-poles", (1.0, 3.0), ("1", "2"), "worse"),
        ("panel-spaces", (3.0, 2.0), ("3", "2"), None),
        ("panel-spaces", (5.0, 2.0), ("3", "2"), "worse"),
        ("panel-spaces", (3.0, 1.0), ("3", "2"), "worse"),
        ("residual-current-protection", ("500 mA", "300 mA"), ("500 mA", "300 mA"), None),
        ("residual-current-protection", ("500 mA", "30 mA"), ("500 mA", "300 mA"), "worse"),
    ],
)
def test_a_waiver_holds_sizes_and_counts(
    rule: str, now: tuple[str | float, ...], at: tuple[str, ...], lapsed: str | None
) -> None:
    names = HELD[rule]
    values = (
        Value(name, one, "text" if isinstance(one, str) else "count") for name, one in zip(names, now, strict=True)
    )
    entry = WAIVED | {"finding": f"x.{rule}", "at": dict(zip(names, at, strict=True))}
    made = judged(replace(NOTHING, id=f"x.{rule}", rule=rule, values=tuple(values)), entry).decision
    assert made is not None and made.lapsed == lapsed


def test_a_waiver_of_the_authority_clears_the_stop_of_the_cable() -> None:
    entry = WAIVED | {"finding": "bunkhouse.existing-conductor"}
    assert {one.rule for one in stays_off(bunkhouse())} - {one.rule for one in stays_off(bunkhouse(entry))} == {
        "existing-conductor"
    }


def test_what_is_held_is_found_and_rounds_to_the_side_on_which_a_copy_holds() -> None:
    """A figure copied as it was printed is never better than the one found, or to the nearest."""
    seen = set()
    bunkhouse = next(one for one in inputs().sites if one.id == "bunkhouse")
    shower = bunkhouse.fixtures[0].model_copy(update={"limit_k": fahrenheit(130.0), "at_once": 2})
    source = WaterSource.model_validate({"id": "well", "greatest_flow": "3 gpm"})
    water = bunkhouse.water.model_copy(update={"source": source})
    two = bunkhouse.model_copy(update={"id": "showers", "fixtures": (shower,), "water": water})
    beside = two.model_copy(update={"id": "beside"})
    more = replace(inputs(), sites=(*inputs().sites, two, beside))
    for site in more.sites:
        for found in compute_site(site, more).findings:
            for value in found.values:
                worse = HELD.get(found.rule, {}).get(value.symbol)
                if worse is not None:
                    assert value.bound in ("neither", "at_least" if worse == "above" else "at_most"), found.id
                    assert value.kind in ROUNDING
                    seen.add((found.rule, value.symbol))
    assert {rule for rule, _ in seen} == set(HELD)
    assert {("hottest-water", "hottest"), ("hottest-water", "limit"), ("existing-conductor", "allowed")} <= seen


@pytest.mark.parametrize(("rule", "name"), [(rule, name) for rule, names in HELD.items() for name in names])
def test_each_figure_that_is_held_lapses_the_decision_alone_when_it_is_worse(rule: str, name: str) -> None:
    """Every figure that a decision holds, one at a time: at what was found it holds, a hundredth worse it does not."""
    worse = {"above": (101.0,), "below": (99.0,), "other": (101.0, 99.0)}[HELD[rule][name]]
    entry = SETTLED | {"finding": f"x.{rule}", "case": "c", "at": dict.fromkeys(HELD[rule], "100 A")}
    for now, lapsed in ((100.0, None), *((one, "worse") for one in worse)):
        values = tuple(Value(one, now if one == name else 100.0, "current", "at_most") for one in HELD[rule])
        made = judged(replace(NOTHING, id=f"x.{rule}", rule=rule, severity="attention", case="c", values=values), entry)
        assert made.decision is not None and made.decision.lapsed == lapsed


def test_what_is_held_is_a_value_of_its_rule() -> None:
    declared = declared_rules()
    for rule, names in HELD.items():
        given = set[str]().union(*declared[rule].cases.values(), *declared[rule].lists.values())
        assert set(names) <= given, rule
    assert {*ACCEPTABLE, *WAIVABLE} <= set(declared)

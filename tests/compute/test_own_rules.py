"""Rules of a handbook's own: what they find, what is refused, and that results and card show it."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from generator.build import load, results_of
from generator.compute.compute_all import compute
from generator.compute.own_rules import own_findings
from generator.compute.site import compute_site, judge_site
from generator.compute.verdict.decisions import with_decisions
from generator.errors import CannotCompute, ComputeFaults, InputFaults
from generator.folders import Folders
from generator.model.content.own_rule import OwnRule
from generator.model.content.own_rule import Path as KeyPath
from generator.model.decision import Decision
from generator.model.figures import Figure, Finding
from generator.model.results import SiteResult
from generator.model.state import State
from generator.si import FREEZING_K as ZERO_C_K
from tests.compute.test_delivered import inputs
from tests.frozen import copied

TEXTS = {"line": "Line.", "found": "Found.", "why": "Why it is.", "do": "Do it.", "source": "our committee"}
RULE = {"id": "own", "title": "Own", "trade": "plumber", **TEXTS}


def rule(when: dict[str, Any], **other: Any) -> OwnRule:
    return OwnRule.model_validate({**RULE, "when": when, **other})


@cache
def demo_site() -> SiteResult:
    return compute(inputs()).sites[0]


def at(*figures: Figure) -> SiteResult:
    """A site with these figures too, by ids without the site's, which none of its own ends with."""
    whole = demo_site()
    own = tuple(replace(one, id=f"site.{whole.id}.{one.id}") for one in figures)
    return replace(whole, supply_range=own)


def temperature(id_: str, celsius: float | None, state: State = "ok", **other: Any) -> Figure:
    value = None if celsius is None else celsius + ZERO_C_K
    return Figure(id_, "A temperature", value, "temperature", state=state, **other)


def found(when: dict[str, Any], *figures: Figure, **other: Any) -> Finding:
    (one,) = own_findings(at(*figures), (rule(when, **other),))
    return one


@pytest.mark.parametrize("limit", ["120 degF", "48.8888888888889 degC"])
@pytest.mark.parametrize(("celsius", "case"), [(48.88, "passed"), (48.89, "found"), (20.0, "passed"), (60.0, "found")])
def test_a_limit_is_the_same_in_either_unit(limit: str, celsius: float, case: str) -> None:
    """120 degF is 48.889 degC (by definition of the Fahrenheit scale: 9/5 and 32)."""
    one = found({"figure": "tested", "above": limit}, temperature("tested", celsius))
    assert (one.case, one.severity) == (case, "attention" if case == "found" else "ok")


@pytest.mark.parametrize(
    ("test", "cases"),
    [
        ({"below": "50 degC"}, ["found", "passed", "passed", "passed"]),
        ({"above": "50 degC"}, ["passed", "passed", "found", "found"]),
        ({"between": ["50 degC", "60 degC"]}, ["passed", "found", "found", "passed"]),
    ],
)
def test_each_comparison_at_below_and_above_its_ends(test: dict[str, Any], cases: list[str]) -> None:
    at_each = [found({"figure": "x", **test}, temperature("x", celsius)).case for celsius in (49.9, 50.0, 60.0, 60.1)]
    assert at_each == cases


def test_what_has_no_value_is_not_passed() -> None:
    unknown = temperature("x", None, "stop")
    assert found({"figure": "x", "above": "50 degC"}, unknown).case == "not-known"
    assert found({"figure": "x", "above": "50 degC"}, unknown).severity == "attention"
    assert found({"figure": "x", "above": "50 degC"}, replace(unknown, value=300.0)).case == "not-known"
    assert found({"figure": "x", "missing": "yes"}, unknown).case == "found"
    assert found({"figure": "x", "missing": "yes"}).case == "found"
    assert found({"figure": "x", "above": "50 degC"}).case == "passed"  # a site without the figure is no case of it


def test_all_and_any_take_what_is_not_known_for_neither() -> None:
    hot, cold, unknown = temperature("h", 90.0), temperature("c", 10.0), temperature("u", None, "stop")
    tests = {name: {"figure": name, "above": "50 degC"} for name in "hcu"}

    def case(kind: str, names: str) -> str:
        return found({kind: [tests[name] for name in names]}, hot, cold, unknown).case

    assert [case("all", names) for names in ("hh", "hc", "hu", "cu")] == ["found", "passed", "not-known", "passed"]
    assert [case("any", names) for names in ("cc", "hc", "hu", "cu")] == ["passed", "found", "found", "not-known"]


def test_a_figure_with_a_band_is_taken_at_its_worse_end() -> None:
    banded = temperature("x", 49.0, band=(45.0 + ZERO_C_K, 51.0 + ZERO_C_K))
    assert found({"figure": "x", "above": "50 degC"}, banded).case == "found"
    assert found({"figure": "x", "below": "46 degC"}, banded).case == "found"
    assert found({"figure": "x", "between": ["50 degC", "52 degC"]}, banded).case == "passed"


def test_the_worst_of_several_figures_is_shown() -> None:
    three = (temperature("a.x", 55.0), temperature("b.x", 70.0), temperature("c.x", 20.0))
    above = found({"figure": "*.x", "name": "t", "above": "50 degC"}, *three)
    shown = {one.symbol: round(float(one.value) - ZERO_C_K, 6) for one in above.values}
    assert shown == {"t_limit": 50.0, "t": 70.0}
    below = found({"figure": "x", "name": "t", "below": "60 degC"}, *three)
    assert round(float(below.values[-1].value) - ZERO_C_K, 6) == 20.0
    assert found({"figure": "b.x", "below": "60 degC"}, *three).case == "passed"
    assert found({"figure": "y.x", "above": "0 degC"}, *three).case == "passed"


@pytest.mark.parametrize(
    ("when", "other", "wrong"),
    [
        ({"figure": "x"}, {}, "a figure has one test"),
        ({"figure": "x", "above": "1 gpm", "below": "2 gpm"}, {}, "a figure has one test"),
        ({"figure": "x", "missing": "no"}, {}, "a figure is missing or it is tested otherwise"),
        ({"any": [{"figure": "x", "missing": "yes"}], "above": "1 gpm"}, {}, "any stands with above"),
        ({"any": []}, {}, "at least 1"),
        ({}, {}, "a condition is one of"),
        ({"figure": "x", "between": ["2 gpm", "1 gpm"]}, {}, "the two ends are out of order"),
        ({"figure": "x", "between": ["1 gpm", "2 psi"]}, {}, "the two ends are out of order"),
        ({"figure": "x", "above": "1 furlong"}, {}, "no unit of this handbook"),
        ({"figure": "x", "name": "X y", "above": "1 gpm"}, {}, "is not allowed here"),
        ({"figure": "x", "above": "1 gpm"}, {"found": "It is {y}."}, "no value is called 'y' here"),
        ({"figure": "x", "above": "1 gpm"}, {"why": "It is {1}."}, "a brace holds no name"),
        ({"figure": "x", "above": "1 gpm"}, {"line": "so " * 16}, "the line has 16 words"),
        ({"figure": "x", "above": "1 gpm"}, {"do": "Do it now. " * 10, "severity": "stop"}, "signs with the id"),
        ({"figure": "x", "above": "1 gpm"}, {"severity": "ok"}, "'attention' or 'stop'"),
        ({"all": [{"figure": f, "name": "n", "above": "1 gpm"} for f in "xy"]}, {}, "another figure is called 'n' too"),
    ],
)
def test_a_broken_rule_is_refused(when: dict[str, Any], other: dict[str, Any], wrong: str) -> None:
    with pytest.raises(ValidationError, match=wrong.replace("(", r"\(")):
        rule(when, **other)


@pytest.mark.parametrize(
    ("when", "key", "wrong"),
    [
        ({"figure": "no.such", "above": "1 gpm"}, ("when", "figure"), "no site has a figure 'no.such'"),
        ({"figure": "hottest.*", "above": "1 gpm"}, ("when", "above"), "is a temperature, and this is a flow"),
        ({"figure": "hottest.*", "above": "5 K"}, ("when", "above"), "this is a temperature difference"),
        ({"any": [{"figure": "conductor", "above": "3"}]}, ("when", "any", 0, "above"), "is a text"),
    ],
)
def test_a_figure_or_a_unit_that_is_not_there_is_refused(when: dict[str, Any], key: KeyPath, wrong: str) -> None:
    with pytest.raises(ComputeFaults) as raised:
        compute(replace(inputs(), rules=(rule(when),)))
    ((subject, refusal),) = raised.value.refusals
    assert subject == ("rule", "own")
    assert refusal.where == key
    assert wrong in refusal.wrong


def test_it_is_judged_where_nothing_was_measured_too() -> None:
    """As by `handbook check --format codes`, which makes figures only where something rests on them."""
    given = replace(inputs(), rules=(rule({"figure": "hottest.*", "above": "33 degF"}),), records=())
    site = given.sites[0]
    found = {one.rule: one for one in judge_site(site, given)}
    assert found["own"] == next(one for one in compute_site(site, given).findings if one.rule == "own")
    assert found["own"].severity == "attention"


def test_a_misspelt_figure_is_answered_with_those_that_are_near() -> None:
    with pytest.raises(ComputeFaults) as raised:
        compute(replace(inputs(), rules=(rule({"figure": "inlet.hotest", "above": "60 degF"}),)))
    ((_, refusal),) = raised.value.refusals
    assert "such as water.inlet.hottest" in refusal.expected


STAFF = """\
id: staff-limit
title: Hottest water for staff
severity: stop
trade: plumber
when: {figure: hottest.*, name: hottest, above: 118 degF}
line: "Staff could meet {hottest}."
found: "The hottest water is {hottest}; we allow {hottest_limit}."
why: Staff wash under it all day.
do: Lower the selected stage.
source: our committee
"""


def with_rule(root: Path, text: str = STAFF, name: str = "staff-limit") -> Folders:
    folders = copied(root)
    (folders.data / "rules").mkdir()
    (folders.data / "rules" / f"{name}.yaml").write_text(text, encoding="utf-8")
    return folders


def test_what_it_finds_stands_in_words_in_the_results_and_on_the_card(tmp_path: Path) -> None:
    loaded = load(with_rule(tmp_path))
    finding = results_of(loaded)["findings"]["bunkhouse.staff-limit"]
    assert finding["severity"] == "stop"
    assert finding["found"]["template"] == "The hottest water is {hottest}; we allow {hottest_limit}."
    assert "bunkhouse.staff-limit" in loaded.results.open_stops
    assert "staff-limit" in json.dumps(results_of(loaded)["cards"]["bunkhouse"]["words"])
    assert loaded.book.trades["staff-limit"] == "plumber"


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        (
            "hottest.*",
            "hotest.*",
            "5:16: when.figure: no site has a figure 'hotest.*'",
        ),
        ("118 degF", "118 psi", "5:49: when.above: 'hottest.*' is a temperature"),
        ("118 degF", "118", "5:49: when.above: 'hottest.*' is a temperature"),
        ("trade: plumber", "trade: baker", "4:8: trade: 'baker' is no trade"),
        ("id: staff-limit", "id: staff", "1:5: id: 'staff' is not the file's name"),
        ("{hottest_limit}", "{limit}", "7:8: found: no value is called 'limit' here"),
    ],
)
def test_a_fault_names_its_place(tmp_path: Path, old: str, new: str, place: str) -> None:
    with pytest.raises(InputFaults) as raised:
        load(with_rule(tmp_path, STAFF.replace(old, new)))
    assert f"site_data/rules/staff-limit.yaml:{place}" in str(raised.value)


def test_no_rule_takes_the_name_of_one_of_the_program(tmp_path: Path) -> None:
    text = STAFF.replace("id: staff-limit", "id: hardness")
    with pytest.raises(InputFaults, match="'hardness' is a rule of the program"):
        load(with_rule(tmp_path, text, "hardness"))


def settled(at_c: str) -> Decision:
    entry = {"finding": "x.own", "kind": "settled", "by": "A. Reeve", "why": "Nobody showers there this year."}
    days = {"date": "2026-05-04", "until": "2027-05-04"}
    return Decision.model_validate({**entry, **days, "case": "found", "at": {"t": at_c, "t_limit": "50 degC"}})


def test_a_decision_holds_what_a_rule_of_ones_own_found_and_no_other() -> None:
    when = {"figure": "tested", "name": "t", "above": "50 degC"}
    hot, hotter = (replace(found(when, temperature("tested", celsius)), id="x.own") for celsius in (55.0, 58.0))
    (one,) = with_decisions((hot,), (settled("55 degC"),))
    assert one.decided
    (other,) = with_decisions((hotter,), (settled("55 degC"),))
    assert other.decision is not None
    assert other.decision.lapsed == "worse"


def test_no_owner_accepts_a_stop_of_ones_own_rule() -> None:
    stop = found({"figure": "tested", "above": "50 degC"}, temperature("tested", 55.0), severity="stop")
    accepted = settled("55 degC").model_copy(update={"kind": "accepted", "finding": stop.id, "at": {}})
    with pytest.raises(CannotCompute, match="no owner can accept 'own'"):
        with_decisions((stop,), (accepted,))


def test_a_figure_that_is_not_known_is_named() -> None:
    unknown = temperature("x", None, "stop"), temperature("y", 60.0)
    both = {"all": [{"figure": "x", "above": "50 degC"}, {"figure": "y", "above": "50 degC"}]}
    assert [(value.symbol, value.value) for value in found(both, *unknown).values] == [("figure", "x")]

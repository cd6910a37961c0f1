"""Field work: what a person must go and do for what moved, by content/work.yaml; and the report's length."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

import pytest

from generator.assemble.changes.compare import change_report
from generator.assemble.changes.work import with_work
from generator.build import comparable, load
from generator.errors import InputFaults
from generator.folders import Folders
from generator.model.documents.change_report import ChangeReport, Work
from generator.model.documents.results_file import (
    StoredCard,
    StoredDecision,
    StoredFigure,
    StoredFinding,
    StoredResults,
    StoredSentence,
)
from generator.read.content.work import read_work
from generator.render.changes.terminal import LINES, WIDTH, changes_text
from generator.render.changes.texts import Printed
from tests.changes.project import copy_of_demo, edit
from tests.changes.test_report import results
from tests.frozen import ROOT
from tests.styles import BOTH, WORDS

RULES = read_work(ROOT / "content")
SITE, MODEL = "site_data/sites/shed.yaml", "site_data/models/weir.yaml"
SIZES = {
    "site_data/codes/us/basis.yaml": {"sizes[1]": "10 AWG", "sizes[2]": "8 AWG", "sizes[3]": "6 AWG"},
    "site_data/codes/iec/basis.yaml": {"sizes[1]": "6 mm2"},
}
A, B = "site.shed.circuit.a.", "site.shed.circuit.b."


def text(value: str | None) -> StoredFigure:
    return StoredFigure("Wire", value, "", "text", "nearest", "ok" if value else "stop", "")


def number(value: float | None, kind: str) -> StoredFigure:
    return StoredFigure("Number", value, "", kind, "nearest", "ok" if value else "none", "")


def stop(severity: str = "stop", decision: StoredDecision | None = None, subject: str = "shed") -> StoredFinding:
    line = StoredSentence("Water can burn.", ())
    return StoredFinding("hottest-water", "above", severity, subject, line, decision, line=line)  # type: ignore[arg-type]


def side(code: str, figures: dict[str, StoredFigure], **parts: object) -> StoredResults:
    inputs = {SITE: {"id": "shed", "heater": "weir"}, MODEL: {"id": "weir"}, **SIZES}
    known = {
        "codes": {"card": {"shed": code}},
        "cards": {"shed": StoredCard(tuple(figures), ())},
        "inputs": inputs,
        "figures": figures,
    }
    return results(**(known | parts))


def work_of(old: StoredResults, new: StoredResults) -> tuple[Work, ...]:
    report = change_report(old, new, ("before", "now"), printer=Printed(BOTH))
    return with_work(report, old, new, rules=RULES).work


def moved(old: dict[str, StoredFigure], new: dict[str, StoredFigure], **parts: object) -> list[tuple[str, bool, str]]:
    found = work_of(side("A", old), side("B", new, **parts))
    assert all(one.why and (one.trade or not one.needed) for one in found)
    return [(one.rule, one.needed, one.text.replace("\u00a0", " ")) for one in found]


def test_a_torque_is_tightened_again_at_every_circuit() -> None:
    old = {"site.shed.torque": number(3.39, "torque"), A + "device": number(50.0, "current")}
    old[B + "device"] = number(50.0, "current")
    (work,) = moved(old, old | {"site.shed.torque": number(3.95, "torque")})
    assert work == (
        "torque",
        True,
        "Re-torque every supply terminal, circuits A and B, to 35 lbf in (3.95 N m); it was 30 lbf in (3.39 N m).",
    )


@pytest.mark.parametrize(
    ("was", "now", "rule", "needed"),
    [
        ("10 AWG", "8 AWG", "wire-larger", True),
        ("8 AWG", "10 AWG", "wire-smaller", False),
        ("10 AWG", "6 mm2", "wire-larger", True),  # as large in its own table: not smaller, so someone looks
        ("8 AWG", "7 AWG", "wire-larger", True),  # of a size that no table names nobody knows that it is smaller
    ],
)
def test_a_larger_wire_is_work_and_a_smaller_one_is_none(was: str, now: str, rule: str, needed: bool) -> None:
    old, new = ({A + "conductor": text(one), B + "conductor": text(one)} for one in (was, now))
    (work,) = moved(old, new)
    assert work[:2] == (rule, needed) and "circuits A and B" in work[2], "circuits that are alike are said once"
    assert was in work[2] and now.replace("mm2", "mm²") in work[2]


def test_circuits_that_are_not_alike_are_said_each() -> None:
    old = {A + "conductor": text("10 AWG"), B + "conductor": text("10 AWG")}
    new = {A + "conductor": text("8 AWG"), B + "conductor": text("6 AWG")}
    assert [work[2].partition(":")[0] for work in moved(old, new)] == ["Wire of circuit A", "Wire of circuit B"]


@pytest.mark.parametrize(
    ("id_", "kind", "was", "now", "rules"),
    [
        (A + "device", "current", 50.0, 60.0, ["breaker"]),
        (A + "device", "current", 60.0, 50.0, ["breaker"]),
        (A + "device", "current", 50.0, None, ["circuit-lost"]),
        ("site.shed.limit", "temperature", 322.0, 316.5, ["limit-lower"]),
        ("site.shed.limit", "temperature", 316.5, 322.0, ["limit-higher"]),
        ("site.shed.window.4.least", "flow", 7.5e-5, 8.2e-5, ["min-flow"]),
        ("site.shed.window.4.least", "flow", 8.2e-5, 7.5e-5, ["window-wider"]),
        ("site.shed.window.4.least", "flow", 8.2e-5, None, ["window-lost"]),
        ("site.shed.window.4.least", "flow", None, 8.2e-5, ["min-flow"]),
        ("site.shed.window.4.greatest", "flow", 9.5e-5, 9.0e-5, ["max-flow"]),
        ("site.shed.hottest.4", "temperature", 320.0, 325.0, ["hottest"]),
        ("site.shed.hottest.4.top", "temperature", 320.0, 325.0, ["card"]),
    ],
)
def test_each_move_has_its_own_work(
    id_: str, kind: str, was: float | None, now: float | None, rules: list[str]
) -> None:
    assert [work[0] for work in moved({id_: number(was, kind)}, {id_: number(now, kind)})] == rules


def test_what_no_card_shows_sends_nobody_to_the_water() -> None:
    id_ = "site.shed.window.4.least"
    old, new = ({id_: number(value, "flow")} for value in (7.5e-5, 8.2e-5))
    bare = {"cards": {"shed": StoredCard((), ())}}
    assert work_of(side("A", old, **bare), side("A", new, **bare)) == ()


def test_the_window_of_another_stage_is_set_anew_though_no_figure_moved() -> None:
    ends = {
        f"site.shed.window.{stage}.{end}": number(7.5e-5, "flow") for stage in (3, 4) for end in ("least", "greatest")
    }

    def carded(code: str, *stages: int) -> StoredResults:
        shown = tuple(id_ for id_ in ends if int(id_.split(".")[3]) in stages)
        return side(code, ends, cards={"shed": StoredCard(shown, ())})

    assert [one.rule for one in work_of(carded("A", 4), carded("B", 3))] == ["other-window"]
    assert [one.rule for one in work_of(carded("A", 4), carded("B"))] == ["no-window"]
    assert [one.rule for one in work_of(carded("A", 4), carded("B", 4))] == ["card"]
    stopped = replace(carded("B", 3), findings={"shed.hottest-water": stop()})
    assert [one.rule for one in work_of(carded("A", 4), stopped)] == ["stop"], (
        "nothing is set at a heater that stays off"
    )


def test_a_new_stop_is_locked_off_and_nothing_is_run_there() -> None:
    id_ = "site.shed.window.4.least"
    old, new = ({id_: number(value, "flow")} for value in (7.5e-5, 8.2e-5))
    (work,) = moved(old, new, findings={"shed.hottest-water": stop()})
    assert work == ("stop", True, "Lock off and tag now. Water can burn.")


def test_a_stop_of_the_heater_model_stops_its_sites() -> None:
    (work,) = moved({}, {}, findings={"model.weir.nameplate": stop(subject="model.weir")})
    assert work[0] == "stop"


def test_a_stop_that_a_decision_lifts_is_none() -> None:
    decision = StoredDecision("shed.hottest-water", "accepted", "owner", "x", None, None, "above", (), None, None)
    held = {"findings": {"shed.hottest-water": stop(decision=decision)}}
    assert [work[0] for work in moved({}, {}, **held)] == ["card"]
    lapsed = {"findings": {"shed.hottest-water": stop(decision=replace(decision, lapsed="worse"))}}
    assert [work[0] for work in moved({}, {}, **lapsed)] == ["stop"]


def test_a_site_that_was_stopped_stays_off_or_is_commissioned_first() -> None:
    stopped = {"findings": {"shed.hottest-water": stop()}}
    assert [one.rule for one in work_of(side("A", {}, **stopped), side("B", {}, **stopped))] == ["stays-off"]
    assert work_of(side("A", {}, **stopped), side("A", {}, **stopped)) == ()
    (work,) = work_of(side("A", {}, **stopped), side("A", {}))
    assert work.rule == "cleared" and "Keep it locked off until it is commissioned" in work.text


def test_sites_that_come_and_go() -> None:
    none = side("A", {}, cards={}, codes={"card": {}})
    assert [one.rule for one in work_of(none, side("A", {}))] == ["new-site"]
    assert [one.rule for one in work_of(side("A", {}), none)] == ["gone-site"]


@pytest.mark.parametrize(
    ("file", "key", "rule"),
    [
        (SITE, "heater", "heater"),
        (MODEL, "electrical.leads[2].colour", "leads"),
        (MODEL, "mounting.clearances.above", "clearance"),
        (MODEL, "water.cut_out", "cut-out"),
        (MODEL, "water.working_pressure.greatest", "pressure"),
        (MODEL, "enclosure", "enclosure"),
    ],
)
def test_what_a_person_looks_at_and_no_figure_holds(file: str, key: str, rule: str) -> None:
    old = side("A", {})
    new = side("A", {}, inputs={**old.inputs, file: {**old.inputs[file], key: "another"}})
    (work,) = work_of(old, new)
    assert work.rule == rule and "another" in work.text


def test_a_card_that_moved_for_anything_else_needs_no_work() -> None:
    assert [work[:2] for work in moved({}, {})] == [("card", False)]


def test_the_demo_s_report_of_one_change_fits_thirty_lines(tmp_path: Path) -> None:
    folders = copy_of_demo(tmp_path)
    old = comparable(load(folders))
    stage = "{share: 25 %, closes_at: 1.20 gpm, opens_at: 1.08 gpm}"
    edit(folders, "models/beck-9.yaml", stage, stage.replace("1.20", "1.30").replace("1.08", "1.17"))
    report = reported(folders, old)
    assert {one.site for one in report.work} == {"bunkhouse", "packing-house"}
    lines = list(changes_text(report, WORDS.changes))
    assert len(lines) <= LINES == 30 and max(map(len, lines)) <= WIDTH == 100
    assert lines.index("GO AND DO") < lines.index("EXCHANGE CARDS: site, collect, hang")
    holds_all(lines, report)


UNLIKE = (
    ("handbook.yaml", "limit_temperature: 120 degF", "limit_temperature: 108 degF"),
    ("handbook.yaml", "units: both", "units: us"),
    ("models/beck-9.yaml", "power: 9.6 kW", "power: 9.2 kW"),
    ("models/beck-9.yaml", "torque: 25 lbf in", "torque: 20 lbf in"),
    ("models/beck-9.yaml", "closes_at: 0.40 gpm", "closes_at: 0.45 gpm"),
    ("models/rill-3.yaml", "cut_out: 131 degF", "cut_out: 140 degF"),
    ("models/rill-4m.yaml", "power: 4.4 kW", "power: 5 kW"),
    ("models/tarn-18.yaml", "torque: 35 lbf in", "torque: 40 lbf in"),
    ("sites/packing-house.yaml", "length: 48 ft", "length: 148 ft"),
    ("sites/packing-house.yaml", "summer: 60 degF", "summer: 80 degF"),
    ("sites/packing-house.yaml", "static_pressure: 58 psi", "static_pressure: 30 psi"),
    ("sites/packing-house.yaml", "flow: 1.4 gpm", "flow: 0.9 gpm"),
    ("sites/packing-house.yaml", "limit: 130 degF", "limit: 105 degF"),
)


def test_a_dozen_unlike_changes_fit_their_lines(tmp_path: Path) -> None:
    """30 lines for two sites, one more for each further; what is to be done is all there."""
    folders, works, most = copy_of_demo(tmp_path), set[str](), 0
    old = comparable(load(folders))
    for file, was, now in UNLIKE:
        before = (folders.data / file).read_text(encoding="utf-8")
        edit(folders, file, was, now)
        report = reported(folders, old)
        (folders.data / file).write_text(before, encoding="utf-8")
        lines = list(changes_text(report, WORDS.changes))
        touched = {one.site for one in report.work} | {one.id for one in report.cards}
        assert len(lines) <= 30 + max(0, len(touched) - 2), (file, now, "\n".join(lines))
        assert max(map(len, lines)) <= WIDTH and not report.empty, (file, now)
        holds_all(lines, report)
        works, most = works | {one.rule for one in report.work}, max(most, len(lines))
    assert len(works) > 8 and most > 20, (works, most)


def reported(folders: Folders, old: StoredResults) -> ChangeReport:
    new = comparable(load(folders))
    report = change_report(old, new, ("before", "now"), printer=Printed(BOTH))
    return with_work(report, old, new, rules=RULES)


def holds_all(lines: Iterable[str], report: ChangeReport) -> None:
    """Nothing that must be done is left out, and no card."""
    said = " ".join(" ".join(lines).split())
    for one in report.work:
        assert f"{one.site}: {one.text.replace(chr(160), ' ')}" in said
    for card in report.cards:
        assert f" {card.id} {card.old} {card.new} " in said


def test_work_is_not_shortened_however_much_there_is() -> None:
    report = change_report(side("A", {}), side("B", {}), ("before", "now"), printer=Printed(BOTH))
    many = tuple(Work("shed", f"rule-{n}", True, f"Do number {n}.", "why", "plumber") for n in range(100))
    holds_all(changes_text(replace(report, work=many), WORDS.changes), replace(report, work=many))


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("    when: stop\n", "    when: up\n", "rules[1].when: a finding does not move so; write stop"),
        (
            "    figure: torque\n",
            "",
            "rules[7]: a rule looks at one thing; write one of figure, input, finding and site",
        ),
        ("to {new}; it was {old}.", "to {line}.", "rules[7].text: no value for {line}"),
        ("    site: cleared\n", "    site: better\n", "rules[2].site: "),
    ],
)
def test_a_rule_that_cannot_hold_is_refused_at_its_place(tmp_path: Path, old: str, new: str, told: str) -> None:
    rules = (ROOT / "content" / "work.yaml").read_text(encoding="utf-8")
    assert old in rules
    (tmp_path / "content").mkdir()
    (tmp_path / "content" / "work.yaml").write_text(rules.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(InputFaults) as refused:
        read_work(tmp_path / "content")
    assert told in str(refused.value) and "content/work.yaml:" in str(refused.value)

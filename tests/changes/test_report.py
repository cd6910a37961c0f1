"""What counts as moved, and as a limit crossed, on two results written by hand."""

import datetime
import re
from dataclasses import replace
from typing import Any

import pytest

from generator.assemble.changes.compare import _share, change_report
from generator.model.documents.change_report import ChangeReport, FigureChange
from generator.model.documents.results_file import (
    FORMAT,
    FORMAT_VERSION,
    StoredCard,
    StoredDecision,
    StoredFigure,
    StoredFinding,
    StoredHandbook,
    StoredResults,
    StoredRow,
    StoredSentence,
    StoredTable,
    StoredValue,
)
from generator.render.changes.texts import Printed
from tests.styles import BOTH

FLOW = StoredFigure("Least flow", 6.3e-5, "meter ** 3 / second", "flow", "up", "ok", "the target")
FILE = "site_data/sites/shed.yaml"


def results(**parts: object) -> StoredResults:
    known: dict[str, object] = {
        "format": FORMAT,
        "format_version": FORMAT_VERSION,
        "generator": "1.0",
        "handbook": StoredHandbook("4", datetime.date(2026, 11, 2), "both"),
        "codes": {"card": {}, "page": {}},
        "cards": {},
        "inputs": {FILE: {"id": "shed", "title": "The shed"}},
        "figures": {},
        "findings": {},
        "records": {},
        "decisions": {},
    }
    return StoredResults(**(known | parts))  # type: ignore[arg-type]


def report(old: StoredResults, new: StoredResults) -> ChangeReport:
    return change_report(old, new, ("before", "now"), printer=Printed(BOTH))


def moved(id_: str, old: StoredFigure | None, new: StoredFigure | None, **parts: object) -> FigureChange | None:
    """Return the change of the one figure that is on these sides, or None where the report has none."""
    sides = [results(figures={id_: figure} if figure else {}, **parts) for figure in (old, new)]
    found = report(*sides).figures
    assert len(found) <= 1
    return found[0] if found else None


def test_a_move_too_small_to_be_printed_is_none() -> None:
    """0.999 gpm and 0.9991 gpm are both printed as 1.00 gpm, and as 3.8 L/min."""
    assert moved("site.shed.a", replace(FLOW, value=6.3e-5), replace(FLOW, value=6.3005e-5)) is None


def test_a_move_that_only_the_second_unit_shows_is_one() -> None:
    """1.2150 gpm is 4.599 L/min, 1.2155 gpm is 4.601: both up to 1.22 gpm, but to 4.6 and 4.7 L/min."""
    old, new = (replace(FLOW, value=gpm * 3.785411784e-3 / 60) for gpm in (1.2150, 1.2155))
    change = moved("site.shed.a", old, new)
    assert change is not None
    assert (change.old, change.new) == ("1.22\u00a0gpm (4.6\u00a0L/min)", "1.22\u00a0gpm (4.7\u00a0L/min)")
    assert change.difference == "+0.1\u00a0L/min", "what the cells show, and no unit in which they are alike"


def test_a_figure_tells_old_new_and_difference() -> None:
    hot = StoredFigure("Hottest water", 330.0, "kelvin", "temperature", "up", "ok", "")
    change = moved("site.shed.hottest", hot, replace(hot, value=335.0))
    assert change is not None
    assert (change.old, change.new) == ("135\u00a0°F (56.9\u00a0°C)", "144\u00a0°F (61.9\u00a0°C)")
    assert change.difference == "+9\u00a0°F (+5.0\u00a0K)"
    assert change.crossing == ""


def test_another_reason_for_the_same_number_is_told() -> None:
    change = moved("site.shed.window.1.least", FLOW, replace(FLOW, reason="the limit"))
    assert change is not None
    assert change.old is not None and change.new is not None
    assert change.old.endswith(": the target")
    assert change.new.endswith(": the limit")


DEVICE = StoredFigure("Overcurrent device", 40.0, "ampere", "current", "nearest", "ok", "")
SIZE = StoredFigure("Line conductors", "8 AWG", "", "text", "up", "ok", "")
CLOSED = replace(FLOW, value=None, state="none")


@pytest.mark.parametrize(
    ("id_", "old", "new", "crossing"),
    [
        ("circuit.a.device", DEVICE, replace(DEVICE, value=50.0), "stepped up"),
        ("circuit.a.device", DEVICE, replace(DEVICE, value=30.0), "stepped down"),
        ("circuit.a.load-current", DEVICE, replace(DEVICE, value=50.0), ""),
        ("circuit.a.conductor", SIZE, replace(SIZE, value="6 AWG"), "another size"),
        ("torque", replace(DEVICE, kind="torque"), replace(DEVICE, kind="torque", value=50.0), "stepped up"),
        ("circuit.b.device", None, DEVICE, "new"),
        ("circuit.b.device", DEVICE, None, "gone"),
        ("stage.5.power", None, FLOW, ""),
        ("window.1.least", FLOW, CLOSED, "the flow window closed"),
        ("window.1.least", CLOSED, FLOW, "a flow window opened"),
        ("outlet.winter.stage.1.at.1-mm3-s", FLOW, replace(FLOW, state="above-limit"), "now above limit"),
        ("outlet.winter.stage.1.at.1-mm3-s", replace(FLOW, state="above-limit"), FLOW, "was above limit"),
        (
            "outlet.winter.stage.1.at.1-mm3-s",
            replace(FLOW, state="above-limit"),
            replace(FLOW, state="not-on", value=None),
            "was above limit, now not on",
        ),
    ],
)
def test_limits_crossed(id_: str, old: StoredFigure | None, new: StoredFigure | None, crossing: str) -> None:
    change = moved(f"site.shed.{id_}", old, new)
    assert change is not None
    assert change.crossing == crossing


def test_every_circuit_of_the_demo_has_the_figures_that_are_called_stepped(demo_ids: set[str]) -> None:
    """A renamed figure must not slip out of the list of what is stepped."""
    circuits = {id_.rpartition(".")[0] for id_ in demo_ids if id_.endswith(".load-current")}
    assert circuits
    for circuit in circuits:
        assert {f"{circuit}.{name}" for name in ("device", "poles", "conductor", "ground")} <= demo_ids
    subjects = {".".join(id_.split(".")[:2]) for id_ in circuits}
    assert {f"{subject}.torque" for subject in subjects} <= demo_ids


OF_TORQUE = {
    "site_data/models/tarn-18.yaml": {"id": "tarn-18", "electrical.terminals.torque": "30 lbf in"},
    "site_data/sites/creamery.yaml": {"id": "creamery", "heater": "tarn-18"},
}
TORQUE = StoredFigure("Tightening torque", 35 * 0.1129848290276167, "newton * meter", "torque", "nearest", "ok", "")
TORQUES = {"model.tarn-18.torque": TORQUE, "site.creamery.torque": TORQUE}


def test_a_torque_that_an_older_file_knows_from_its_inputs_alone_has_moved() -> None:
    found = report(results(inputs=OF_TORQUE), results(inputs=OF_TORQUE, figures=TORQUES)).figures
    assert [(one.id, one.old, one.new, one.crossing) for one in found] == [
        (
            id_,
            "30\N{NO-BREAK SPACE}lbf\N{NO-BREAK SPACE}in (3.39\N{NO-BREAK SPACE}N\N{NO-BREAK SPACE}m)",
            new,
            "stepped up",
        )
        for id_, new in ((id_, Printed(BOTH).figure(TORQUE)) for id_ in TORQUES)
    ]


def test_a_torque_that_an_older_file_does_not_know_is_new() -> None:
    """Its words, such as `to the mark`, were no torque."""
    file, texts = next(iter(OF_TORQUE.items()))
    for inputs in ({}, {file: texts | {"electrical.terminals.torque": "to the mark"}}):
        found = report(results(inputs=inputs), results(figures=TORQUES)).figures
        assert [(one.id, one.old, one.crossing) for one in found] == [(id_, None, "new") for id_ in TORQUES]


def test_a_torque_that_did_not_move_is_not_told() -> None:
    same = {id_: replace(TORQUE, value=30 * 0.1129848290276167) for id_ in TORQUES}
    assert report(results(inputs=OF_TORQUE), results(inputs=OF_TORQUE, figures=same)).figures == ()


def test_a_cell_is_named_by_its_place_in_the_table() -> None:
    table = StoredTable(
        "Outlet at the coldest inlet",
        "flow",
        (),
        (StoredValue("Q", 6.3e-5, "", "flow"),),
        (StoredRow(StoredValue("stage", 2.0, "", "count"), ("site.shed.x",)),),
        "",
    )
    hot = StoredFigure("Outlet, stage 2", 330.0, "kelvin", "temperature", "up", "ok", "")
    change = moved("site.shed.x", hot, replace(hot, value=340.0), tables={"t": table})
    assert change is not None
    assert change.name == "Outlet at the coldest inlet: stage 2, flow 1.00\u00a0gpm (3.8\u00a0L/min)"


def finding(severity: str, why: str = "", kind: Any = "accepted", lapsed: Any = None) -> StoredFinding:
    made = StoredDecision("shed.a", kind, None, why, None, None, "", (), None, lapsed) if why else None
    return StoredFinding("a", None, severity, "shed", StoredSentence("", ()), made)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("old", "new"), [(330.0, 329.75), (288.2, 288.6), (288.6, 288.2), (270.0, 273.15), (329.6, 330.1), (330.0, 290.0)]
)
def test_a_difference_agrees_with_its_cells(old: float, new: float) -> None:
    """In each unit it is what the printed numbers differ by, with its sign; a unit in which they do not is left out."""
    hot = StoredFigure("Hottest water", old, "kelvin", "temperature", "up", "ok", "")
    change = moved("site.shed.hottest", hot, replace(hot, value=new))
    assert change is not None and change.old is not None and change.new is not None
    pairs = zip(numbers(change.old), numbers(change.new), strict=True)
    assert numbers(change.difference) == [moved_by for was, now in pairs if (moved_by := round(now - was, 6))]


def numbers(text: str) -> list[float]:
    return [float(one) for one in re.findall(r"[-+]?[0-9.]+", text.replace("\N{MINUS SIGN}", "-"))]


def test_a_finding_that_changed_says_what_is_found_or_was() -> None:
    said = StoredFinding("relief-valve", "open", "ok", "shed", StoredSentence("Nothing.", ()), None)
    wrong = replace(said, severity="attention", line=StoredSentence("At {hot}.", (HOT,)))
    (worse,) = report(results(findings={"a": said}), results(findings={"a": wrong})).findings
    (better,) = report(results(findings={"a": wrong}), results(findings={"a": said})).findings
    assert worse.line == better.line == "At 135\u00a0°F (56.9\u00a0°C).", "a limit that is passed rounds up"


HOT = StoredValue("hot", 330.0, "kelvin", "temperature", "up")


def test_the_codes_that_differ_are_told_and_those_that_do_not_are_not() -> None:
    """Of cards and of pages: one differs, one does not, one is gone and one is new."""
    old, new = {"a": "1", "b": "2", "c": "3"}, {"a": "1", "b": "7", "d": "4"}
    sides = (results(codes={"card": codes, "page": codes}) for codes in (old, new))
    found = report(*sides)
    for kind, changes in (("card", found.cards), ("page", found.pages)):
        told = {(one.kind, one.id, one.old, one.new) for one in changes}
        assert told == {(kind, "b", "2", "7"), (kind, "c", "3", None), (kind, "d", None, "4")}


@pytest.mark.parametrize("without", [{}, {"page": {}}])
def test_no_page_is_told_to_differ_where_one_side_holds_no_codes_of_pages(without: dict[str, dict[str, str]]) -> None:
    pages = {"page": {"a": "1"}}
    for sides in ((without, pages), (pages, without)):
        old, new = (results(codes={"card": {}} | codes) for codes in sides)
        assert report(old, new).pages == ()


def test_another_generator_is_noted_and_the_same_one_is_not() -> None:
    old = results(generator="1.0")
    assert report(old, results(generator="1.0")).notes == ()
    (note,) = report(old, results(generator="1.1")).notes
    assert "1.0" in note and "1.1" in note


@pytest.mark.parametrize(
    ("kind", "was", "now", "share"),
    [
        ("temperature", 300.0, 310.0, 0.1),  # ten kelvin of a hundred, not of what lies above absolute zero
        ("flow", 1e-4, 2e-4, 0.5),
        ("flow", 2e-4, 1e-4, 0.5),
        ("power", 8000.0, 10000.0, 0.2),
    ],
)
def test_how_far_a_figure_of_a_card_moved(kind: str, was: float, now: float, share: float) -> None:
    """By hand: of its larger value, a temperature of 100 K; none where no card shows it."""
    units = {"temperature": "kelvin", "flow": "meter ** 3 / second", "power": "watt"}
    before, after = (replace(FLOW, value=value, unit=units[kind], kind=kind) for value in (was, now))
    change = moved("site.shed.x", before, after, cards={"shed": StoredCard(("site.shed.x",), ())})
    bare = moved("site.shed.x", before, after)
    assert change and change.share == pytest.approx(share)
    assert bare and bare.share == 0.0


def test_of_the_words_of_a_card_those_that_left_and_those_that_came_are_told() -> None:
    then, now = (results(cards={"shed": StoredCard((), words)}) for words in (("stays", "left"), ("came", "stays")))
    (change,) = report(then, now).words
    assert (change.site, change.gone, change.added) == ("shed", ("left",), ("came",))
    assert report(then, then).words == ()


@pytest.mark.parametrize(
    ("was", "now", "share"),
    [
        (2.0, 1.0, 0.5),
        (1.0, 2.0, 0.5),
        (0.0, 0.0, 0.0),
        ("a", "a", 0.0),
        ("a", "b", 1.0),
        (1.0, None, 1.0),
        (None, None, 0.0),
    ],
)
def test_how_far_a_figure_moved_is_a_share_of_its_larger_value(was: Any, now: Any, share: float) -> None:
    assert _share(replace(FLOW, value=was), replace(FLOW, value=now)) == share
    warm = replace(FLOW, kind="temperature")
    assert _share(replace(warm, value=310.0), replace(warm, value=320.0)) == 0.1  # of 100 K

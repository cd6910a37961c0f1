"""What counts as moved, and as a limit crossed, on two results written by hand."""

import datetime
from dataclasses import replace
from typing import Any

import pytest

from generator.assemble.change_report import change_report
from generator.model.changes import ChangeReport, FigureChange
from generator.model.results_file import (
    FORMAT,
    FORMAT_VERSION,
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
from generator.render.change_texts import Printed
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
    assert change.difference == "", "a difference too small to be printed is left out"


def test_a_figure_tells_old_new_and_difference() -> None:
    hot = StoredFigure("Hottest water", 330.0, "kelvin", "temperature", "up", "ok", "")
    change = moved("site.shed.hottest", hot, replace(hot, value=335.0))
    assert change is not None
    assert (change.old, change.new) == ("135\u00a0°F (56.9\u00a0°C)", "144\u00a0°F (61.9\u00a0°C)")
    assert change.difference == "+9\u00a0°F (5.0\u00a0K)"
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
            "was above limit, now not closed",
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
    ("old", "new", "told"),
    [
        (finding("ok"), finding("stop"), ("ok", "stop", True)),
        (finding("stop"), finding("stop", "the owner knows"), ("stop", "stop, accepted", False)),
        (finding("stop", "the owner knows"), finding("attention"), ("stop, accepted", "attention", False)),
        (None, finding("stop"), (None, "stop", True)),
        (finding("attention"), None, ("attention", None, False)),
        (None, finding("ok"), None),
        (finding("ok"), None, None),
        (finding("stop", "a reason"), finding("stop", "a better reason"), None),
        (finding("stop"), finding("stop", "letter 17", "waived"), ("stop", "stop, waived", False)),
        (finding("attention"), finding("attention", "descaled", "settled"), ("attention", "attention, settled", False)),
        (finding("attention", "descaled", "settled"), finding("attention"), ("attention, settled", "attention", True)),
        (finding("stop", "it", lapsed="worse"), finding("stop"), ("stop, lapsed", "stop", False)),
        (
            finding("attention", "descaled", "settled"),
            finding("attention", "descaled", "settled", "worse"),
            ("attention, settled", "attention, lapsed", True),
        ),
    ],
)
def test_findings(old: StoredFinding | None, new: StoredFinding | None, told: tuple[object, ...] | None) -> None:
    sides = [results(findings={"shed.rule": one} if one else {}) for one in (old, new)]
    found = report(*sides).findings
    assert [(one.old, one.new, one.worse) for one in found] == ([told] if told else [])


def test_the_graver_findings_come_first() -> None:
    old = results(findings={"shed.a": finding("stop"), "shed.b": finding("ok")})
    new = results(findings={"shed.a": finding("ok"), "shed.b": finding("attention")})
    assert [one.id for one in report(old, new).findings] == ["shed.b", "shed.a"]


def test_inputs_name_file_key_and_subject() -> None:
    old = results(inputs={FILE: {"id": "shed", "route.length": "10 ft"}, "site_data/handbook.yaml": {"units": "us"}})
    new = results(inputs={FILE: {"id": "shed", "route.length": "12 ft", "route.wet": "yes"}})
    told = [(one.subject, one.file, one.key, one.old, one.new) for one in report(old, new).inputs]
    assert told == [
        ("site.shed", FILE, "route.length", "10 ft", "12 ft"),
        ("site.shed", FILE, "route.wet", None, "yes"),
        ("", "site_data/handbook.yaml", "units", "us", None),
    ]


def test_pages_are_compared_only_where_both_sides_have_them() -> None:
    old = results(codes={"card": {"shed": "A"}, "page": {"index": "A"}})
    assert [one.id for one in report(old, results(codes={"card": {"shed": "A"}, "page": {"index": "B"}})).pages] == [
        "index"
    ]
    assert report(old, results(codes={"card": {"shed": "A"}})).pages == ()


def test_a_stale_card_touches_safety_and_a_page_alone_does_not() -> None:
    old = results(codes={"card": {"shed": "A"}, "page": {"index": "A"}})
    assert not report(old, results(codes={"card": {"shed": "A"}, "page": {"index": "B"}})).touches_safety
    assert report(old, results(codes={"card": {"shed": "B"}, "page": {"index": "A"}})).touches_safety


def test_another_generator_is_told() -> None:
    assert "from generator 1.0, the new ones from 2.0" in report(results(), results(generator="2.0")).notes[0]


def test_a_unit_in_which_the_difference_is_too_small_is_left_out() -> None:
    """0.2 K is less than half a degree Fahrenheit, which is printed without decimals."""
    hot = StoredFigure("Hottest water", 330.0, "kelvin", "temperature", "up", "ok", "")
    change = moved("site.shed.hottest", hot, replace(hot, value=330.2))
    assert change is not None
    assert change.difference == "+0.2\u00a0K"


@pytest.mark.parametrize(
    ("id_", "name"),
    [
        ("site.shed.circuit.b.expected.3", "Overcurrent device, circuit b"),
        ("model.beck-9.circuit.240-v-1-phase.a.device", "Overcurrent device, circuit 240-v-1-phase a"),
        ("site.shed.device", "Overcurrent device"),
    ],
)
def test_a_figure_of_a_circuit_names_it(id_: str, name: str) -> None:
    change = moved(id_, DEVICE, replace(DEVICE, value=60.0))
    assert change is not None
    assert change.name == name

"""What the verbs say of a decision whose last day has passed, and what the report says of one made or lapsed."""

from collections.abc import Callable

import pytest

from generator.build import load
from generator.folders import Folders
from tests.changes.conftest import Said

Handbook = Callable[..., Said]
FULL = ("--format", "markdown")
BY = ("--by", "safety lead", "--why", "yearly review")
SHED = "sites/potting-shed.yaml"
LIMITED = "target: 88 degF, limit: 90 degF}"
ACCEPTED = """
decisions:
  - finding: potting-shed.hottest-water
    kind: accepted
    by: farm manager
    why: the basin is locked until a valve is fitted
    date: 2026-11-02
    until: 2026-12-15
    at: {HELD, supply: 126 V, limit: 90 degF}
"""
LATE = (
    "potting-shed.hottest-water: A decision has lapsed. Its last day has passed. "
    "Accepted by farm manager, 2026-11-02: the basin is locked until a valve is fitted; until 2026-12-15."
)


def edit(folders: Folders, old: str, new: str) -> None:
    path = folders.data / SHED
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new), encoding="utf-8")


@pytest.fixture
def accepted(folders: Folders) -> Folders:
    """The potting shed with a limit that its hottest water passes, which its owner accepts at what is found."""
    edit(folders, "target: 88 degF}", LIMITED)
    site = next(one for one in load(folders).results.sites if one.id == "potting-shed")
    found = next(one for one in site.findings if one.rule == "hottest-water")
    assert found.severity == "stop"
    hot = (one for one in found.values if one.symbol in ("hottest", "top", "top_held"))
    held = ", ".join(f"{one.symbol}: {float(one.value) - 273.15:.9f} degC" for one in hot)
    edit(folders, LIMITED, LIMITED + ACCEPTED.replace("HELD", held))
    return folders


def test_check_and_release_judge_by_the_day_and_say_what_lapsed(handbook: Handbook, accepted: Folders) -> None:
    said = handbook("check", "--on", "2026-12-15")
    assert said.status == 0 and "lapsed" not in said.out + said.err
    said = handbook("check", "--on", "2026-12-16")
    assert said.status == 2
    assert LATE in " ".join(said.out.split())
    assert "STOP  potting-shed: " in said.out and "Stops: 1 at 1 sites." in said.out
    said = handbook("release", *BY, "4", "--on", "2026-12-16")
    assert said.status == 2
    assert LATE in said.err.splitlines() and "not released: 1 findings say stop" in said.err
    assert not (accepted.data / "revisions").exists()
    assert handbook("release", *BY, "4", "--on", "2026-12-15").status == 0


def test_the_report_says_when_a_decision_was_made_lapsed_or_left_out(handbook: Handbook, accepted: Folders) -> None:
    handbook("release", *BY, "4", "--on", "2026-12-15")
    edit(accepted, "summer: 66 degF", "summer: 68 degF")
    assert (
        "| Hottest water | STOP, accepted | STOP, decision lapsed | graver | potting-shed.hottest-water |"
        in handbook("changes", *FULL).out
    )
    text = (accepted.data / SHED).read_text(encoding="utf-8")
    (accepted.data / SHED).write_text(text[: text.index("\ndecisions:")], encoding="utf-8")
    edit(accepted, "summer: 68 degF", "summer: 66 degF")
    assert (
        "| Hottest water | STOP, accepted | STOP | graver | potting-shed.hottest-water |"
        in handbook("changes", *FULL).out
    )


def test_documents_do_not_change_with_the_day(accepted: Folders) -> None:
    """The word for a decision past its last day is the command's alone."""
    late = load(accepted).book.style.words.decisions["late"]
    site = next(one for one in load(accepted).book.sites if one.spec.id == "potting-shed")
    (held,) = site.decided
    assert held.decision is not None and held.decision.until == "2026-12-15" and held.decision.lapsed is None
    assert late not in str(load(accepted).cards)

"""What the verbs say of a decision whose last day has passed, and what the report says of one made or lapsed."""

from collections.abc import Callable

import pytest

from generator.build import Folders, load
from tests.changes.conftest import Said

Handbook = Callable[..., Said]
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
    at: {hottest: HOTTEST, limit: 90 degF}
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
    hottest_k = next(float(one.value) for one in found.values if one.symbol == "hottest")
    edit(folders, LIMITED, LIMITED + ACCEPTED.replace("HOTTEST", f"{hottest_k - 273.15:.9f} degC"))
    return folders


def test_check_and_release_judge_by_the_day_and_say_what_lapsed(handbook: Handbook, accepted: Folders) -> None:
    said = handbook("check", "--on", "2026-12-15")
    assert said.status == 0 and "lapsed" not in said.out + said.err
    said = handbook("check", "--on", "2026-12-16")
    assert said.status == 2
    assert LATE in said.err.splitlines()
    assert "1 findings say stop: potting-shed.hottest-water" in said.err
    said = handbook("release", "4", "--on", "2026-12-16")
    assert said.status == 2
    assert LATE in said.err.splitlines() and "not released: 1 findings say stop" in said.err
    assert not (accepted.data / "revisions").exists()
    assert handbook("release", "4", "--on", "2026-12-15").status == 0


def test_the_report_says_when_a_decision_was_made_lapsed_or_left_out(handbook: Handbook, accepted: Folders) -> None:
    handbook("release", "4", "--on", "2026-12-15")
    edit(accepted, "summer: 66 degF", "summer: 68 degF")
    assert "| potting-shed.hottest-water | stop, accepted | stop, lapsed |" in handbook("changes").out
    text = (accepted.data / SHED).read_text(encoding="utf-8")
    (accepted.data / SHED).write_text(text[: text.index("\ndecisions:")], encoding="utf-8")
    edit(accepted, "summer: 68 degF", "summer: 66 degF")
    assert "| potting-shed.hottest-water | stop, accepted | stop |" in handbook("changes").out


def test_documents_do_not_change_with_the_day(accepted: Folders) -> None:
    """The word for a decision past its last day is the command's alone."""
    late = load(accepted).book.style.words.decisions["late"]
    site = next(one for one in load(accepted).book.sites if one.spec.id == "potting-shed")
    (held,) = site.decided
    assert held.decision is not None and held.decision.until == "2026-12-15" and held.decision.lapsed is None
    assert late not in str(load(accepted).cards)

"""A notice that says too little, or the wrong thing for its signal word, is a fault at its place."""

from pathlib import Path

import pytest

from generator.errors import Fault, InputFaults
from generator.read.content.notices import read_notices

WARNING = """\
title: Electricity
notices:
  - id: live
    signal: warning
    symbol: electricity
    hazard: Terminals are live.
    consequence: Touching them could kill or seriously injure you.
    avoidance:
      - Switch off first.
    appears:
      safety: grouped
    when: always
    source: common practice, no source
    brief: {line: Terminals are live.}
"""
CAUTION = WARNING.replace("warning", "caution").replace("kill or seriously injure you", "cause minor burns")
NOTICE = (
    WARNING.replace("signal: warning", "signal: notice")
    .replace("    symbol: electricity\n", "")
    .replace("could kill or seriously injure you", "ruins the paint")
)


def faults(folder: Path, *texts: str) -> list[Fault]:
    (folder / "notices").mkdir(exist_ok=True)
    for number, text in enumerate(texts):
        (folder / "notices" / f"{number}.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(InputFaults) as caught:
        read_notices(folder)
    return list(caught.value.faults)


@pytest.mark.parametrize("text", [WARNING, CAUTION, NOTICE, WARNING.replace("could kill", "can kill")])
def test_a_sound_notice_is_read(tmp_path: Path, text: str) -> None:
    (tmp_path / "notices").mkdir()
    (tmp_path / "notices" / "0.yaml").write_text(text, encoding="utf-8")
    (notice,) = read_notices(tmp_path)
    assert notice.alert_symbol == (notice.signal != "notice")


@pytest.mark.parametrize(
    ("text", "old", "new", "line", "key", "words"),
    [
        (WARNING, "    hazard: Terminals are live.\n", "", 3, "notices[1].hazard", "missing"),
        (
            WARNING,
            "    consequence: Touching them could kill or seriously injure you.\n",
            "",
            3,
            "notices[1].consequence",
            "missing",
        ),
        (WARNING, "    avoidance:\n      - Switch off first.\n", "", 3, "notices[1].avoidance", "missing"),
        (
            WARNING,
            "    avoidance:\n      - Switch off first.\n",
            "    avoidance: []\n",
            8,
            "notices[1].avoidance",
            "0 items",
        ),
        (
            WARNING,
            "kill or seriously injure you",
            "spoil the finish",
            7,
            "notices[1].consequence",
            "no death or serious injury",
        ),
        (WARNING, "could kill", "will kill", 7, "notices[1].consequence", "says 'will'"),
        (WARNING, "signal: warning", "signal: danger", 7, "notices[1].consequence", "does not say 'will'"),
        (CAUTION, "minor burns", "serious injury", 7, "notices[1].consequence", "minor or moderate"),
        (CAUTION, "cause minor burns", "be unpleasant", 7, "notices[1].consequence", "minor or moderate"),
        (NOTICE, "ruins the paint", "scalds the user", 6, "notices[1].consequence", "speaks of injury ('scalds')"),
        (NOTICE, "Switch off first.", "Avoid injury.", 7, "notices[1].avoidance", "speaks of injury"),
        (
            NOTICE,
            "    signal: notice\n",
            "    signal: notice\n    symbol: general\n",
            5,
            "notices[1].symbol",
            "warning sign",
        ),
        (WARNING, "symbol: electricity", "symbol: skull", 5, "notices[1].symbol", "not a symbol"),
        (
            WARNING,
            "when: always",
            "when: [{fact: raining, because: It rains.}]",
            12,
            "notices[1].when[1].fact",
            "not a fact",
        ),
        (WARNING, "when: always", "when: [{fact: check-valve}]", 12, "notices[1].when[1]", "not told why"),
        (
            WARNING,
            "when: always",
            "when: [{finding: hottest-water, because: Hot.}]",
            12,
            "notices[1].when[1]",
            "no severities",
        ),
        (
            WARNING,
            "when: always",
            "when: [{fact: several-feeds, because: 'Two supplies at {site}.'}]",
            12,
            "notices[1].when[1]",
            "'{site}' has no value here",
        ),
        (WARNING, "safety: grouped", "safety: shouted", 11, "notices[1].appears.safety", "not one of the words"),
    ],
)
def test_each_fault_is_told_at_its_place(
    tmp_path: Path, text: str, old: str, new: str, line: int, key: str, words: str
) -> None:
    assert old in text
    (fault,) = faults(tmp_path, text.replace(old, new))
    assert (fault.line, fault.key.startswith(key)) == (line, True), str(fault)
    assert words in fault.wrong


def test_the_most_severe_notice_stands_first(tmp_path: Path) -> None:
    second = WARNING[WARNING.index("  - id") :].replace("id: live", "id: other")
    (fault,) = faults(tmp_path, CAUTION + second)
    assert (fault.line, fault.key) == (16, "notices[2].signal")


def test_an_id_stands_once_in_all_files(tmp_path: Path) -> None:
    (fault,) = faults(tmp_path, WARNING, NOTICE)
    assert (fault.file, fault.line, fault.key) == (f"{tmp_path.name}/notices/1.yaml", 3, "notices[1].id")

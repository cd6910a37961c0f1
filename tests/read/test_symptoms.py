"""Fault finding that cannot be followed is a fault at its place."""

from pathlib import Path

import pytest

from generator.errors import Fault, InputFaults
from generator.read.content.symptoms import read_symptoms

IN_THE_PANEL = "hands in the panel, whose bars stay live under 'locked-out'"
STATES = """\
safe_states:
  - id: off
    title: Switched off
    steps: [{do: Switch off., expected: off.}]
  - id: panel-dead
    title: Panel dead
    steps: [{do: Lock out the panel., expected: locked.}]
  - id: locked-out
    title: Locked out
    steps: [{do: Lock out., expected: locked.}]
"""
SYMPTOM = """\
id: cold
title: Cold water
order: 1
also: [no heat]
safe_state: off
notices: [scald]
causes:
  - id: screen
    question: Is the screen blocked?
    here: Is the flow below {turns_on}?
    minutes: 3
    effort: hands
    who: anyone
    check: [Look at the screen.]
    compare: [closes-at]
    remedy: [Clean it.]
  - id: element
    question: Is the element open?
    minutes: 3
    effort: cover off
    who: licensed electrician
    safe_state: locked-out
    check: [Measure it.]
    remedy: [Replace it.]
stop: [It trips again.]
"""


def write(folder: Path, symptom: str) -> None:
    (folder / "faults").mkdir(exist_ok=True)
    (folder / "faults" / "_safe_states.yaml").write_text(STATES, encoding="utf-8")
    (folder / "faults" / "cold.yaml").write_text(symptom, encoding="utf-8")


def faults(folder: Path, symptom: str) -> list[Fault]:
    write(folder, symptom)
    with pytest.raises(InputFaults) as caught:
        read_symptoms(folder, {"scald"})
    return list(caught.value.faults)


def test_a_sound_symptom_is_read(tmp_path: Path) -> None:
    write(tmp_path, SYMPTOM)
    book = read_symptoms(tmp_path, {"scald"})
    assert [cause.id for cause in book.symptoms[0].causes] == ["screen", "element"]
    assert book.safe_states["locked-out"].title == "Locked out"


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("id: cold", "id: chilly", 1, "not the file's name"),
        ("safe_state: off", "safe_state: asleep", 5, "no safe state is called 'asleep'"),
        ("safe_state: locked-out", "safe_state: asleep", 22, "no safe state is called 'asleep'"),
        ("notices: [scald]", "notices: [scold]", 6, "no notice is called 'scold'"),
        ("Is the screen blocked?", "The screen is blocked.", 9, "is not a question"),
        ("Is the flow below {turns_on}?", "Is the flow below {turn_on}?", 10, "a place for no figure"),
        ("Is the flow below {turns_on}?", "Is it?", 10, "names no figure"),
        ("Is the screen blocked?", "Is it {turns_on}?", 9, "has a place for a figure"),
        ("who: anyone\n", "who: anyone\n    where: [selector]\n", 14, "is not a fact"),
        ("compare: [closes-at]", "compare: [closes-by]", 15, "not one of the words for this"),
        ("id: element", "id: screen", 17, "stands twice"),
        ("effort: hands", "effort: cover off", 13, "the cover comes off"),
        (
            "minutes: 3\n    effort: hands\n    who: anyone",
            "minutes: 4\n    effort: cover off\n    who: licensed electrician\n    safe_state: locked-out",
            18,
            "less risk or less time",
        ),
        ("who: licensed electrician", "who: anyone", 21, "the cover comes off for 'anyone'"),
        ("    safe_state: locked-out\n", "", 17, "without a safe state"),
        ("[Measure it.]", "[Look at the terminals at the device.]", 23, IN_THE_PANEL),
        ("[Measure it.]", "[Measure to the ground bar.]", 23, IN_THE_PANEL),
        ("[Measure it.]", "[Measure it., Disconnect it at the panel.]", 23, IN_THE_PANEL),
        ("[Replace it.]", "[Tighten the terminals of the panel.]", 24, IN_THE_PANEL),
        ("    remedy: [Clean it.]\n", "", 8, "missing"),
        ("stop: [It trips again.]\n", "", 1, "missing"),
    ],
)
def test_each_fault_is_told_at_its_place(tmp_path: Path, old: str, new: str, line: int, words: str) -> None:
    assert old in SYMPTOM
    (fault,) = faults(tmp_path, SYMPTOM.replace(old, new, 1))
    assert (fault.line, words in fault.wrong) == (line, True), str(fault)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (
            "safe_state: locked-out\n    check: [Measure it.]",
            "safe_state: panel-dead\n    check: [Measure at the bars of the panel.]",
        ),
        ("[Replace it.]", "[Replace it with the panel locked out and proven dead.]"),
        ("[Measure it.]", "[Measure it with the device off.]"),
        ("[Look at the screen.]", "[Read the handles at the panel.]"),
    ],
)
def test_work_in_a_dead_panel_and_a_look_at_its_handles_are_accepted(tmp_path: Path, old: str, new: str) -> None:
    assert old in SYMPTOM
    write(tmp_path, SYMPTOM.replace(old, new, 1))
    assert read_symptoms(tmp_path, {"scald"}).symptoms

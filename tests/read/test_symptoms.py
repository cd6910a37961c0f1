"""Fault finding that cannot be followed is a fault at its place."""

from pathlib import Path

import pytest

from generator.errors import Fault, InputFaults
from generator.read.faults import read_faults

IN_THE_PANEL = "hands in the panel, whose bars stay live under 'locked-out'"
STATES = """\
safe_states:
  - id: off
    title: Switched off
    steps: [Switch off.]
  - id: panel-dead
    title: Panel dead
    steps: [Lock out the panel.]
  - id: locked-out
    title: Locked out
    steps: [Lock out.]
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
    likelihood: likely
    effort: hands
    who: anyone
    check: [Look at the screen.]
    compare: [closes-at]
    remedy: [Clean it.]
  - id: element
    question: Is the element open?
    likelihood: likely
    effort: cover off
    who: licensed electrician
    safe_state: locked-out
    check: [Measure it.]
    remedy: [Replace it.]
stop: [It trips again.]
"""


def write(folder: Path, symptom: str) -> None:
    (folder / "_safe_states.yaml").write_text(STATES, encoding="utf-8")
    (folder / "cold.yaml").write_text(symptom, encoding="utf-8")


def faults(folder: Path, symptom: str) -> list[Fault]:
    write(folder, symptom)
    with pytest.raises(InputFaults) as caught:
        read_faults(folder, {"scald"})
    return list(caught.value.faults)


def test_a_sound_symptom_is_read(tmp_path: Path) -> None:
    write(tmp_path, SYMPTOM)
    book = read_faults(tmp_path, {"scald"})
    assert [cause.id for cause in book.symptoms[0].causes] == ["screen", "element"]
    assert book.safe_states["locked-out"].title == "Locked out"


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("id: cold", "id: chilly", 1, "not the file's name"),
        ("safe_state: off", "safe_state: asleep", 5, "no safe state is called 'asleep'"),
        ("safe_state: locked-out", "safe_state: asleep", 21, "no safe state is called 'asleep'"),
        ("notices: [scald]", "notices: [scold]", 6, "no notice is called 'scold'"),
        ("Is the screen blocked?", "The screen is blocked.", 9, "is not a question"),
        ("compare: [closes-at]", "compare: [closes-by]", 14, "not a figure of a heater"),
        ("id: element", "id: screen", 16, "stands twice"),
        ("likelihood: likely\n    effort: hands", "likelihood: rare\n    effort: tools", 18, "likelier or easier"),
        ("who: licensed electrician", "who: anyone", 20, "the cover comes off for 'anyone'"),
        ("    safe_state: locked-out\n", "", 16, "without a safe state"),
        ("[Measure it.]", "[Look at the terminals at the device.]", 22, IN_THE_PANEL),
        ("[Measure it.]", "[Measure to the ground bar.]", 22, IN_THE_PANEL),
        ("[Measure it.]", "[Measure it., Disconnect it at the panel.]", 22, IN_THE_PANEL),
        ("[Replace it.]", "[Tighten the terminals of the panel.]", 23, IN_THE_PANEL),
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
    assert read_faults(tmp_path, {"scald"}).symptoms

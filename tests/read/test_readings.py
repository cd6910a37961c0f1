"""What is wrong in a file of readings is told with its place: names of others, lines, stages, instruments, days."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from generator.errors import InputFaults
from generator.read.handbook import read_handbook
from tests.frozen import copied

FILE = "packing-house/2026-11-20.yaml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return copied(tmp_path).data


def faults(folder: Path) -> list[str]:
    try:
        read_handbook(folder)
    except InputFaults as error:
        return [str(fault) for fault in error.faults]
    return []


def edit(folder: Path, old: str, new: str) -> int:
    """Replace `old`, which stands once; return its line."""
    path = folder / "readings" / FILE
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def test_the_demo_s_readings_are_read_in_order(folder: Path) -> None:
    records = read_handbook(folder).records
    assert [(one.site, one.date.isoformat()) for one in records] == [
        ("creamery", "2026-04-14"),
        ("packing-house", "2026-11-20"),
        ("potting-shed", "2026-11-18"),
        ("seedling-house", "2025-11-10"),
    ]


@pytest.mark.parametrize(
    ("old", "new", "key", "wrong"),
    [
        ("  - feed: A\n", "  - feed: C\n", "circuits[1].feed", "'C' is not a feed of beck-9"),
        ("stages: 4, volume", "stages: 5, volume", "points[4].stages", "beck-9 has no stage 5"),
        ("{L1-L2: 238.6 V}", "{L1-N: 238.1 V, L1-L2: 238.1 V}", "points[3].volts", "across one pair"),
        ("{L1-L2: 238.6 V}", "{L2-L3: 238.1 V}", "points[3].volts.L2-L3", "this supply has no L2-L3"),
        ("{L1-L2: 240.2 V}", "{L1-N: 240.2 V}", "circuits[1].volts", "not read between the same wires"),
        (
            "{no_load: {L1-L2: 240.2 V}, full_load: {L1-L2: 238.1 V}}",
            "{no_load: {L2-L3: 240.2 V}, full_load: {L2-L3: 238.1 V}}",
            "circuits[1].volts.no_load.L2-L3",
            "this supply has no L2-L3",
        ),
        ("{L1: 39.2 A, L2: 39 A}", "{L1: 39.2 A, L3: 39 A}", "points[4].amps.A.L3", "this supply has no L3"),
        ("outlet: 101.7 degF", "outlet: 101.7", "points[4].outlet", "'101.7' has no unit"),
        ("outlet: 101.7 degF", "outlet: 101.7 delta_degF", "points[4].outlet", "is a temperature difference"),
        ("next_check: 2027-11-20", "next_check: 2026-11-20", "next_check", "not after the visit"),
        ("volume: 1 gal, time: 42.8 s", "volume: 1 gal", "points[4].stages", "the flow is not stated once"),
        ("result: fit for use", "result: fine", "result", "'fine' is not one of the words for this"),
        ("polarity: yes", "polarity: right", "circuits[1].polarity", "neither yes nor no"),
    ],
)
def test_a_slip_is_told_with_its_place(folder: Path, old: str, new: str, key: str, wrong: str) -> None:
    line = edit(folder, old, new)
    (told,) = faults(folder)
    place, _, rest = told.partition(": ")
    assert place.startswith(f"site_data/readings/{FILE}:{line}:")
    assert rest.startswith(key) and wrong in rest


def test_an_instrument_without_accuracy_and_one_that_is_missing_are_told(folder: Path) -> None:
    edit(folder, "within: 0.1 A, share: 1.5 %", "share: 0 %")
    assert any("the accuracy is not stated" in told for told in faults(folder))
    edit(folder, "  watch: ", "  gauge_of_time: ")
    assert any("'gauge_of_time' is no key here" in told for told in faults(folder))


def test_a_reading_without_its_instrument_is_told(folder: Path) -> None:
    path = folder / "readings" / FILE
    lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    path.write_text("".join(line for line in lines if not line.startswith("  clamp:")), encoding="utf-8")
    (told,) = faults(folder)
    assert "points[1].amps: it was read with no clamp" in told


def test_a_folder_of_no_site_and_a_file_of_no_day_are_told(folder: Path) -> None:
    readings = folder / "readings"
    (readings / "packing-house").rename(readings / "packing-hous")
    (told,) = faults(folder)
    assert told.startswith("site_data/readings/packing-hous:1:1: ") and "the nearest is 'packing-house'" in told
    (readings / "packing-hous").rename(readings / "packing-house")
    shutil.copy(readings / FILE, readings / "packing-house" / "november.yaml")
    (told,) = faults(folder)
    assert "'november' is not the day of the visit" in told

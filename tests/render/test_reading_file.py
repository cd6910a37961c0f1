"""A new file of readings: what it asks for is what a reading holds, and what it expects is what was computed."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from generator.build import Loaded
from generator.cli import cli
from generator.errors import HandbookError
from generator.model.readings import Reading
from generator.read.yaml.yaml_file import load_yaml_file
from generator.render.reading_file import reading_text
from tests.frozen import copied

SITES = ("bunkhouse", "creamery", "packing-house", "potting-shed", "seedling-house")


def text(loaded: Loaded, site: str) -> str:
    view = next(one for one in loaded.book.sites if one.spec.id == site)
    code = loaded.book.card_codes[site]
    return reading_text(view.result, view.spec.title, view.heater.title, card=code, style=loaded.book.style)


@pytest.mark.parametrize("site", SITES)
def test_nothing_but_values_is_missing(loaded: Loaded, site: str, tmp_path: Path) -> None:
    path = tmp_path / "2026-11-26.yaml"
    path.write_text(text(loaded, site), encoding="utf-8")
    faults = load_yaml_file(path, Reading, path.name).faults
    assert faults
    assert {fault.wrong for fault in faults} <= {"this has no value", "the flow is not stated once"}


def test_what_is_expected_stands_beside_its_key(loaded: Loaded) -> None:
    lines = [line.strip() for line in text(loaded, "packing-house").splitlines()]
    result = next(one for one in loaded.results.sites if one.id == "packing-house")
    (device,) = (row for row in result.expected if row.item == "device")
    assert device.value is not None and f"device:  # {device.value.value:.0f} A" in lines
    # By hand: 9.6 kW on 240 V is 40 A, of which the nameplate's tolerance lets 36 to 42 A through.
    assert lines.count("L1:  # 36 to 42 A") == 1
    assert f"card: {loaded.book.card_codes['packing-house']}  # the code of the card that hangs there" in lines
    assert "after_last_air:  # 3 min or more" in lines
    assert "circuit.a.conductor: 8 AWG" in lines and "limit: 130 degF" in lines


def test_a_visit_that_is_on_record_is_never_overwritten(tmp_path: Path) -> None:
    folders = copied(tmp_path)
    path = folders.data / "readings" / "packing-house" / "2026-11-20.yaml"
    before = path.read_bytes()
    again = CliRunner().invoke(cli, ["--root", str(tmp_path), "record", "packing-house", "--new", "2026-11-20"])
    assert isinstance(again.exception, HandbookError) and "already" in str(again.exception)
    assert path.read_bytes() == before
    done = CliRunner().invoke(cli, ["--root", str(tmp_path), "record", "packing-house", "--new", "2026-11-21"])
    assert done.exit_code == 0 and path.with_name("2026-11-21.yaml").exists()

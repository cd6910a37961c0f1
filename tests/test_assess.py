"""`handbook check --format codes`: the same verdicts as those that are published, in codes and SI numbers."""

import json
import math
import sys
from pathlib import Path
from typing import Any

import pytest

from generator import cli
from generator.compute.compute_all import compute
from generator.read.handbook import read_handbook
from tests.changes.project import copy_of_demo, edit
from tests.frozen import DATA, DEMO


def codes(root: Path, monkeypatch: pytest.MonkeyPatch, *words: str) -> int:
    monkeypatch.chdir(root)
    monkeypatch.setattr(sys, "argv", ["handbook", "check", "--format", "codes", *words])
    with pytest.raises(SystemExit) as left:
        cli.main()
    return int(left.value.code or 0)


def printed(out: str) -> dict[str, dict[str, Any]]:
    return {line["id"]: line for line in map(json.loads, out.splitlines())}


def test_every_finding_of_every_site_is_the_published_one(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert codes(DEMO, monkeypatch, "--on", "2026-11-20") == 2, "the demo has stops"
    said = capsys.readouterr()
    found = printed(said.out)
    sites = compute(read_handbook(DATA)).sites
    published = {one.id: one for site in sites for one in (*site.findings, *site.measured)}
    assert found.keys() == published.keys()
    for id_, one in published.items():
        numbers = {value.symbol: value.value for value in one.values if value.value not in (math.inf, -math.inf)}
        stated = {symbol: value for symbol, value in found[id_]["values"].items() if value is not None}
        assert (found[id_]["case"], found[id_]["severity"], stated) == (one.case, one.severity, numbers), id_
    open_stops = [one.id for one in published.values() if one.severity == "stop" and not one.decided]
    assert f"{len(open_stops)} findings say stop: {', '.join(open_stops)}" in said.err


def test_one_site_alone(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    assert codes(DEMO, monkeypatch, "seedling-house") == 0
    assert {line["site"] for line in printed(capsys.readouterr().out).values()} == {"seedling-house"}
    assert codes(DEMO, monkeypatch, "seedling-hoose") == 1
    assert "no site has the id seedling-hoose" in capsys.readouterr().err


def test_a_site_that_cannot_be_computed_hides_no_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folders = copy_of_demo(tmp_path, {"rill-3", "rill-4m"}, {"potting-shed", "seedling-house"})
    edit(folders, "sites/potting-shed.yaml", "copper-l, size: 1/2 in, length: 40", "copper-q, size: 1/2 in, length: 40")
    assert codes(tmp_path, monkeypatch) == 1
    said = capsys.readouterr()
    assert {line["site"] for line in printed(said.out).values()} == {"seedling-house"}
    assert "site_data/sites/potting-shed.yaml:" in said.err
    assert "'copper-q' is no pipe material known here" in said.err

"""Results as tables for programs: what is published, in the columns that the page names."""

import json
import math
import re
import sys
from pathlib import Path
from typing import Any

import pytest

from generator import cli
from generator.build import load, results_of
from generator.folders import Folders
from generator.model.figures import Figure
from generator.model.said import say
from generator.render import row_files
from generator.render.result_rows import COLUMNS, figure_rows
from tests.changes.project import copy_of_demo, edit
from tests.finding_texts import speaker
from tests.frozen import ROOT

DAY = "2026-11-20"


def export(folders: Folders, monkeypatch: pytest.MonkeyPatch, *words: str) -> int:
    monkeypatch.chdir(folders.root)
    monkeypatch.setattr(sys, "argv", ["handbook", "export", "--on", DAY, *words])
    with pytest.raises(SystemExit) as left:
        cli.main()
    return int(left.value.code or 0)


def table(folders: Folders, name: str) -> list[dict[str, Any]]:
    lines = (folders.output / "export" / f"{name}.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line) for line in lines]


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Folders:
    folders = copy_of_demo(tmp_path_factory.mktemp("demo"))
    with pytest.MonkeyPatch.context() as patch:
        assert export(folders, patch, "--format", "jsonl") == 0
    return folders


def test_every_figure_is_the_published_one(written: Folders) -> None:
    published = results_of(load(written), working=False)["figures"]
    rows = {row["figure"]: row for row in table(written, "figures")}
    assert rows.keys() == published.keys() and len(rows) == len(table(written, "figures"))
    for id_, one in published.items():
        row = rows[id_]
        assert all(row[key] == one[key] for key in ("kind", "unit", "rounds", "state")), id_
        assert {key: row[key] for key in ("low", "high") if row[key] is not None} == {
            key: bound for key, bound in one.get("band", {}).items() if math.isfinite(bound)
        }
        if isinstance(one["value"], str):
            assert row["value"] is None and (row["text"] == one["value"] or " " not in row["text"]), id_
        else:
            assert (row["value"], row["text"]) == (one["value"], None), id_
        assert id_.startswith(f"{'' if row['subject'].startswith('model.') else 'site.'}{row['subject']}.")


def test_every_finding_and_its_values_are_the_published_ones(written: Folders) -> None:
    loaded = load(written)
    found = {one.id: one for one in loaded.results.findings}
    rows = {row["finding"]: row for row in table(written, "findings")}
    assert rows.keys() == found.keys() and len(rows) == len(table(written, "findings"))
    for id_, one in found.items():
        row = rows[id_]
        assert (row["subject"], row["rule"], row["case"], row["severity"], row["decided"], row["revision"]) == (
            *(one.subject, one.rule, one.case, one.severity, one.decided),
            loaded.inputs.settings.revision,
        )
    stated = {(row["finding"], row["symbol"]): row for row in table(written, "values")}
    wanted = {(one.id, value.symbol): value for one in found.values() for value in one.values}
    assert stated.keys() == wanted.keys()
    for key, value in wanted.items():
        row = stated[key]
        assert (row["kind"], row["rounds"]) == (value.kind, value.side), key
        if isinstance(value.value, float) and math.isfinite(value.value):
            assert row["value"] == value.value and row["text"] is None, key
    assert {row["unit"] for row in stated.values() if row["kind"] == "temperature"} == {"kelvin"}


@pytest.mark.parametrize("name", COLUMNS)
def test_the_columns_are_those_that_the_page_names(written: Folders, name: str) -> None:
    """And each cell is of its type; of every column but those of bounds and texts some cell has a value."""
    page = (ROOT / "content" / "many-sites.md").read_text(encoding="utf-8")
    (part,) = re.findall(rf"^\*\*{name}\*\*:.*?\n\n(.*?)\n\n", page, re.MULTILINE | re.DOTALL)
    named = dict(re.findall(r"^\| `(\w+)` \| (\w+) \|", part, re.MULTILINE))
    types = {"text": str, "number": float, "truth": bool}
    assert [(column, types[kind]) for column, kind in named.items()] == list(COLUMNS[name].items())
    rows = table(written, name)
    for row in rows:
        assert list(row) == list(COLUMNS[name])
        assert all(cell is None or type(cell) is COLUMNS[name][column] for column, cell in row.items()), row
    assert all(any(row[column] is not None for row in rows) for column in named)


def test_a_number_without_a_bound_and_a_text_of_the_handbook_can_be_read() -> None:
    figures = [
        Figure("a", "", math.inf, "flow", band=(-math.inf, math.inf)),
        Figure("c", "", 1.0, "flow", band=(0.5, 2.0)),
        Figure("b", "", say("conductors-pulled", count=3), "text"),
    ]
    endless, bounded, said = figure_rows(figures, "a", "1")
    assert (endless["value"], endless["low"], endless["high"]) == (None, None, None)
    assert (bounded["value"], bounded["low"], bounded["high"]) == (1.0, 0.5, 2.0)
    assert said["text"] == "conductors-pulled" and speaker().worded(figures)[2].value


def test_a_site_named_comes_alone_with_its_heater(written: Folders, monkeypatch: pytest.MonkeyPatch) -> None:
    assert export(written, monkeypatch, "seedling-house", "--format", "jsonl") == 0
    assert {row["subject"] for row in table(written, "figures")} == {"seedling-house", "model.rill-4m"}
    assert export(written, monkeypatch, "seedling-hoose", "--format", "jsonl") == 1


def test_a_site_that_cannot_be_computed_leaves_what_was_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folders = copy_of_demo(tmp_path, {"rill-3", "rill-4m"}, {"potting-shed", "seedling-house"})
    assert export(folders, monkeypatch, "--format", "jsonl") == 0
    files = {path: path.read_bytes() for path in (folders.output / "export").iterdir()}
    edit(folders, "sites/potting-shed.yaml", "copper-l, size: 1/2 in, length: 40", "copper-q, size: 1/2 in, length: 40")
    assert export(folders, monkeypatch, "--format", "jsonl") == 1
    assert "site_data/sites/potting-shed.yaml:" in capsys.readouterr().err
    assert {path: path.read_bytes() for path in (folders.output / "export").iterdir()} == files


def test_where_the_library_is_not_installed_the_refusal_names_what_brings_it(
    written: Folders, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(row_files, "find_spec", lambda name: None)
    assert export(written, monkeypatch, "--format", "parquet") == 1
    assert "pip install pyarrow (the extra 'fleet' of this program), or --format jsonl" in capsys.readouterr().err
    assert not (written.output / "export" / "findings.parquet").exists()

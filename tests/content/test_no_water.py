"""A site without enough pressure is named with its file and key, and every document still comes out and says so."""

import re
import shutil
import sys
from pathlib import Path

import pytest

from generator import cli
from generator.build import load
from generator.folders import Folders
from generator.model.water_results import LEAST_PRESSURE, SUPPLY_LIMIT
from tests.changes.project import copy_of_demo, edit
from tests.frozen import ROOT

SITE = "sites/packing-house.yaml"


def at_pressure(folder: Path, pressure: str) -> Folders:
    """The packing house alone, with this static pressure."""
    folders = copy_of_demo(folder, {"beck-9"}, {"packing-house"})
    stated = re.search(r"static_pressure: .*", (folders.data / SITE).read_text(encoding="utf-8"))
    assert stated is not None
    edit(folders, SITE, stated[0], f"static_pressure: {pressure}")
    return folders


@pytest.fixture
def dry(tmp_path: Path) -> Path:
    """At 1 psi with the heater 4 ft up, which takes 1.7 psi (0.433 psi a foot)."""
    at_pressure(tmp_path, "1 psi")
    (tmp_path / "content").symlink_to(ROOT / "content")
    shutil.copy(ROOT / "mkdocs.yml", tmp_path)
    return tmp_path


def test_nothing_is_promised_beyond_the_flow_that_keeps_the_working_pressure(tmp_path: Path) -> None:
    """Of 27 psi 1.7 psi go to the height and the rest above 25 psi is soon lost to the pipe: the model's least."""
    (view,) = load(at_pressure(tmp_path, "27 psi")).book.sites
    assert view.result.water is not None
    bounds = dict((reason, flow) for flow, reason in view.result.water.bounds.greatest)
    most_m3_s = bounds[LEAST_PRESSURE]
    assert 0.0 < most_m3_s < bounds[SUPPLY_LIMIT]
    for table in (view.result.outlet_winter, view.result.outlet_summer):
        beyond = [cells for head, cells in table.rows if float(head.value) > most_m3_s * 1.0001]
        assert beyond
        assert {(cell.value, cell.state) for cells in beyond for cell in cells} == {(None, "below-working-pressure")}
        assert any(cell.value for _, cells in table.rows for cell in cells)


def test_every_verb_serves_a_site_without_water(
    dry: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(dry)
    for words, status in (
        ("check", 2),
        ("build", 0),
        ("card packing-house", 0),
        ("label packing-house", 0),
        ("print", 0),
    ):
        monkeypatch.setattr(sys, "argv", ["handbook", *words.split()])
        with pytest.raises(SystemExit) as left:
            cli.main()
        said = capsys.readouterr()
        assert int(left.value.code or 0) == status, (words, said)
        assert "Traceback" not in said.out + said.err
        if words == "check":
            assert "[working-flow]" in said.out
    page = (dry / "build/pages/sites/packing-house/details.md").read_text(encoding="utf-8").replace("\u00a0", " ")
    assert "No water flows: the height of the pipework uses up the static pressure of 1.0 psi" in page
    assert re.search(r"correct water\.static.{1,6}pressure and the rise of the runs in sites/packing.house\.yaml", page)
    assert "**No water flows here" in page.partition("\n## Water\n")[2].partition("\n## Findings\n")[0]
    assert 'aria-label="Throttled' not in page

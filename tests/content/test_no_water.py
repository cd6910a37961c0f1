"""A site without enough pressure is named with its file and key, and every document still comes out and says so."""

import re
import shutil
import sys
from pathlib import Path

import pytest

from generator import cli
from tests.changes.project import ROOT, copy_of_demo, edit

SITE = "sites/packing-house.yaml"


@pytest.fixture
def dry(tmp_path: Path) -> Path:
    """The packing house alone, at 1 psi with its heater 4 ft up, which takes 1.7 psi (0.433 psi a foot)."""
    folders = copy_of_demo(tmp_path, {"beck-9"}, {"packing-house"})
    (tmp_path / "content").symlink_to(ROOT / "content")
    shutil.copy(ROOT / "mkdocs.yml", tmp_path)
    stated = re.search(r"static_pressure: .*", (folders.data / SITE).read_text(encoding="utf-8"))
    assert stated is not None
    edit(folders, SITE, stated[0], "static_pressure: 1 psi")
    return tmp_path


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
            assert "packing-house.working-flow" in said.out + said.err
    page = (dry / "build/pages/sites/packing-house.md").read_text(encoding="utf-8").replace("\u00a0", " ")
    assert "No water flows: the height of the pipework uses up the static pressure of 1.0 psi" in page
    assert re.search(r"correct water\.static.{1,6}pressure and the rise of the runs in sites/packing.house\.yaml", page)
    assert "**No water flows here" in page.partition("\n## Water\n")[2].partition("\n## Findings\n")[0]
    assert 'aria-label="Throttled' not in page

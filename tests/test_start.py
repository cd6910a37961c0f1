"""What a command loads, reads and computes before it says or prints anything: counted, for time differs by machine."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest

from generator import build
from generator.build import Loaded, load
from generator.compute import compute_all
from generator.errors import InputFaults
from generator.folders import Folders
from generator.project import project
from tests.frozen import DATA, FOLDERS, ROOT

LOADED = """
import json, sys
from generator import cli
sys.argv = ["handbook", *sys.argv[1:]]
try:
    cli.main()
except SystemExit:
    print(json.dumps(sorted(sys.modules)), file=sys.stderr)
"""


def modules(*words: str) -> set[str]:
    """Return the modules that are loaded at the end of a command."""
    command = [sys.executable, "-c", LOADED, *words]
    run = subprocess.run(command, cwd=ROOT, env=dict(os.environ), capture_output=True, text=True, check=True)
    return set(json.loads(run.stderr))


def test_help_loads_no_stage_and_no_library_but_its_own() -> None:
    bare = subprocess.run(
        [sys.executable, "-c", "import click, json, sys; print(json.dumps(sorted(sys.modules)))"],
        capture_output=True,
        text=True,
        check=True,
    )
    ours = {"generator", "generator.cli", "generator.errors"}
    more = {name for name in modules("--help") - set(json.loads(bare.stdout)) if not name.startswith("click.")}
    assert ours <= more
    assert len(more) <= 20, sorted(more)
    assert not {name for name in more if name.startswith(("generator.", "pydantic", "numpy"))} - ours


def test_a_card_loads_neither_pint_nor_what_makes_pages_and_bars(tmp_path: Path) -> None:
    shutil.copytree(DATA, tmp_path / "site_data")
    found = modules("--root", str(tmp_path), "card", "packing-house")
    assert (tmp_path / "build" / "print" / "packing-house.pdf").exists()
    assert {"typst", "segno", "pydantic", "numpy"} <= found
    parts = {name.split(".")[0] for name in found}
    assert not parts & {"pint", "mkdocs", "markdown", "jinja2", "rich", "xlsxwriter"}
    assert not {name for name in found if name.startswith(("generator.render.site.", "generator.render.book."))}
    assert "numpy.ma" not in found


@pytest.fixture
def computed(monkeypatch: pytest.MonkeyPatch) -> Counter[str]:
    """How many sites and models were computed."""
    counts: Counter[str] = Counter()

    def counted(what: str) -> None:
        function = getattr(compute_all, f"compute_{what}")

        def call(*given: object) -> object:
            counts[what] += 1
            return function(*given)

        monkeypatch.setattr(compute_all, f"compute_{what}", call)

    counted("site")
    counted("model")
    return counts


def test_for_one_card_one_site_and_its_heater_are_computed_and_the_card_is_the_same(
    loaded: Loaded, computed: Counter[str]
) -> None:
    for site, card in loaded.cards.items():
        computed.clear()
        alone = load(FOLDERS, only=(site,))
        assert computed == {"site": 1, "model": 1}
        assert alone.cards == {site: card}
        assert alone.book.card_codes == {site: loaded.book.card_codes[site]}
        assert alone.results.sites == tuple(one for one in loaded.results.sites if one.id == site)


def test_a_card_needs_no_comparison_of_all_that_moved(monkeypatch: pytest.MonkeyPatch) -> None:
    def fails(*_given: object, **_named: object) -> None:
        raise AssertionError

    monkeypatch.setattr(build, "history", fails)
    load(FOLDERS, only=("creamery",))
    with pytest.raises(AssertionError):
        load(FOLDERS)


def with_rule(root: Path, figure: str) -> Folders:
    """A project with a rule of its own about a figure, which creamery alone has of its second circuit."""
    shutil.copytree(DATA, root / "site_data")
    text = (ROOT / "content" / "starter" / "rule.yaml").read_text(encoding="utf-8")
    changed = text.replace("circuit.*.drop-ratio", figure)
    assert changed != text
    (root / "site_data" / "rules").mkdir(exist_ok=True)
    (root / "site_data" / "rules" / "new-rule.yaml").write_text(changed, encoding="utf-8")
    return project(root)


def test_a_rule_that_names_no_figure_of_any_site_is_refused_for_one_card_too(tmp_path: Path) -> None:
    """Left out of the card it would let pass what its writer meant to stop."""
    with pytest.raises(InputFaults, match=r"no site has a figure 'no\.such\.figure'"):
        load(with_rule(tmp_path, "no.such.figure"), only=("potting-shed",))


def test_a_rule_about_a_figure_of_another_site_is_none_of_this_card_s(tmp_path: Path, computed: Counter[str]) -> None:
    alone = load(with_rule(tmp_path, "circuit.b.drop-ratio"), only=("potting-shed",))
    assert [*alone.cards] == [one.id for one in alone.results.sites] == ["potting-shed"]
    assert computed["model"] == 1

"""A handbook of one's own, away from the program: begun, extended, its files laid over those of the program."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
import time
from itertools import count
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from generator.build import load
from generator.cli import cli
from generator.errors import HandbookError, InputFaults
from generator.folders import shipped_root
from generator.model.content.notices import Notice
from generator.model.inputs import Inputs
from generator.project import ORIGINALS, project, replaced
from generator.read.content.notices import read_notices
from generator.read.handbook import read_handbook
from generator.render.files import write_if_changed
from tests.frozen import ROOT

NOTICES, PAGE = "content/notices/2-electricity.yaml", "content/pages/who-to-ask.md.j2"
OWN_NOTICE = """title: Our own
notices:
  - id: our-ladder
    signal: caution
    symbol: general
    hazard: The ladder of the loft is loose.
    consequence: A fall could cause a minor or moderate injury.
    avoidance: [Tie the ladder before you climb it.]
    brief: {part: start, line: Tie the ladder before you climb it.}
    source: common practice, no source
    appears: {safety: grouped, site: section}
    when: always
"""


def handbook(root: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--root", str(root), *words])


def said(result: Result) -> str:
    """What the command prints, on one line however it was broken."""
    return " ".join(result.output.split())


def inputs(root: Path) -> Inputs:
    return read_handbook(project(root).data, project(root).tables)


def notices(root: Path) -> dict[str, Notice]:
    return {notice.id: notice for notice in read_notices(project(root).content, language="en")}


@pytest.fixture
def own(tmp_path: Path) -> Path:
    begun = handbook(tmp_path, "new", "own", "--name", 'Wash "Co": A', "--contact", "the desk: 555-0100")
    assert begun.exit_code == 0, begun.output
    return tmp_path / "own"


def test_a_new_handbook_is_whole_and_says_whose_it_is(own: Path) -> None:
    settings = inputs(own).settings
    assert (settings.publisher, settings.contact) == ('Wash "Co": A', "the desk: 555-0100")
    checked = handbook(own, "check")
    assert checked.exit_code == 0, checked.output
    assert "Stops: 0 at 0 sites" in checked.output
    assert "of your own" not in checked.output
    assert sorted(path.name for path in (own / "site_data").iterdir()) == ["handbook.yaml", "models", "sites"]


def test_example_values_are_told_until_their_summary_is_gone(own: Path) -> None:
    site, model = own / "site_data" / "sites" / "first-site.yaml", own / "site_data" / "models" / "first-heater.yaml"
    left = f"{site.relative_to(own).as_posix()}: example values stand here"
    assert f"site_data/models/first-heater.yaml, {left}" in said(handbook(own, "check"))
    for file in (model, site):
        text = re.sub("^summary: .*$", "summary: A basin.", file.read_text(encoding="utf-8"), flags=re.MULTILINE)
        file.write_text(text, encoding="utf-8")
        assert (left in (told := said(handbook(own, "check")))) is (file == model)
    assert "example values" not in told


def test_what_is_added_reads_at_once_and_takes_the_first_heater(own: Path) -> None:
    for words in (("model", "aaa-4"), ("site", "wash-house", "loft")):
        assert handbook(own, "new", *words).exit_code == 0
    read = inputs(own)
    assert {model.id for model in read.models} == {"first-heater", "aaa-4"}
    assert {site.id: site.heater for site in read.sites} == {
        "first-site": "first-heater",
        "wash-house": "aaa-4",
        "loft": "aaa-4",
    }


@pytest.mark.parametrize(
    ("words", "why"),
    [
        (("new", ".", "--demo"), "holds a handbook already"),
        (("new", "other"), "needs --name"),
        (("new", "site", "first-site"), "stands already"),
        (("new", "site", "Wash House"), "'Wash House' is no id; write up to 64 lower-case letters"),
        (("new", "model"), "no id named"),
        (("new", "file", "content/pages/nothing.md.j2"), "the program brings no file"),
        (("new", "file", "../secret"), "the program brings no file"),
        (("new", "a", "b"), "one folder at a time"),
    ],
)
def test_what_cannot_be_begun_is_refused_and_nothing_is_written(own: Path, words: tuple[str, ...], why: str) -> None:
    before = sorted(own.rglob("*"))
    refused = handbook(own, *words)
    assert isinstance(refused.exception, HandbookError)
    assert why in str(refused.exception)
    assert [path for path in sorted(own.rglob("*")) if ".cache" not in path.parts] == before


def test_a_page_and_a_notice_of_ones_own_join_those_of_the_program(own: Path) -> None:
    (own / "content" / "notices").mkdir(parents=True)
    (own / "content" / "notices" / "6-own.yaml").write_text(OWN_NOTICE, encoding="utf-8")
    assert {"our-ladder", "live-parts"} <= notices(own).keys()
    assert replaced(own) == ()


def test_a_file_of_ones_own_stands_for_the_programs_and_is_told_of(own: Path) -> None:
    assert handbook(own, "new", "file", NOTICES, PAGE).exit_code == 0
    assert replaced(own) == ()  # the copies are still the same
    for path, old, new in (
        (NOTICES, "Touching them will kill or seriously injure you.", "Touching them will kill you."),
        (PAGE, "\n", "\nOur desk is in the yard.\n"),
    ):
        text = (own / path).read_text(encoding="utf-8")
        (own / path).write_text(text.replace(old, new, 1), encoding="utf-8")
    assert notices(own)["live-parts"].consequence == "Touching them will kill you."
    checked = said(handbook(own, "check"))
    assert f"Safety notices of your own: {NOTICES} stands for the program's" in checked
    assert f"Files of your own that stand for the program's: {PAGE}." in checked
    assert "another than when" not in checked


def test_an_original_that_changed_is_told_until_it_was_compared(own: Path) -> None:
    handbook(own, "new", "file", PAGE)
    (own / PAGE).write_text((own / PAGE).read_text(encoding="utf-8") + "\nOur desk.\n", encoding="utf-8")
    (own / ORIGINALS).write_text(json.dumps({PAGE: "0" * 16}), encoding="utf-8")
    assert [(one.path, one.changed) for one in replaced(own)] == [(PAGE, True)]
    assert f"{PAGE}: the program's file is another than when yours was copied" in said(handbook(own, "check"))
    assert "noted as compared" in handbook(own, "new", "file", PAGE).output
    assert [one.changed for one in replaced(own)] == [False]
    (own / ORIGINALS).unlink()
    assert [one.changed for one in replaced(own)] == [None]
    (own / ORIGINALS).write_text("[", encoding="utf-8")
    with pytest.raises(InputFaults, match="not what the program wrote"):
        replaced(own)


def test_notices_that_are_left_out_are_named(own: Path) -> None:
    handbook(own, "new", "file", NOTICES)
    text = (own / NOTICES).read_text(encoding="utf-8")
    (own / NOTICES).write_text(text.replace("id: live-parts", "id: live-bits"), encoding="utf-8")
    (one,) = replaced(own)
    assert one.lost == ("live-parts",)


def test_a_table_of_ones_own_is_read(own: Path) -> None:
    usual = "site_data/usual.yaml"
    handbook(own, "new", "file", usual)
    (own / usual).write_text("nothing: here\n", encoding="utf-8")
    with pytest.raises(InputFaults, match=r"^site_data/usual\.yaml:"):
        inputs(own)


def test_a_file_that_is_no_yaml_hides_no_refusal_of_another(own: Path) -> None:
    sites = own / "site_data" / "sites"
    text = (sites / "first-site.yaml").read_text(encoding="utf-8")
    wrong = text.replace("material: copper-l", "material: copper-x", 1)
    (sites / "first-site.yaml").write_text(wrong, encoding="utf-8")
    (sites / "loft.yaml").write_text("id: [loft\n", encoding="utf-8")
    told = str(handbook(own, "check").exception)
    assert re.search(r"^site_data/sites/loft\.yaml:1:5: ", told, re.MULTILINE)
    assert re.search(r"^site_data/sites/first-site\.yaml:\d+:\d+: water\.cold_run\[1\]\.material: ", told, re.MULTILINE)


def test_no_link_out_of_a_project_is_followed(own: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.svg").write_text("<svg/>", encoding="utf-8")
    (own / "content" / "assets").mkdir(parents=True)
    (own / "content" / "assets" / "own.svg").symlink_to(tmp_path / "secret.svg")
    with pytest.raises(InputFaults, match=r"content/assets/own\.svg.*leads out of the project"):
        project(own)


def test_a_folder_without_a_handbook_says_what_to_do(tmp_path: Path) -> None:
    refused = handbook(tmp_path, "check")
    assert "there is no handbook in this folder" in str(refused.exception)
    assert "--root" in str(refused.exception)
    assert "handbook new FOLDER" in str(refused.exception)


def test_the_demo_begins_whole(tmp_path: Path) -> None:
    assert handbook(tmp_path, "new", "demo", "--demo").exit_code == 0
    assert {"rill-3", "beck-9"} <= {model.id for model in inputs(tmp_path / "demo").models}
    assert not (tmp_path / "demo" / "site_data" / "codes").exists()


def test_what_a_project_takes_away_goes_from_the_whole(own: Path) -> None:
    page = own / "content" / "pages" / "ours.md.j2"
    page.parent.mkdir(parents=True)
    page.write_text("{# title: Ours; order: 900; audience: all #}\n# Ours\n", encoding="utf-8")
    assert (project(own).content / "pages" / "ours.md.j2").is_file()
    shutil.rmtree(own / "content")
    assert not (project(own).content / "pages" / "ours.md.j2").exists()


LAY_OUT = """
import sys
from pathlib import Path
from generator.project import project
for _ in range(12):
    project(Path(sys.argv[1]))
"""


def test_many_runs_at_once_lay_out_the_same_files(own: Path) -> None:
    """While a writer saves a page of her own again and again."""
    command = [sys.executable, "-c", LAY_OUT, str(own)]
    runs = [subprocess.Popen(command, cwd=ROOT, stderr=subprocess.PIPE, text=True) for _ in range(4)]
    page = own / "content" / "pages" / "mine.md.j2"
    for turn in count():
        write_if_changed(page, f"{{# title: Mine; order: {turn} #}}\n".encode())
        time.sleep(0.02)
        if all(run.poll() is not None for run in runs):
            break
    assert [run.communicate()[1] for run in runs] == [""] * 4
    laid, shipped = project(own).content, shipped_root() / "content"
    names = {path.relative_to(laid) for path in laid.rglob("*") if path.is_file()} - {page.relative_to(own / "content")}
    assert names and all((laid / name).read_bytes() == (shipped / name).read_bytes() for name in names)


def test_a_rule_that_is_begun_is_judged_at_every_site(own: Path) -> None:
    assert handbook(own, "new", "rule", "long-run").exit_code == 0
    loaded = load(project(own))
    judged = {one.subject: one.title for one in loaded.results.findings if one.rule == "long-run"}
    assert judged == {site.id: "Long run" for site in loaded.inputs.sites}

"""`handbook changes`: what may stand on either side, what is said, and the exit status."""

import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.build import load, results_of
from generator.folders import Folders
from generator.model.documents.results_file import FORMAT_VERSION
from generator.render.json_file import results_bytes
from generator.render.pages.write import render_pages
from tests.changes.conftest import Said
from tests.changes.project import copy_of_demo, edit
from tests.frozen import ROOT

Handbook = Callable[..., Said]
FULL = ("--format", "markdown")
SHED = "sites/potting-shed.yaml"
LONGER = ("length: 35 ft", "length: 175 ft")
WORDING = ("spaces: 4", "spaces: 5")


def stored(folders: Folders, name: str = "before.json", **changes: object) -> Path:
    """Write the project's results, as `handbook build` does, and return the file."""
    loaded = load(folders)
    document = results_of(loaded, render_pages(folders.content, loaded.book)) | changes
    path = folders.root / name
    path.write_bytes(results_bytes(document))
    return path


def git(folders: Folders, *words: str) -> None:
    own = ["-c", "user.name=A writer", "-c", "user.email=writer@quillbrook.example", "-c", "commit.gpgsign=false"]
    subprocess.run(["git", *own, *words], cwd=folders.root, check=True, capture_output=True)


def committed(folders: Folders) -> None:
    """Put the project, words and all, under git."""
    (folders.root / "content").unlink()
    shutil.copytree(ROOT / "content", folders.root / "content", ignore=shutil.ignore_patterns("*.ttf", "*.png"))
    git(folders, "init", "-q")
    git(folders, "add", ".")
    git(folders, "commit", "-q", "-m", "As it was")


def test_nothing_moved(handbook: Handbook, folders: Folders) -> None:
    said = handbook("changes", *FULL, str(stored(folders)))
    assert said.status == 0
    assert said.out.strip().endswith("nothing moved.")


def test_a_change_that_no_card_shows_is_no_matter_of_safety(handbook: Handbook, folders: Folders) -> None:
    before = stored(folders)
    edit(folders, SHED, *WORDING)
    said = handbook("changes", *FULL, str(before))
    assert said.status == 0
    assert "| site_data/sites/potting-shed.yaml | supply.panel.spaces | 4 | 5 |" in said.out
    assert "0 limits crossed, 0 findings changed, 0 cards to reissue, 1 input changed" in said.out


def test_what_touches_safety_comes_first_and_sets_the_status(handbook: Handbook, folders: Folders) -> None:
    before = stored(folders)
    edit(folders, SHED, "ambient: 86 degF", "ambient: 165 degF")
    said = handbook("changes", *FULL, str(before))
    assert said.status == 2
    heads = [line for line in said.out.splitlines() if line.startswith("## ")]
    assert heads[0] == "## Limits crossed"
    assert heads.index("## Cards to reissue") < heads.index("## Inputs that changed")
    assert "| Potting shed hand basin | Line conductors, circuit a |" in said.out


def test_json_says_the_same(handbook: Handbook, folders: Folders) -> None:
    before = stored(folders)
    edit(folders, SHED, *LONGER)
    said = handbook("changes", str(before), "--format", "json")
    document = json.loads(said.out)
    assert (document["format"], document["format_version"]) == ("handbook-changes", 1)
    assert document["touches_safety"] == (said.status == 2)
    assert [(one["file"], one["key"], one["old"], one["new"]) for one in document["inputs"]] == [
        ("site_data/sites/potting-shed.yaml", "route.length", "35 ft", "175 ft")
    ]
    assert {one["id"] for one in document["figures"]} >= {"site.potting-shed.circuit.a.drop"}


def test_the_table_says_the_same(handbook: Handbook, folders: Folders) -> None:
    before = stored(folders)
    edit(folders, SHED, *LONGER)
    said = handbook("changes", str(before), "--format", "table")
    for words in ("Inputs that changed", "Figures that moved: Potting shed hand basin", "Pages that changed"):
        assert words in said.out


def test_two_stored_results_need_no_project(handbook: Handbook, folders: Folders) -> None:
    before = stored(folders)
    edit(folders, SHED, *LONGER)
    after = stored(folders, "after.json")
    shutil.rmtree(folders.data)
    said = handbook("changes", *FULL, str(before), str(after))
    assert "| site_data/sites/potting-shed.yaml | route.length | 35 ft | 175 ft |" in said.out


def test_a_folder_of_data_under_any_name(handbook: Handbook, folders: Folders, tmp_path: Path) -> None:
    shutil.copytree(folders.data, tmp_path / "last year")
    edit(folders, SHED, *LONGER)
    said = handbook("changes", *FULL, "last year")
    assert "1 input changed" in said.out
    assert "from last year to the project as it stands" in said.out.lower()


def test_a_whole_project(handbook: Handbook, folders: Folders, tmp_path_factory: pytest.TempPathFactory) -> None:
    other = tmp_path_factory.mktemp("other")
    copy_of_demo(other, {"rill-3"}, {"potting-shed"})
    (other / "content").symlink_to(ROOT / "content")
    said = handbook("changes", *FULL, str(other))
    assert said.status == 2, "a new site has a card to print"
    assert "| seedling-house | — |" in said.out
    assert "| sites/seedling-house | — |" in said.out


def test_a_git_revision_is_computed_afresh(handbook: Handbook, folders: Folders) -> None:
    committed(folders)
    edit(folders, SHED, *LONGER)
    said = handbook("changes", *FULL, "HEAD")
    assert "| site_data/sites/potting-shed.yaml | route.length | 35 ft | 175 ft |" in said.out
    assert handbook("changes", *FULL, "HEAD", "HEAD").status == 0


def test_the_words_of_a_git_revision_are_compared_too(handbook: Handbook, folders: Folders) -> None:
    committed(folders)
    page = folders.content / "pages" / "glossary.md.j2"
    page.write_text(page.read_text(encoding="utf-8") + "\nOne more word.\n", encoding="utf-8")
    said = handbook("changes", *FULL, "HEAD")
    assert said.status == 0
    assert "0 figures moved, 1 page changed" in said.out
    assert "| glossary |" in said.out


def test_today_s_words_stand_for_those_of_an_older_program(handbook: Handbook, folders: Folders) -> None:
    committed(folders)
    words = folders.content / "words" / "states.yaml"
    text = words.read_text(encoding="utf-8")
    words.write_text(text.replace("not-on: not on\n", ""), encoding="utf-8")
    git(folders, "commit", "-q", "-a", "-m", "Another program")
    words.write_text(text, encoding="utf-8")
    edit(folders, SHED, *LONGER)
    said = handbook("changes", *FULL, "HEAD")
    assert "content/words of HEAD" in said.out
    assert "| site_data/sites/potting-shed.yaml | route.length | 35 ft | 175 ft |" in said.out
    assert "0 pages changed" not in said.out


def test_templates_that_this_program_cannot_read_leave_the_figures_compared(
    handbook: Handbook, folders: Folders
) -> None:
    committed(folders)
    page = folders.content / "pages" / "glossary.md.j2"
    words = page.read_text(encoding="utf-8")
    page.write_text(words + "\n{{ of_an_older_program() }}\n", encoding="utf-8")
    git(folders, "commit", "-q", "-a", "-m", "Another program")
    page.write_text(words, encoding="utf-8")
    edit(folders, SHED, *LONGER)
    said = handbook("changes", *FULL, "HEAD")
    assert "are not compared: content/pages/glossary.md.j2:" in said.out
    assert "| site_data/sites/potting-shed.yaml | route.length | 35 ft | 175 ft |" in said.out
    assert "0 pages changed" in said.out


def test_the_templates_of_another_revision_run_no_code(handbook: Handbook, folders: Folders, tmp_path: Path) -> None:
    committed(folders)
    way, page = tmp_path / "ran", folders.content / "pages" / "glossary.md.j2"
    words = page.read_text(encoding="utf-8")
    page.write_text(f"{words}\n{{{{ cycler.__init__.__globals__.os.mkdir('{way}') }}}}\n", encoding="utf-8")
    git(folders, "commit", "-q", "-a", "-m", "A harmless change of words")
    page.write_text(words, encoding="utf-8")
    said = handbook("changes", *FULL, "HEAD")
    assert not way.exists()
    assert "are not compared: content/pages/glossary.md.j2:" in said.out
    assert "access to attribute '__init__' of 'type' object is unsafe" in said.out


def test_a_link_that_leaves_another_revision_is_not_followed(handbook: Handbook, folders: Folders) -> None:
    committed(folders)
    (folders.data / "sites" / "more.yaml").symlink_to("/etc/hostname")
    git(folders, "add", ".")
    git(folders, "commit", "-q", "-m", "One site more")
    (folders.data / "sites" / "more.yaml").unlink()
    said = handbook("changes", *FULL, "HEAD")
    assert said.status == 1
    assert "cannot be laid out here" in said.err


def test_faults_of_the_other_side_are_told_as_its_own(handbook: Handbook, folders: Folders) -> None:
    committed(folders)
    edit(folders, SHED, "length: 35 ft", "length: 35")
    git(folders, "commit", "-q", "-a", "-m", "A slip")
    edit(folders, SHED, "length: 35\n", "length: 35 ft\n")
    said = handbook("changes", *FULL, "HEAD")
    assert said.status == 1
    assert said.err.startswith("in HEAD (")
    assert "site_data/sites/potting-shed.yaml" in said.err
    assert "'35' has no unit" in said.err
    assert "Compare with a release, which every later program reads; or check HEAD (" in said.err


@pytest.mark.parametrize("word", ["nowhere", "--upload-pack=touch", "HEAD"])
def test_a_word_that_names_nothing(handbook: Handbook, word: str) -> None:
    """Outside git. A word that looks like an option must not become one of git's."""
    said = handbook("changes", *FULL, "--", word)
    assert said.status == 1
    assert f"'{word}' is no file, no folder and no release (none), and git cannot show" in said.err


def test_a_revision_that_git_does_not_know(handbook: Handbook, folders: Folders) -> None:
    committed(folders)
    said = handbook("changes", *FULL, "v9")
    assert said.status == 1
    assert "git cannot show 'v9'" in said.err


def test_without_git(handbook: Handbook, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    said = handbook("changes", *FULL, "HEAD")
    assert said.status == 1
    assert "'HEAD' needs git, which is not installed here" in said.err


def test_another_generator_s_results_are_said_to_be(handbook: Handbook, folders: Folders) -> None:
    said = handbook("changes", *FULL, str(stored(folders, generator="0.0.1")))
    assert "Note: the old figures came from generator 0.0.1, the new ones from " in said.out


@pytest.mark.parametrize(
    ("content", "wrong"),
    [
        (b"not JSON", "file: this is no handbook-results file: it is no JSON"),
        (b"[" * 100_000, "file: this is no handbook-results file: it is no JSON"),
        (b"{}", "file: this is no handbook-results file"),
        (b"[1]", "file: this is no handbook-results file"),
        (b'{"format": "handbook-results"}', "format_version: this is no version of handbook-results: None"),
        (b'{"format": "handbook-results", "format_version": 1}', "file of format 1: 'findings'"),
        (b'{"format": "handbook-results", "format_version": 2}', "generator: this is no handbook-results file: Field"),
    ],
)
def test_a_file_that_is_no_results_file(handbook: Handbook, tmp_path: Path, content: bytes, wrong: str) -> None:
    (tmp_path / "other.json").write_bytes(content)
    said = handbook("changes", *FULL, "other.json")
    assert said.status == 1
    assert said.err.startswith("other.json:1:1: ")
    assert wrong in said.err


def test_results_of_a_later_format(handbook: Handbook, folders: Folders) -> None:
    said = handbook("changes", *FULL, str(stored(folders, format_version=FORMAT_VERSION + 1)))
    assert said.status == 1
    later = f"the format is handbook-results {FORMAT_VERSION + 1}, and this version of the program reads no later one"
    assert f"format_version: {later} than {FORMAT_VERSION}; read it with the version that wrote it" in said.err


def test_a_damaged_value_names_its_key(handbook: Handbook, folders: Folders) -> None:
    path = stored(folders)
    document = json.loads(path.read_bytes())
    document["figures"]["site.potting-shed.target"]["rounds"] = "sideways"
    path.write_text(json.dumps(document))
    said = handbook("changes", *FULL, str(path))
    assert said.status == 1
    assert "figures.site.potting-shed.target.rounds: this is no handbook-results file" in said.err


def test_without_a_release_there_is_nothing_to_compare_with(handbook: Handbook) -> None:
    said = handbook("changes", *FULL)
    assert said.status == 1
    assert "there is no release yet" in said.err


def test_a_project_in_a_folder_of_its_repository(handbook: Handbook, folders: Folders, tmp_path: Path) -> None:
    """Git is asked for the folder of the project, wherever the repository begins."""
    (folders.root / "content").unlink()
    inner = folders.root / "book"
    inner.mkdir()
    shutil.move(folders.data, inner)
    shutil.copytree(ROOT / "content", inner / "content", ignore=shutil.ignore_patterns("*.ttf", "*.png"))
    git(folders, "init", "-q")
    git(folders, "add", ".")
    git(folders, "commit", "-q", "-m", "As it was")
    edit(Folders(inner), SHED, *LONGER)
    said = handbook("--root", "book", "changes", "HEAD", *FULL)
    assert "| site_data/sites/potting-shed.yaml | route.length | 35 ft | 175 ft |" in said.out


def test_a_torque_changed_since_a_release_that_had_no_such_figure_is_a_limit_crossed(
    handbook: Handbook, folders: Folders
) -> None:
    loaded = load(folders)
    document = results_of(loaded, render_pages(folders.content, loaded.book))
    document["figures"] = {id_: one for id_, one in document["figures"].items() if not id_.endswith(".torque")}
    path = folders.root / "before.json"
    path.write_bytes(results_bytes(document))
    edit(folders, "models/rill-3.yaml", "torque: 18 lbf in", "torque: 20 lbf in")
    said = handbook("changes", *FULL, str(path)).out.replace("\N{NO-BREAK SPACE}", " ")
    moved = "Tightening torque of the supply terminals | 18 lbf in (2.03 N m) | 20 lbf in (2.26 N m) | stepped up |"
    assert f"| Potting shed hand basin | {moved}" in said
    assert f"| Rill 3 | {moved}" in said
    assert "Rill 4M | Tightening" not in said


def test_an_absurd_torque_is_a_fault_at_its_place(handbook: Handbook, folders: Folders) -> None:
    edit(folders, "models/rill-3.yaml", "torque: 18 lbf in", "torque: 180 lbf in")
    said = handbook("check")
    assert said.status == 1
    assert said.err.startswith(
        "site_data/models/rill-3.yaml:29:13: electrical.terminals.torque: 180 lbf in is too much"
    )

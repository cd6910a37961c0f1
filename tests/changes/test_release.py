"""`handbook release` freezes and never overwrites; `check` names stale cards until it is run; `changes --card` tells
a printed card's standing."""

import datetime
import hashlib
import json
import os
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from pypdf import PdfReader

from generator import release as freezing
from generator.build import load
from generator.folders import Folders
from generator.model.documents.revisions import BOOK, Approval
from generator.read.revisions import read_frozen, read_issued, read_releases
from generator.render.issued import issued
from tests.changes.conftest import Said
from tests.changes.project import edit
from tests.frozen import DATA

Handbook = Callable[..., Said]
FULL = ("--format", "markdown")
BY = ("--by", "safety lead", "--why", "yearly review")
SHED = "sites/potting-shed.yaml"


def raise_revision(folders: Folders, revision: str = "5", date: str = "2026-12-01") -> None:
    text = (folders.data / "handbook.yaml").read_text(encoding="utf-8")
    text = re.sub(r'revision: "\d+"', f'revision: "{revision}"', text)
    (folders.data / "handbook.yaml").write_text(re.sub(r"date: [\d-]+", f"date: {date}", text), encoding="utf-8")


def card_code(folders: Folders, site: str = "potting-shed") -> str:
    return load(folders).book.card_codes[site]


def moved_card(folders: Folders) -> tuple[str, str]:
    """Change what the potting shed's card shows; return its code before and after."""
    old = card_code(folders)
    edit(folders, SHED, "ambient: 86 degF", "ambient: 165 degF")
    return old, card_code(folders)


def test_a_release_is_a_folder_with_its_record_and_results(handbook: Handbook, folders: Folders) -> None:
    said = handbook("release", *BY, "4")
    assert said.status == 0, said.err
    assert "released 4: " in said.out
    assert sorted(path.name for path in (folders.data / "revisions").iterdir()) == ["4"]
    (record,) = read_releases(folders.data)
    assert (record.name, record.revision, record.date.isoformat(), record.changes) == ("4", "4", "2026-11-02", None)
    frozen = read_frozen(folders.data, "4")
    assert frozen.codes["card"]["potting-shed"] == card_code(folders)
    assert (
        "working"
        not in json.loads((folders.data / "revisions" / "4" / "results.json").read_text())["figures"].popitem()[1]
    )


def test_after_a_release_nothing_has_moved(handbook: Handbook, folders: Folders) -> None:
    """Not even on the page that tells of the release itself."""
    handbook("release", *BY, "4")
    said = handbook("changes", *FULL)
    assert (said.status, said.out.strip()) == (0, "From release 4 to the project as it stands nothing moved.")
    moved_card(folders)
    raise_revision(folders)
    handbook("release", *BY, "5")
    assert handbook("changes", *FULL).out.strip() == "From release 5 to the project as it stands nothing moved."


def test_a_release_lists_what_moved_since_the_one_before(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4")
    old, new = moved_card(folders)
    raise_revision(folders)
    said = handbook("release", *BY, "5")
    assert f"card potting-shed: collect {old}, print {new}" in said.out
    record = read_releases(folders.data)[-1]
    assert record.changes is not None
    assert [(one.id, one.old, one.new) for one in record.changes.cards] == [("potting-shed", old, new)]
    assert {(one.key, one.new) for one in record.changes.inputs} == {
        ("route.ambient", "165 degF"),
        ("revision", "5"),
        ("date", "2026-12-01"),
    }
    assert "site.potting-shed.circuit.a.conductor" in {one.id for one in record.changes.crossings}
    assert "revision" in {one.id for one in record.changes.pages}


def test_an_open_stop_is_not_released(handbook: Handbook, folders: Folders) -> None:
    edit(folders, SHED, "length: 35 ft", "length: 1200 ft")
    stops = load(folders).results.open_stops
    assert stops
    said = handbook("release", *BY, "4")
    assert said.status == 2
    assert f"{len(stops)} findings say stop: {', '.join(stops)}" in said.err
    assert not (folders.data / "revisions").exists()


def test_a_stop_that_only_a_visit_found_is_not_released(handbook: Handbook, folders: Folders) -> None:
    shutil.copytree(DATA / "readings" / "potting-shed", folders.data / "readings" / "potting-shed")
    said = handbook("release", *BY, "4")
    assert said.status == 2
    assert (
        "findings say stop: potting-shed.commissioned; mend each, and measure again where a visit found it" in said.err
    )
    assert not (folders.data / "revisions").exists()


def test_a_release_is_never_overwritten(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4a")
    before = (folders.data / "revisions" / "4a" / "results.json").read_bytes()
    moved_card(folders)
    said = handbook("release", *BY, "4A")
    assert said.status == 1
    assert "there is a release 4a already, and a release is never changed" in said.err
    assert (folders.data / "revisions" / "4a" / "results.json").read_bytes() == before


@pytest.mark.parametrize("name", ["../4", ".4", "", "a/b", "4 5", "x" * 65, "-4", "ü", "4.", "nul", "COM1.2"])
def test_a_name_that_is_no_folder_s(handbook: Handbook, folders: Folders, name: str) -> None:
    said = handbook("release", *BY, "--", name)
    assert said.status == 1
    assert f"'{name}' is no name for a release" in said.err
    assert not (folders.data / "revisions").exists()


def test_a_revision_goes_out_once(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4")
    said = handbook("release", *BY, "4.1")
    assert said.status == 1
    assert "revision 4 went out as release 4; raise `revision` in site_data/handbook.yaml" in said.err


def test_a_release_follows_on_the_last(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4")
    raise_revision(folders, date="2026-10-01")
    said = handbook("release", *BY, "5")
    assert said.status == 1
    assert "5 of 2026-10-01 would stand before release 4 of 2026-11-02; set `date`" in said.err


@pytest.mark.parametrize("name", ["5", "41", "40", "rev-4"])
def test_a_name_that_contradicts_the_revision_is_refused(handbook: Handbook, folders: Folders, name: str) -> None:
    said = handbook("release", *BY, name)
    assert said.status == 1
    assert f"'{name}' is not what site_data/handbook.yaml calls revision 4; name the release 4, or 4.1" in said.err
    assert not (folders.data / "revisions").exists()


def test_a_model_that_changed_under_the_same_revision_is_refused(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4")
    raise_revision(folders)
    edit(folders, "models/rill-3.yaml", "summary: ", "summary: Once more. ")
    assert "same revision" not in handbook("check").out, "other words make no other heater"
    edit(folders, "models/rill-3.yaml", "torque: 18 lbf in", "torque: 20 lbf in")
    assert "Model rill-3: changed since release 4 under the same revision (electrical.terminals.torque)." in " ".join(
        handbook("check").out.split()
    )
    said = handbook("release", *BY, "5")
    assert said.status == 1
    assert "under the same revision of rill-3 (electrical.terminals.torque); raise `revision`" in said.err
    assert not (folders.data / "revisions" / "5").exists()
    path = folders.data / "models" / "rill-3.yaml"
    path.write_text(re.sub(r"revision: \w+", "revision: Z", path.read_text(encoding="utf-8")), encoding="utf-8")
    assert handbook("release", *BY, "5").status == 0


def test_who_approved_a_release_when_and_why(handbook: Handbook, folders: Folders) -> None:
    assert handbook("release", "4").status == 1, "nobody approved it"
    assert handbook("release", *BY, "--on", "2026-11-03", "4").status == 0
    (made,) = read_releases(folders.data)
    assert made.approved == Approval("safety lead", datetime.date(2026, 11, 3), "yearly review")


def test_a_release_keeps_what_it_prints(handbook: Handbook, folders: Folders, monkeypatch: pytest.MonkeyPatch) -> None:
    """As issued it can be printed again, byte for byte, though the site moved on; what was tampered with is told."""
    monkeypatch.setattr(freezing, "issued", issued)
    assert handbook("release", *BY, "4").status == 0
    folder = folders.data / "revisions" / "4"
    assert sorted(path.name for path in (folder / "archive").iterdir()) == [
        "_book.zip",
        "potting-shed.zip",
        "seedling-house.zip",
    ]
    (made,) = read_releases(folders.data)
    kept = {"card.pdf", "panel-label.pdf", "heater-label.pdf"}
    assert set(made.documents) == {BOOK} | {
        f"{site}/{name}" for site in ("potting-shed", "seedling-house") for name in kept
    }
    assert read_issued(folders.data, made, BOOK).startswith(b"%PDF")
    old, new = moved_card(folders)
    said = handbook("card", "--release", "4", "potting-shed")
    printed = folders.output / "print" / "potting-shed-release-4.pdf"
    assert said.status == 0 and str(printed.relative_to(folders.root)) in said.out
    text = "".join(page.extract_text() for page in PdfReader(printed).pages)
    assert old in text and new not in text
    assert hashlib.sha256(printed.read_bytes()).hexdigest() == made.documents["potting-shed/card.pdf"]
    (folder / "archive" / "potting-shed.zip").write_bytes((folder / "archive" / "seedling-house.zip").read_bytes())
    said = handbook("card", "--release", "4", "potting-shed")
    assert said.status == 1 and "this is not what was issued" in said.err


def test_a_release_of_before_keeps_no_cards_and_says_so(handbook: Handbook, folders: Folders) -> None:
    shutil.copytree(DATA / "revisions", folders.data / "revisions")
    said = handbook("card", "--release", "3", "potting-shed")
    assert said.status == 1
    assert "release 3 keeps no printed documents: it was made before releases did." in said.err
    said = handbook("card", "--release", "2", "potting-shed")
    assert said.status == 1 and "there is no release 2; the releases are 3" in said.err


def test_releases_of_one_day_follow_by_number(handbook: Handbook, folders: Folders) -> None:
    raise_revision(folders, "9", date="2026-11-02")
    handbook("release", *BY, "9")
    raise_revision(folders, "10", date="2026-11-02")
    assert handbook("release", *BY, "10").status == 0
    assert [release.name for release in read_releases(folders.data)] == ["9", "10"]


def test_a_release_that_cannot_be_written_leaves_nothing(
    handbook: Handbook, folders: Folders, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    said = handbook("release", *BY, "4")
    assert said.status == 1
    assert "the release cannot be written: No space left on device" in said.err
    assert list((folders.data / "revisions").iterdir()) == []


def test_a_killed_release_is_none(handbook: Handbook, folders: Folders) -> None:
    """What a run that was killed has left beside its place is no release."""
    half = folders.data / "revisions" / ".half"
    half.mkdir(parents=True)
    (half / "release.json").write_text("{")
    assert handbook("release", *BY, "4").status == 0
    assert [release.name for release in read_releases(folders.data)] == ["4"]


@pytest.mark.parametrize("file", ["release.json", "results.json"])
def test_a_damaged_release_is_told(handbook: Handbook, folders: Folders, file: str) -> None:
    handbook("release", *BY, "4")
    (folders.data / "revisions" / "4" / file).write_text("{}")
    said = handbook("check")
    assert said.status == 1
    assert f"revisions/4/{file}:1:1: " in said.err
    assert "restore it" in said.err


def without_record(release: Path) -> None:
    (release / "release.json").unlink()


def nowhere(release: Path) -> None:
    shutil.rmtree(release)
    release.symlink_to("nowhere")


def renamed(release: Path) -> None:
    (release / "release.json").rename(release / "release.json.bak")


@pytest.mark.parametrize("damage", [without_record, nowhere, renamed])
@pytest.mark.parametrize("verb", [("check",), ("changes",), ("release", *BY, "5"), ("build",)])
def test_a_release_without_its_record_is_told_by_every_verb(
    handbook: Handbook, folders: Folders, damage: Callable[[Path], None], verb: tuple[str, ...]
) -> None:
    """Passed over, it would take the list of cards to collect with it."""
    handbook("release", *BY, "4")
    moved_card(folders)
    damage(folders.data / "revisions" / "4")
    said = handbook(*verb)
    assert said.status == 1
    assert "site_data/revisions/4/release.json:1:1: file: this cannot be read: No such file or directory; " in said.err
    assert "restore it" in said.err


def test_a_store_of_releases_that_is_no_folder_is_told(handbook: Handbook, folders: Folders) -> None:
    (folders.data / "revisions").write_text("")
    said = handbook("check")
    assert said.status == 1
    assert "site_data/revisions:1:1: file: this cannot be read: Not a directory; a folder that may be read" in said.err


@pytest.mark.parametrize("name", ["4", "4.1", "4.zip"])
def test_a_file_in_the_place_of_a_release_is_told(handbook: Handbook, folders: Folders, name: str) -> None:
    handbook("release", *BY, "4")
    (folders.data / "revisions" / "4").rename(folders.root / "elsewhere")
    (folders.data / "revisions" / name).write_bytes(b"")
    said = handbook("check")
    assert said.status == 1
    assert f"site_data/revisions/{name}:1:1: file: a file stands where the folder of a release would; " in said.err


def test_a_note_beside_the_releases_is_none(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4")
    (folders.data / "revisions" / "README.md").write_text("Never edit these.")
    assert [release.name for release in read_releases(folders.data)] == ["4"]


@pytest.mark.parametrize("number", ["1e400", "-1e400", "NaN", "Infinity"])
def test_a_figure_of_a_release_that_is_no_number_is_told(handbook: Handbook, folders: Folders, number: str) -> None:
    handbook("release", *BY, "4")
    results = folders.data / "revisions" / "4" / "results.json"
    text, count = re.subn(
        r'("site\.potting-shed\.limit": \{.*?"value": )[0-9.]+', rf"\g<1>{number}", results.read_text(), flags=re.S
    )
    assert count == 1
    results.write_text(text)
    said = handbook("check")
    assert said.status == 1
    assert "revisions/4/results.json:1:1: figures.site.potting-shed.limit.value" in said.err


def test_a_renamed_release_is_told(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4")
    (folders.data / "revisions" / "4").rename(folders.data / "revisions" / "7")
    said = handbook("check")
    assert said.status == 1
    assert "revisions/7/release.json:1:1: name: '4' is not the folder's name" in said.err


def test_check_names_the_stale_cards_until_the_release(handbook: Handbook, folders: Folders) -> None:
    assert "Card of" not in handbook("check").out
    handbook("release", *BY, "4")
    assert "Card of" not in handbook("check").out
    old, new = moved_card(folders)
    raise_revision(folders)
    said = handbook("check")
    assert said.status == 0
    notice = f"Card of potting-shed: collect {old}, print {new}."
    assert f"\n{notice}\n" in said.out
    assert "Card of seedling-house" not in said.out
    assert notice not in handbook("check", "seedling-house").out
    assert json.loads(handbook("check", "--format", "json").out), "the notice stays out of what programs read"
    assert f"::warning::{notice}" in handbook("check", "--format", "github").out
    handbook("release", *BY, "5")
    assert "Card of" not in handbook("check").out


def test_a_card_as_it_is_printed_today_is_current(handbook: Handbook, folders: Folders) -> None:
    code = card_code(folders)
    said = handbook("changes", "--card", code)
    assert said.status == 0
    assert said.out.strip() == f"{code} is the card of Potting shed hand basin (potting-shed), and it is current."


def test_a_stale_card_is_told_with_what_differs_on_it(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4")
    old, new = moved_card(folders)
    edit(folders, "handbook.yaml", "contact: the maintenance desk", "contact: the night desk")
    new = card_code(folders)
    said = handbook("changes", "--card", old)
    assert said.status == 2
    assert (
        f"{old} was the card of Potting shed hand basin (potting-shed) in release 4. It is not current: collect it."
        in said.out
    )
    assert f"its code is {new} now" in said.out
    assert "| Line conductors, circuit a | " in said.out
    assert "- new: contact: the night desk of your own site" in said.out
    assert "voltage-drop" not in said.out, "what the card does not show is not told"


def test_a_card_of_an_earlier_release_is_found(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4")
    old, _ = moved_card(folders)
    raise_revision(folders)
    handbook("release", *BY, "5")
    said = handbook("changes", "--card", old.lower().replace("-", " "), "--format", "json")
    document = json.loads(said.out)
    assert said.status == 2
    assert (document["code"], document["release"], document["current"]) == (old, "4", False)


def test_the_card_of_a_site_that_is_no_more(handbook: Handbook, folders: Folders) -> None:
    handbook("release", *BY, "4")
    code = card_code(folders)
    (folders.data / SHED).unlink()
    said = handbook("changes", "--card", code)
    assert said.status == 2
    assert "The site has no card any more." in said.out
    assert f"Card of potting-shed: collect {code}: the site has no card any more." in handbook("check").out


def test_a_code_that_no_card_bears(handbook: Handbook) -> None:
    said = handbook("changes", "--card", "0000-0000")
    assert said.status == 1
    assert "Do not rely on that card" in said.err


@pytest.mark.parametrize("code", ["", "7KQM", "7KQM-2F9D-7KQM", "7KQM-2F9$"])
def test_what_is_no_code(handbook: Handbook, code: str) -> None:
    said = handbook("changes", "--card", code)
    assert said.status == 1
    assert f"'{code}' is no code of a card" in said.err


def test_signs_that_are_easily_misread_are_taken_for_the_right_ones(handbook: Handbook, folders: Folders) -> None:
    code = card_code(folders)
    misread = code.replace("0", "O").replace("1", "l")
    assert handbook("changes", "--card", misread).status == 0


def test_a_card_is_compared_with_today_alone(handbook: Handbook, folders: Folders) -> None:
    said = handbook("changes", "HEAD", "--card", card_code(folders))
    assert said.status == 1
    assert "leave out OLD and NEW" in said.err


def test_a_card_s_code_does_not_change_with_the_revision_or_with_other_sites(folders: Folders) -> None:
    before = card_code(folders)
    raise_revision(folders)
    (folders.data / "sites" / "seedling-house.yaml").unlink()
    assert card_code(folders) == before

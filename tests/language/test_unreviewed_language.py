"""What nobody has reviewed never stands alone: pages lead to English, prints are made in both, the rest in English.

The language is made up (`made_up.py`), here without the `reviewed.yaml` that names who has reviewed it.
"""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from generator.build import build
from generator.cli import cli
from generator.folders import Folders
from tests.language.made_up import project_in

TAG = "en-XA"  # the tag that CLDR gives to such a language
OTHER = re.compile("áá|éé|íí|óó|úú", re.IGNORECASE)
BOX = re.compile(r'<div class="deferral unreviewed".*?href="([^"]+)".*?</div>', re.DOTALL)
MARK = "Not reviewed: go by the English."


@pytest.fixture(scope="module")
def other(tmp_path_factory: pytest.TempPathFactory) -> Folders:
    folders = project_in(TAG, tmp_path_factory.mktemp("other"))
    (folders.content / TAG / "reviewed.yaml").unlink()
    return folders


@pytest.fixture(scope="module")
def site(other: Folders) -> Path:
    build(other)
    return other.output / "site"


def handbook(folders: Folders, *verb: str) -> str:
    run = CliRunner().invoke(cli, ["--root", str(folders.root), *verb])
    assert run.exit_code in (0, 2), run.output
    return " ".join(run.output.split())


def test_each_page_says_so_and_leads_to_the_english_one(site: Path) -> None:
    pages = [path for path in site.rglob("*.html") if path.relative_to(site).parts[0] not in ("en", "pocket")]
    assert len(pages) > 60
    for page in pages:
        text = page.read_text(encoding="utf-8")
        (address,) = BOX.findall(text)
        there = (page.parent / address).resolve()
        assert there == (site / "en" / page.relative_to(site)).resolve() and there.is_file(), page
        assert text.index("unreviewed") < text.index("<h1"), page
    box = BOX.search((site / "safety.html").read_text(encoding="utf-8"))
    assert box is not None and OTHER.search(box[0]) and "Nobody has reviewed this translation" in box[0]


def test_the_pages_beside_it_are_english_whole_and_bear_its_card_codes(site: Path) -> None:
    for path in (site / "en").rglob("*.html"):
        text = path.read_text(encoding="utf-8")
        assert not OTHER.search(text) and not BOX.search(text) and '<html lang="en"' in text, path
    codes = [re.findall(r'data-card="([^"]+)"', (site / at).read_text(encoding="utf-8")) for at in
             ("sites/creamery.html", "en/sites/creamery.html")]  # fmt: skip
    assert codes[0] == codes[1] != []


def test_a_page_that_is_carried_alone_is_in_english(site: Path) -> None:
    alone = sorted((site / "pocket").glob("*.html"))
    assert len(alone) == 2
    for page in alone:
        assert page.read_bytes() == (site / "en" / "pocket" / page.name).read_bytes()


def test_every_sheet_is_made_in_both_and_says_which_to_go_by(other: Folders) -> None:
    handbook(other, "card", "potting-shed")
    handbook(other, "record", "potting-shed")
    handbook(other, "print", "--only", "creamery")
    folder = other.output / "print"
    names = ["potting-shed.pdf", "records/potting-shed.pdf", "creamery-book.pdf"]
    for name in names:
        sheets, english = ([" ".join(page.extract_text().split()) for page in PdfReader(path).pages] for path in
                           (folder / name, folder / "en" / name))  # fmt: skip
        first = 1 if name == "creamery-book.pdf" else 0  # its title page bears no running line
        assert all(MARK in sheet and OTHER.search(sheet) for sheet in sheets[first:]), name
        assert not any(MARK in sheet or OTHER.search(sheet) for sheet in english), name
    code = r"\b[0-9A-Z]{4}-[0-9A-Z]{4}\b"
    fronts = [PdfReader(folder / at).pages[0].extract_text() for at in ("potting-shed.pdf", "en/potting-shed.pdf")]
    assert re.findall(code, fronts[0])[0] == re.findall(code, fronts[1])[0]


def test_what_is_told_by_itself_is_in_english(other: Folders) -> None:
    said = handbook(other, "check")
    assert f"Language {TAG}: nobody has reviewed it" in said and not OTHER.search(said)
    handbook(other, "export")
    tables = [path.read_text(encoding="utf-8") for path in (other.output / "export").glob("*.csv")]
    assert tables and not OTHER.search("\n".join(tables))
    handbook(other, "label", "--all")
    labels = sorted((other.output / "print" / "labels").glob("*.pdf"))
    assert len(labels) == 4 and not any(OTHER.search(PdfReader(path).pages[0].extract_text()) for path in labels)


def test_no_release_goes_out_in_it(other: Folders, tmp_path: Path) -> None:
    folders = Folders(shutil.copytree(other.root, tmp_path / "released", ignore=shutil.ignore_patterns("build")))
    run = CliRunner().invoke(cli, ["--root", str(folders.root), "release", "4", "--by", "N. N.", "--why", "first"])
    assert run.exit_code == 1 and f"content/{TAG}/reviewed.yaml:1:1: reviewed_by: nobody has" in str(run.exception)

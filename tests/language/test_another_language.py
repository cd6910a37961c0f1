"""A handbook whole in another language: nothing on a page, card or in the terminal is left in English but names.

The language is made up (`made_up.py`): each vowel of the English words has an accent and stands twice.
"""

from __future__ import annotations

import re
import shutil
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from generator.build import Loaded, load
from generator.cli import cli
from generator.errors import InputFaults
from generator.folders import Folders
from generator.read.content.notices import read_notices
from generator.render.pages.write import Rendered, render_pages
from tests.frozen import ROOT
from tests.language.made_up import project_in

TAG = "en-XA"  # the tag that CLDR gives to such a language
# What is no word of a language: how quantities and formulas are written, and the names of laws and people in them.
NAMES = {"ASHRAE", "CoolProp", "Colebrook", "Darcy", "Haaland", "Hazen", "Joule", "Ohm", "Weisbach", "Williams"}
NAMES |= {"amps", "Btu", "gpm", "kPa", "MPa", "mPa", "psi", "max", "min", "exp", "log", "cos", "sin"}
# Sources are named in the words of their documents.
NAMES |= {"balance", "liquid", "atmosphere", "region", "equation"}
NAMES |= {"Geological", "Survey", "classes", "calcium", "carbonate"}
_TAGS = re.compile(r"<(script|style|svg)\b.*?</\1>|<!--.*?-->|<[^>]*>|\]\([^)]*\)|`[^`]*`|\{:[^}]*\}", re.DOTALL)
_READ = re.compile(r'(?:aria-label|alt|title|placeholder)="([^"]*)"')
_WORD = re.compile(r"(?<![\w./#-])[A-Za-z]{3,}(?![\w./-])")
PLAIN = re.compile("[aeiou]")
# Parts of addresses and verbs of the command, which are the same in every language.
ADDRESSES = {"sites", "details", "handbook", "record"}
# Pages that quote others: licences as their authors wrote them, sources by the titles of documents.
QUOTES = {"licences", "sources", "method"}


@pytest.fixture(scope="module")
def other(tmp_path_factory: pytest.TempPathFactory) -> Folders:
    """A project of two sites in the language."""
    return project_in(TAG, tmp_path_factory.mktemp("other"))


@pytest.fixture(scope="module")
def loaded(other: Folders) -> Loaded:
    return load(other)


@pytest.fixture(scope="module")
def rendered(other: Folders, loaded: Loaded) -> tuple[Rendered, ...]:
    return render_pages(other.content, loaded.book)


@pytest.fixture(scope="module")
def of_the_data(other: Folders) -> set[str]:
    """The words that a writer typed: names, notes, documents."""
    texts = (path.read_text(encoding="utf-8") for path in (other.root / "site_data").rglob("*.yaml"))
    return {word.lower() for word in re.findall(r"[A-Za-z]+", "\n".join(texts))}


def english(text: str) -> set[str]:
    """Return the words of a text that have a vowel without an accent."""
    read = " ".join(_READ.findall(text)) + " " + _TAGS.sub(" ", text)
    return {word for word in _WORD.findall(unescape(read)) if PLAIN.search(word)}


def test_no_page_has_a_word_left_in_english(rendered: tuple[Rendered, ...], of_the_data: set[str]) -> None:
    left = {}
    for one in rendered:
        if one.page.id not in QUOTES and not one.page.working_at.endswith(one.page.id):
            words = english(one.text) - NAMES
            left |= {word: one.page.id for word in words if word.lower() not in of_the_data}
    print(left)
    assert left == {}


def test_check_speaks_the_language(other: Folders) -> None:
    run = CliRunner().invoke(cli, ["--root", str(other.root), "check"])
    assert run.exit_code in (0, 2) and "Stóóps: " in run.output
    assert "N. N., licensed electrician, 2026-11-02" in " ".join(run.output.split())
    words = english(re.sub(r"`handbook check[^`]*`|licensed\s+electrician", "", run.output))
    assert words <= set(["packing", "house", "potting", "shed", "creamery", "hand", "basin", "rinse", "hose"])
    assert not re.search(r"[ÁÉÍÓÚ][A-Z]+[a-z]", run.output), "a word and a site that touch"


def test_check_counts_what_has_no_words_yet(other: Folders, tmp_path: Path) -> None:
    folders = Folders(shutil.copytree(other.root, tmp_path / "less"))
    own = folders.content / TAG
    (own / "pages" / "emergency.md.j2").unlink()
    words = own / "words" / "states.yaml"
    lines = words.read_text(encoding="utf-8").splitlines()
    words.write_text("\n".join(lines[:-2]) + "\n", encoding="utf-8")
    run = CliRunner().invoke(cli, ["--root", str(folders.root), "check"])
    text = " ".join(run.output.split())
    assert "2 tééxts áánd 1 páágéés" in text and "pages/emergency.md.j2, words/states.yaml." in text


def test_what_keeps_people_alive_stands_beside_its_english_until_somebody_has_reviewed_it(
    other: Folders, loaded: Loaded, tmp_path: Path
) -> None:
    folders = Folders(shutil.copytree(other.root, tmp_path / "unreviewed"))
    (folders.content / TAG / "reviewed.yaml").unlink()
    both = load(folders)
    english_ones = {one.id: one for one in read_notices(ROOT / "content")}
    assert len(both.notices) > 30
    for one, alone in zip(both.notices, loaded.notices, strict=True):
        plain = english_ones[one.id]
        assert one.hazard == f"{alone.hazard} (en: {plain.hazard})" != alone.hazard
        assert one.avoidance == tuple(
            f"{own} (en: {his})" for own, his in zip(alone.avoidance, plain.avoidance, strict=True)
        )


def test_who_has_reviewed_is_said_in_full_or_refused(other: Folders, tmp_path: Path) -> None:
    folders = Folders(shutil.copytree(other.root, tmp_path / "half"))
    (folders.content / TAG / "reviewed.yaml").write_text("reviewed_by: N. N.\n", encoding="utf-8")
    with pytest.raises(InputFaults, match=r"content/en-XA/reviewed\.yaml:1:1: date: this key is missing"):
        load(folders)


def test_no_print_has_a_word_left_in_english(other: Folders, of_the_data: set[str]) -> None:
    """A card, both labels, a record and the book of a site; a card whose words are too long is refused in words."""
    for verb in (("card", "potting-shed"), ("label", "--all"), ("record", "--all"), ("print", "--only", "creamery")):
        run = CliRunner().invoke(cli, ["--root", str(other.root), *verb])
        assert run.exit_code == 0, run.output
    printed = sorted((other.output / "print").rglob("*.pdf"))
    assert len(printed) == 8
    left = {}
    for path in printed:
        text = "\n".join(page.extract_text() for page in PdfReader(path).pages)
        words = english(text) - NAMES - ADDRESSES
        left |= {word: path.name for word in words if word.lower() not in of_the_data}
    assert left == {}
    run = CliRunner().invoke(cli, ["--root", str(other.root), "card", "creamery"])
    assert run.exit_code in (0, 1) and (run.exit_code == 0 or "does not fit one sheet" in run.output)

"""A language is a folder of content/ that lies over the English words and pages, entry by entry and page by page.

The language of these tests is made up: its words are the English ones in other signs.
"""

import re
import shutil
from collections.abc import Mapping
from pathlib import Path

import pytest
from pydantic import TypeAdapter, ValidationError

from generator.build import comparable, load, words_of
from generator.errors import InputFaults
from generator.folders import Folders
from generator.model.content.notices import NoticeFile
from generator.model.content.print.card_form import CardForm
from generator.model.content.stated import StatedFile
from generator.model.content.symptoms import Symptom
from generator.model.inputs import FilePlace
from generator.model.scalars import Strict
from generator.model.settings import Settings
from generator.read.content.language import check_language, languages
from generator.read.content.overlay import load_in_language
from generator.render.pages.write import render_pages
from tests.changes.project import copy_of_demo, edit
from tests.frozen import ROOT

OVER = {
    "notices/3-hot-water.yaml": """\
notices:
  - id: scald
    hazard: Zof zin!
    avoidance: [Zam., Zum.]
    avoidance_where: [{fact: flow-window, do: Zin fal.}]
    brief: {line: Zof zin kurz.}
""",
    "faults/no-heat.yaml": "title: Kel zin\nalso: [kalt, nix, zu]\n",
    "faults/_safe_states.yaml": "safe_states: [{id: switched-off, title: Aus},\n"
    "  {id: watching, steps: [{do: Hend weg., expected: kalt.}, {}]}]\n",
    "stated.yaml": "values: [{id: purge-time, label: Lufft aus}]\n",
    "print/card_form.yaml": "cautions: [{notice: live-parts, when: always, text: Zap zap!}]\n",
    "words/states.yaml": "not-on: nix an\n",
    "words/figures/heat.yaml": "least-voltage: Volt nid\n",
    "findings/altitude.yaml": "rule: altitude\ntitle: Kok\ncases: {below: {do: Ruf.}}\n",
    "pages/emergency.md.j2": "{# title: Zu Hilf; order: 30; audience: all #}\n# Zu Hilf\n\nRuf!\n",
    "assets/handbook.css": "/* anders */\n",
    "reviewed.yaml": "reviewed_by: N. N.\ndate: 2026-11-02\n",
}


@pytest.fixture(scope="module")
def english(tmp_path_factory: pytest.TempPathFactory) -> Folders:
    """A project of one site with words of its own, English alone."""
    root = tmp_path_factory.mktemp("english")
    copy_of_demo(root, {"rill-3"}, {"potting-shed"})
    shutil.copytree(ROOT / "content", root / "content", ignore=shutil.ignore_patterns("*.ttf"))
    return Folders(root)


def write(content: Path, files: Mapping[str, str]) -> None:
    for name, text in files.items():
        path = content / "xq" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def test_every_kind_of_text_takes_the_words_of_the_language_and_english_for_the_rest(
    english: Folders, tmp_path: Path
) -> None:
    folders = Folders(shutil.copytree(english.root, tmp_path / "other"))
    edit(folders, "handbook.yaml", "language: en", "language: xq")
    write(folders.content, OVER)
    plain, loaded = load(english), load(folders)
    pages = {one.page.id: one for one in render_pages(folders.content, loaded.book)}
    scald, was = (next(notice for notice in one.notices if notice.id == "scald") for one in (loaded, plain))
    assert (scald.hazard, scald.avoidance, scald.consequence) == ("Zof zin!", ("Zam.", "Zum."), was.consequence)
    assert [one.do for one in scald.avoidance_where] == [was.avoidance_where[0].do, "Zin fal."]
    assert scald.brief is not None and (scald.brief.line, scald.brief.part) == ("Zof zin kurz.", "heat")
    assert "Zof zin!" in pages["safety"].text
    assert "# Kel zin" in pages["fault-finding/no-heat"].text
    assert loaded.book.symptoms.safe_states["switched-off"].title == "Aus"
    hands, others = loaded.book.symptoms.safe_states["watching"].steps
    assert (hands.do, hands.expected) == ("Hend weg.", "kalt.")
    assert others == plain.book.symptoms.safe_states["watching"].steps[1]
    assert loaded.book.stated["purge-time"].label == "Lufft aus"
    assert loaded.book.stated["purge-time"].shown.value == plain.book.stated["purge-time"].shown.value
    assert loaded.book.words.states["not-on"] == words_of(folders).states["not-on"] == "nix an"
    assert (pages["emergency"].page.title, "Ruf!" in pages["emergency"].text) == ("Zu Hilf", True)
    assert "# Glossary" in pages["glossary"].text, "a page without words of its own stays English"
    (said,) = (one.do for one in loaded.results.sites[0].findings if one.rule == "altitude")
    assert "Ruf." in str(said)
    card, was_card = loaded.cards["potting-shed"], plain.cards["potting-shed"]
    assert "Zap zap!" in str(card) and "Zap zap!" not in str(was_card)
    assert (card.head.language, was_card.head.language) == ("xq", "en")
    theirs, ours = (comparable(one).figures for one in (loaded, plain))
    assert any(one.label == "Volt nid" for one in theirs.values())
    computed = [{id_: (one.value, one.state) for id_, one in of.items()} for of in (theirs, ours)]
    assert computed[0] == computed[1], "what is computed is the same in every language"
    assert languages(folders.content) == ("xq",)


def test_a_language_without_a_folder_is_refused_where_it_is_named(english: Folders, tmp_path: Path) -> None:
    folders = Folders(shutil.copytree(english.root, tmp_path / "other"))
    edit(folders, "handbook.yaml", "language: en", "language: pt-BR")
    (folders.content / "xq").mkdir()
    with pytest.raises(InputFaults) as caught:
        load(folders)
    (fault,) = map(str, caught.value.faults)
    assert re.match(r"site_data/handbook\.yaml:\d+:11: language: ", fault)
    assert fault.endswith("there is no folder content/pt-BR; one of en, xq, or such a folder with its words")


@pytest.mark.parametrize("language", ["English", "e", "../up", "pages"])
def test_what_is_no_tag_of_a_language_is_refused(language: str) -> None:
    with pytest.raises(ValidationError, match="is no tag of a language; write one such as en, es or pt-BR"):
        TypeAdapter(Settings.model_fields["language"].rebuild_annotation()).validate_python(language)


@pytest.mark.parametrize("name", ["notices/9-new.yaml", "readme/x.txt", "print/card_front.typ", "words/stated.yaml"])
def test_a_file_that_would_not_be_read_is_refused(tmp_path: Path, name: str) -> None:
    content = shutil.copytree(ROOT / "content", tmp_path / "content", ignore=shutil.ignore_patterns("*.ttf"))
    write(content, {name: "x"})
    with pytest.raises(InputFaults, match=f"^content/xq/{name}:1:1: file: this file stands for no English one; "):
        check_language(content, "xq", FilePlace("site_data/handbook.yaml", 8, 11, "xq"))


HOT, FORM = "notices/3-hot-water.yaml", "print/card_form.yaml"
SCALD = "notices:\n  - id: scald\n    "


@pytest.mark.parametrize(
    ("name", "model", "text", "fault"),
    [
        (HOT, NoticeFile, "notices:\n  - id: skald\n", "2:5: notices[1]: no English entry is named so; one"),
        (HOT, NoticeFile, f"{SCALD}hazzard: Z\n", "3:14: notices[1].hazzard: 'hazzard' is not a key here; the nearest"),
        (HOT, NoticeFile, f"{SCALD}hazard:\n", "3:12: notices[1].hazard: no text stands here"),
        (HOT, NoticeFile, f"{SCALD}avoidance: [Z]\n", "3:5: notices[1].avoidance: there are 1 texts here; 2, as in"),
        (HOT, NoticeFile, f"{SCALD}hazard: 'Z {{w}}'\n", "'Z {w}' does not have the places for its values; write no"),
        (HOT, NoticeFile, f"{SCALD}signal: caution\n", "no English entry is named so"),
        (HOT, NoticeFile, f"{SCALD}appears: {{site: grouped}}\n", "is not what the English entry has"),
        (HOT, NoticeFile, f"{SCALD}brief: Z\n", "3:12: notices[1].brief: no keys stand here"),
        (HOT, NoticeFile, "notices: [Z]\n", "1:11: notices[1]: no English entry is named so"),
        ("faults/no-heat.yaml", Symptom, "order: 1000\n", "1:8: order: '1000' is not what the English entry has"),
        ("stated.yaml", StatedFile, "values: [{id: purge-time, value: 1 s}]\n", "no English entry is named so"),
        (FORM, CardForm, "start_up: [{id: stages, title: Z}]\n", "2 English entries are named so; all the"),
        (FORM, CardForm, "cautions: {x\n", "close the brace"),
    ],
)  # fmt: skip
def test_a_fault_of_the_language_is_told_at_its_place(
    tmp_path: Path, name: str, model: type[Strict], text: str, *, fault: str
) -> None:
    english = tmp_path / "content" / name
    english.parent.mkdir(parents=True)
    shutil.copy(ROOT / "content" / name, english)
    write(tmp_path / "content", {name: text})
    file = load_in_language(tmp_path / "content", name, model, language="xq")
    (one,) = map(str, file.faults)
    assert file.value is None
    assert one.startswith(f"content/xq/{name}:")
    assert fault in one

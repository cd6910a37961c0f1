"""Whatever signs a writer's words hold, every output shows them as they are: none filled in, eaten or obeyed."""

import datetime
import html
import io
import json
import re
import sys
from collections.abc import Iterable
from dataclasses import asdict, replace
from pathlib import Path

import openpyxl
import pytest

from generator import cli
from generator.build import load
from generator.errors import InputFaults, dotted
from generator.folders import Folders
from generator.model.documents.revisions import FORMAT, FORMAT_VERSION, Approval, History, Release
from generator.model.figures import Sentence, Value
from generator.model.inputs import FilePlace
from generator.read.handbook import read_handbook
from generator.render.card.content import told
from generator.render.card.texts import card_texts
from generator.render.export import Known, table_csv, tables, tables_json
from generator.render.pages.write import render_pages
from generator.render.reading_file import reading_text
from generator.render.record.texts import record_texts
from generator.render.site.versions import Issued, add_versions
from generator.render.workbook import workbook
from generator.site_cards import records_of
from tests.changes.project import copy_of_demo, edit
from tests.frozen import ROOT
from tests.styles import BOTH, US

# Places of card steps and findings, braces that are none, and what a terminal's markup and a template engine read.
SIGNS = "{stage} {torque} {fixture} {0} {} }{ [/north] [red] {{ 7*7 }} {% raw %} %s"
MARK = re.compile(rf"q(\d+)x (.{{{len(SIGNS)}}})", re.IGNORECASE | re.DOTALL)
DRAWING = re.compile(r"<svg\b.*?</svg>", re.DOTALL)
# A label that is cut: the first words and the sign that more follows.
CUT = re.compile(
    r"\b(q\d+x)(?: " + "(?: ".join(map(re.escape, html.escape(SIGNS).split(" "))) + ")?" * SIGNS.count(" ") + ")? …",
    re.IGNORECASE,
)
Key = tuple[str, str]
# Of a table the words that nothing else refers to.
TABLES = ("code", "plumbing", "pipes", "burns", "tolerances")
CODE_WORDS = {"title", "clause", "note", "status", "document", "edition", "deferral", "obtained", "covers"}


def marked(number: int) -> str:
    return f"q{number}x {SIGNS}"


def put(lines: list[str], place: FilePlace, text: str) -> bool:
    """Put `text` in the place of a scalar; False for a text over several lines."""
    line, start = lines[place.line - 1], place.column - 1
    for raw in (f'"{place.text}"', f"'{place.text}'", place.text):
        if line.startswith(raw, start):
            lines[place.line - 1] = f'{line[:start]}"{text}"{line[start + len(raw) :]}'
            return True
    return False


def inject(folders: Folders, places: dict[Key, FilePlace], refused: set[Key]) -> set[int]:
    """Write the marked words into every scalar but the refused; return the numbers of those written."""
    written = set()
    for file in {place.file for place in places.values()}:
        path = folders.root / file
        lines = path.read_text(encoding="utf-8").split("\n")
        mine = [(number, key, place) for number, (key, place) in enumerate(places.items()) if place.file == file]
        for number, key, place in sorted(mine, key=lambda one: (one[2].line, one[2].column), reverse=True):
            if key not in refused and put(lines, place, marked(number)):
                written.add(number)
        path.write_text("\n".join(lines), encoding="utf-8")
    return written


@pytest.fixture(scope="module")
def project(tmp_path_factory: pytest.TempPathFactory) -> tuple[Folders, set[int]]:
    """The demo with the marked words in every scalar that takes them, and their numbers."""
    refused: set[Key] = set()
    for turn in range(8):
        root = tmp_path_factory.mktemp(f"turn-{turn}")
        folders = copy_of_demo(root)
        (root / "content").symlink_to(Path(cli.__file__).parents[1] / "content")
        known = read_handbook(folders.data).places
        places = {
            (place.file, dotted(path)): place
            for (kind, _, *path), place in known.items()
            if place.text and (kind not in TABLES or path[-1] in CODE_WORDS) and "feeds" not in path  # sites name them
        }
        written = inject(folders, places, refused)
        try:
            load(folders)
        except InputFaults as found:
            new = {(fault.file, fault.key) for fault in found.faults} - refused
            assert new, found
            refused |= new
        else:
            return Folders(root), written
    raise AssertionError(f"still refused: {sorted(refused)}")


def whole(outputs: Iterable[str]) -> set[int]:
    """Return the numbers of the marked words in the outputs; each occurrence must be as it was written."""
    numbers = set()
    for text in outputs:
        plain = text.replace("\N{NO-BREAK SPACE}", " ").replace("\N{ZERO WIDTH SPACE}", "")
        for number, rest in MARK.findall(plain):
            assert rest.lower() == SIGNS.lower(), f"q{number}x {rest}"
            numbers.add(int(number))
    return numbers


def test_enough_fields_take_any_words(project: tuple[Folders, set[int]]) -> None:
    assert len(project[1]) > 150


def undrawn(page: str) -> str:
    """A page without its drawings, which set a long label in lines of their own."""
    return DRAWING.sub("", page)


def drawn(page: str) -> str:
    """The words of a page's drawings: a label that is set in lines joined again, one that is cut up to its mark."""
    words = re.findall(r"<(?:text|title|desc)\b[^>]*>(.*?)</", "".join(DRAWING.findall(page)), re.DOTALL)
    return html.unescape(CUT.sub(rf"\1 {html.escape(SIGNS)}", " ".join(words)))


def test_drawings_show_the_words_as_written_or_say_that_more_follows(project: tuple[Folders, set[int]]) -> None:
    folders, written = project
    loaded = load(folders)
    found = whole(drawn(page.text) for page in render_pages(folders.content, loaded.book))
    assert len(found) > 30 and found <= written


def test_pages_and_cards_show_the_words_as_written(project: tuple[Folders, set[int]]) -> None:
    folders, written = project
    loaded = load(folders)
    pages = whole(html.unescape(undrawn(page.text)) for page in render_pages(folders.content, loaded.book))
    cards = whole(json.dumps(told(card, BOTH), ensure_ascii=False) for card in loaded.cards.values())
    assert len(pages) > 100
    assert len(cards) > 15
    assert pages | cards <= written


def test_records_and_new_files_of_readings_show_the_words_as_written(project: tuple[Folders, set[int]]) -> None:
    folders, written = project
    loaded = load(folders)
    sheets = records_of(folders.content, loaded.book, loaded.cards)
    records = whole(
        json.dumps(record_texts(sheet, BOTH), ensure_ascii=False, default=asdict) for sheet in sheets.values()
    )
    style = loaded.book.style
    new = whole(
        reading_text(one.result, one.spec.title, one.heater.title, card="", style=style) for one in loaded.book.sites
    )
    assert len(records) > 15 and len(new) >= 2 * len(loaded.book.sites)
    assert records | new <= written


def test_tables_for_other_programs_hold_the_words_as_written(project: tuple[Folders, set[int]]) -> None:
    folders, written = project
    loaded = load(folders)
    made = tables(Known(loaded.book, loaded.results, loaded.inputs))
    as_csv, as_json = whole(map(table_csv, made.values())), whole([tables_json(made)])
    sheets = openpyxl.load_workbook(io.BytesIO(workbook(made, loaded.inputs.settings.date))).worksheets
    as_cells = whole(str(cell.value) for sheet in sheets for row in sheet.iter_rows() for cell in row)
    assert len(as_csv) >= 5 and as_csv == as_json == as_cells
    assert as_csv <= written


def test_a_release_shows_who_approved_it_and_why_as_written(project: tuple[Folders, set[int]]) -> None:
    """On the page of its revision, in a handbook whose every other text is strange too."""
    folders, _ = project
    book = load(folders).book
    approved = Approval(marked(90001), datetime.date(2026, 11, 20), marked(90002))
    made = Release(FORMAT, FORMAT_VERSION, "4", "4", datetime.date(2026, 11, 20), "0", None, approved)
    pages = render_pages(folders.content, replace(book, history=History((made,), marked=False)))
    found = whole(html.unescape(undrawn(page.text)) for page in pages)
    assert {90001, 90002} <= found


def test_the_list_of_published_releases_shows_the_words_as_written(
    project: tuple[Folders, set[int]], tmp_path: Path
) -> None:
    approved = Approval(marked(90001), datetime.date(2026, 11, 20), marked(90002))
    made = Release(FORMAT, FORMAT_VERSION, "4", "4", datetime.date(2026, 11, 20), "0", None, approved)
    page = "<html><head></head><body><main>What was known.</main></body></html>"
    loaded = load(project[0])
    settings, issue = loaded.inputs.settings, loaded.book.words.pages["issue"]
    add_versions(
        tmp_path, [Issued(made, {"a.html": page.encode}, None)], project[0].content, settings=settings, issue=issue
    )
    shown = {path.name: html.unescape(path.read_text(encoding="utf-8")) for path in tmp_path.rglob("*.html")}
    assert shown.keys() == {"index.html", "a.html"}
    assert {90001, 90002} < whole([shown["index.html"]]), "the handbook's own title too"
    assert "<script" not in "".join(shown.values())


def test_what_the_field_sends_is_kept_and_shown_as_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    folders = copy_of_demo(tmp_path, {"rill-3"}, {"potting-shed"})
    (tmp_path / "content").symlink_to(ROOT / "content")
    sent = f"near-miss potting-shed 2026-11-02 {marked(90003)}\ncard potting-shed {marked(90004)}\n{marked(90005)}\n"
    (tmp_path / "sent.txt").write_text(sent, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(sys, "argv", ["handbook", "receive", "sent.txt"])
    with pytest.raises(SystemExit):
        cli.main()
    out, err = capsys.readouterr()
    assert whole([out]) == {90003}
    assert f"potting-shed {marked(90004)}: " in err and f": {marked(90005)}: " in err
    loaded = load(folders)
    made = tables(Known(loaded.book, loaded.results, loaded.inputs))
    assert whole([tables_json(made)]) == {90003}
    monkeypatch.setattr(sys, "argv", ["handbook", "check", "--on", "2026-11-20"])
    with pytest.raises(SystemExit):
        cli.main()
    assert whole([re.sub(r"\n +", " ", capsys.readouterr().out)]) == {90003}


def test_a_feeds_name_is_shown_as_written_where_the_card_names_each_feeds_current(tmp_path: Path) -> None:
    """Two feeds of one phase: the step of the start-up says what a clamp on either shows."""
    folders = copy_of_demo(tmp_path, {"tarn-18"}, {"creamery"})
    (tmp_path / "content").symlink_to(Path(cli.__file__).parents[1] / "content")
    edit(folders, "models/tarn-18.yaml", "    - name: A\n", "    - name: 'A {stage} {line} [/x]'\n")
    edit(folders, "sites/creamery.yaml", "circuit_numbers: {A: ", "circuit_numbers: {'A {stage} {line} [/x]': ")
    edit(folders, "sites/creamery.yaml", "voltage: 208 V\n  phases: 3", "voltage: 208 V\n  phases: 1")
    (card,) = load(folders).cards.values()
    assert card.stops == ()
    texts = card_texts(card, US)
    steps = [row[0] for part in texts["parts"] for row in part["rows"]]
    assert "Lock off and tag breakers A {stage} {line} [/x] and B. Try to start. Prove dead." in steps
    assert {stage["feed"] for stage in texts["water"]["stages"]} == {"A {stage} {line} [/x]", "B"}


@pytest.mark.parametrize("form", ["table", "json", "github"])
def test_check_shows_the_words_as_written(
    project: tuple[Folders, set[int]], form: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(project[0].root)
    monkeypatch.setattr(sys, "argv", ["handbook", "check", "--format", form, "--severity", "ok", "--why"])
    with pytest.raises(SystemExit) as left:
        cli.main()
    out, err = capsys.readouterr()
    assert left.value.code in (0, 2), err
    unwrapped = re.sub(r"\n +", " ", out) if form == "table" else out
    assert len(whole([unwrapped.replace("%25", "%")])) >= 5


@pytest.mark.parametrize("template", ["{a}", "{b", "b}", "{}", "{a b}", "{{a}}", "{a.b}"])
def test_a_sentence_takes_no_brace_that_is_no_place(template: str) -> None:
    with pytest.raises(ValueError, match="a place without a value, or a brace that is none"):
        Sentence(template, (Value("other", 1.0, "count"),))


def test_a_value_of_a_sentence_is_never_filled_in() -> None:
    sentence = Sentence("The {a} and the {b}.", (Value("a", "{b}", "text"), Value("b", "[/x]", "text")))
    assert "".join(text for text, _ in sentence.filled(lambda value: str(value.value))) == "The {b} and the [/x]."

"""Whatever signs a writer's words hold, every output shows them as they are: none filled in, eaten or obeyed."""

import html
import json
import re
import sys
from collections.abc import Iterable
from pathlib import Path

import pytest

from generator import cli
from generator.build import Folders, load
from generator.errors import InputFaults, dotted
from generator.model.figures import Sentence, Value
from generator.model.inputs import Place
from generator.read.handbook import read_handbook
from generator.render.pages import render_pages
from generator.render.typst_card import told
from tests.changes.project import copy_of_demo, edit
from tests.styles import BOTH, US

# Places of card steps and findings, braces that are none, and what a terminal's markup and a template engine read.
SIGNS = "{stage} {torque} {fixture} {0} {} }{ [/north] [red] {{ 7*7 }} {% raw %} %s"
MARK = re.compile(rf"q(\d+)x (.{{{len(SIGNS)}}})", re.IGNORECASE | re.DOTALL)
Key = tuple[str, str]
# Of a table the words that nothing else refers to.
TABLES = ("code", "plumbing", "pipes", "burns", "tolerances")
CODE_WORDS = {"title", "clause", "note", "status", "document", "edition", "deferral", "obtained", "covers"}


def marked(number: int) -> str:
    return f"q{number}x {SIGNS}"


def put(lines: list[str], place: Place, text: str) -> bool:
    """Put `text` in the place of a scalar; False for a text over several lines."""
    line, start = lines[place.line - 1], place.column - 1
    for raw in (f'"{place.text}"', f"'{place.text}'", place.text):
        if line.startswith(raw, start):
            lines[place.line - 1] = f'{line[:start]}"{text}"{line[start + len(raw) :]}'
            return True
    return False


def inject(folders: Folders, places: dict[Key, Place], refused: set[Key]) -> set[int]:
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
            if place.text and (kind not in TABLES or path[-1] in CODE_WORDS)
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


def test_pages_and_cards_show_the_words_as_written(project: tuple[Folders, set[int]]) -> None:
    folders, written = project
    loaded = load(folders)
    pages = whole(html.unescape(page.text) for page in render_pages(folders.content, loaded.book))
    cards = whole(json.dumps(told(card, BOTH), ensure_ascii=False) for card in loaded.cards.values())
    assert len(pages) > 100
    assert len(cards) > 15
    assert pages | cards <= written


def test_a_feeds_name_is_shown_as_written_where_the_card_names_each_feeds_current(tmp_path: Path) -> None:
    """Two feeds of one phase: the step of the start-up says what a clamp on either shows."""
    folders = copy_of_demo(tmp_path, {"tarn-18"}, {"creamery"})
    (tmp_path / "content").symlink_to(Path(cli.__file__).parents[1] / "content")
    edit(folders, "models/tarn-18.yaml", "    - name: A\n", "    - name: 'A {stage} {line} [/x]'\n")
    edit(folders, "sites/creamery.yaml", "voltage: 208 V\n  phases: 3", "voltage: 208 V\n  phases: 1")
    (card,) = load(folders).cards.values()
    assert card.stops == ()
    steps = " ".join(told(card, US)["start_up"])
    assert re.search(
        r"Read about [0-9.]+\sA on circuit A \{stage\} \{line\} \[/x\] and [0-9.]+\sA on circuit B\.", steps
    )


@pytest.mark.parametrize("form", ["table", "json", "github"])
def test_check_shows_the_words_as_written(
    project: tuple[Folders, set[int]], form: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(project[0].root)
    monkeypatch.setenv("COLUMNS", "3000")
    monkeypatch.setattr(sys, "argv", ["handbook", "check", "--format", form, "--all"])
    with pytest.raises(SystemExit) as left:
        cli.main()
    out, err = capsys.readouterr()
    assert left.value.code in (0, 2), err
    assert len(whole([out.replace("%25", "%")])) >= 5


@pytest.mark.parametrize("template", ["{a}", "{b", "b}", "{}", "{a b}", "{{a}}", "{a.b}"])
def test_a_sentence_takes_no_brace_that_is_no_place(template: str) -> None:
    with pytest.raises(ValueError, match="a place without a value, or a brace that is none"):
        Sentence(template, (Value("other", 1.0, "count"),))


def test_a_value_of_a_sentence_is_never_filled_in() -> None:
    sentence = Sentence("The {a} and the {b}.", (Value("a", "{b}", "text"), Value("b", "[/x]", "text")))
    assert "".join(text for text, _ in sentence.filled(lambda value: str(value.value))) == "The {b} and the [/x]."

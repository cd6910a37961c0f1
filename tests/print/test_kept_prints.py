"""What is printed already is not set again, and what there is then is byte for byte what a first run would print."""

from __future__ import annotations

import random
import re
import shutil
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import pytest

from generator.build import Loaded
from generator.cli import cli
from generator.model.documents.card import Card
from generator.render.card.batch import Job, render_cards
from generator.render.card.pdf import Printing
from generator.render.kept_prints import FOLDER, kept_prints
from generator.render.typesetter import Typesetter
from generator.site_cards import printing_of
from tests.frozen import DATA, ROOT
from tests.sample import EXPLORED, sample

MORE = sample(2, 200)  # edits besides one of each kind


@dataclass
class Prints:
    """Some cards as they stand, the project that they are printed in, and how many documents were set."""

    root: Path
    cards: list[Card]
    printing: Printing
    sets: list[str]

    def print(self, root: Path | None = None) -> dict[str, bytes]:
        """Print all, with the PDF of all; return the files."""
        output = (root or self.root) / "build" / "print"
        jobs = [Job(card, output / f"{card.head.site_id}.pdf") for card in self.cards]
        kept = kept_prints(root or self.root, output, self.printing.folder)
        render_cards(jobs, self.printing, 1, combined=output / "cards.pdf", kept=kept)
        return {path.name: path.read_bytes() for path in sorted(output.glob("*.pdf"))}


@pytest.fixture
def prints(loaded: Loaded, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Prints:
    shutil.copytree(ROOT / "content" / "print", tmp_path / "content" / "print")
    shutil.copytree(ROOT / "content" / "assets", tmp_path / "content" / "assets")
    sets: list[str] = []
    setting = Typesetter.pdf

    def counted(self: Typesetter, subject: str, *given: object, **named: object) -> bytes:
        sets.append(subject)
        return setting(self, subject, *given, **named)

    monkeypatch.setattr(Typesetter, "pdf", counted)
    monkeypatch.delenv("SOURCE_DATE_EPOCH", raising=False)
    cards = [loaded.cards[site] for site in ("packing-house", "potting-shed", "creamery")]
    return Prints(tmp_path, cards, printing_of(tmp_path / "content", loaded.book), sets)


def test_a_second_run_sets_nothing(prints: Prints) -> None:
    first = prints.print()
    assert len(prints.sets) == len(prints.cards) + 1
    prints.sets.clear()
    assert prints.print() == first
    assert prints.sets == []


def test_one_change_sets_one_card_and_the_pdf_of_all(prints: Prints) -> None:
    prints.print()
    prints.sets.clear()
    prints.cards[1] = replace(prints.cards[1], basis="Another basis")
    prints.print()
    assert prints.sets == ["site potting-shed", "the combined cards"]


def test_another_template_or_picture_sets_all(prints: Prints) -> None:
    first = prints.print()
    _edit_template(prints, random.Random(1))
    second = prints.print()
    assert all(second[name] != first[name] for name in first)
    prints.sets.clear()
    (prints.printing.folder.parent / "assets" / "mark.svg").write_text("<svg/>", encoding="utf-8")
    assert prints.print() == second
    assert len(prints.sets) == len(first)


def _retitle(one: Prints, chance: random.Random) -> None:
    place = chance.randrange(len(one.cards))
    card = one.cards[place]
    one.cards[place] = replace(card, head=replace(card.head, site=f"Shed {chance.randrange(4)}"))


def _redate(one: Prints, chance: random.Random) -> None:
    day = one.cards[0].head.date.replace(day=chance.randrange(1, 28))
    one.cards = [replace(card, head=replace(card.head, date=day)) for card in one.cards]


def _renumber(one: Prints, chance: random.Random) -> None:
    place = chance.randrange(len(one.cards))
    card = one.cards[place]
    assert card.limit.value is not None
    one.cards[place] = replace(card, limit=replace(card.limit, value=card.limit.value + chance.choice((-1.0, 1.0))))


def _turn_paper(one: Prints, _chance: random.Random) -> None:
    one.printing = replace(one.printing, paper="a4" if one.printing.paper == "letter" else "letter")


def _reword(one: Prints, chance: random.Random) -> None:
    words = one.printing.style.words
    front = {**words.print["front"], "planning": f"{chance.randrange(9)} " + words.print["front"]["planning"]}
    style = replace(one.printing.style, words=replace(words, print={**words.print, "front": front}))
    one.printing = replace(one.printing, style=style)


def _edit_template(one: Prints, chance: random.Random) -> None:
    file = one.printing.folder / "card_back.typ"
    text = file.read_text(encoding="utf-8")
    size = f"#let body-size = 10.{chance.randrange(5, 10)}pt"
    file.write_text(re.sub(r"#let body-size = [0-9.]+pt", size, text), encoding="utf-8")


def _lose_a_print(one: Prints, chance: random.Random) -> None:
    chance.choice(sorted((one.root / "build" / "print").glob("*.pdf"))).unlink()


def _spoil_a_print(one: Prints, chance: random.Random) -> None:
    path = chance.choice(sorted((one.root / "build" / "print").glob("*.pdf")))
    path.write_bytes(path.read_bytes()[: chance.randrange(2000)])


def _spoil_what_is_kept(one: Prints, chance: random.Random) -> None:
    for path in (one.root / FOLDER).rglob("*.json"):
        held = bytearray(path.read_bytes())
        held[chance.randrange(len(held))] ^= 1
        path.write_bytes(chance.choice((bytes(held), b"", bytes(held[:70]), b"\xff" * 80)))


def _exchange_what_is_kept(one: Prints, _chance: random.Random) -> None:
    first, second, *_ = sorted((one.root / FOLDER).rglob("*.json"))
    kept = first.read_bytes()
    first.write_bytes(second.read_bytes())
    second.write_bytes(kept)


def _delete_what_is_kept(one: Prints, _chance: random.Random) -> None:
    shutil.rmtree(one.root / FOLDER)


EDITS: tuple[Callable[[Prints, random.Random], None], ...] = (
    _retitle,
    _redate,
    _renumber,
    _turn_paper,
    _reword,
    _edit_template,
    _lose_a_print,
    _spoil_a_print,
    _spoil_what_is_kept,
    _exchange_what_is_kept,
    _delete_what_is_kept,
)


def test_after_any_edits_it_is_what_a_first_run_prints(prints: Prints, tmp_path: Path) -> None:
    chance = random.Random(EXPLORED or 1)
    edits = [*EDITS, *chance.choices(EDITS, k=MORE)]
    chance.shuffle(edits)
    prints.print()
    for step, edit in enumerate(edits):
        edit(prints, chance)
        warm = prints.print()
        assert warm == prints.print(tmp_path / f"cold-{step}"), edit.__name__


def test_the_time_of_the_environment_goes_into_it(prints: Prints, monkeypatch: pytest.MonkeyPatch) -> None:
    first = prints.print()
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1000000000")
    assert prints.print() != first


def test_labels_and_records_are_not_set_again_either(prints: Prints, tmp_path: Path) -> None:
    root = tmp_path / "project"
    shutil.copytree(DATA, root / "site_data")
    before: dict[Path, int] = {}
    for again in (False, True):
        for words in (["label", "--all"], ["record", "packing-house", "creamery", "--combine"]):
            prints.sets.clear()
            cli.main(["--root", str(root), *words], standalone_mode=False)
            assert bool(prints.sets) is not again, words
        now = {path: path.stat().st_mtime_ns for path in (root / "build" / "print").rglob("*.pdf")}
        assert not again or now == before
        before = now
    assert len(before) == 12 + 3

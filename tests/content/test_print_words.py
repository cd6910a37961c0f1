"""The templates of print hold no word for readers: all stand in content/words/print.yaml, each with its places."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from generator.model.content.print.print_words import PRINT_PLACES
from tests.content.typst_source import Source, calls

PRINT = Path(__file__).parents[2] / "content" / "print"
TEMPLATES = {path.name: path.read_text(encoding="utf-8") for path in sorted(PRINT.glob("*.typ"))}
LETTERS = re.compile(r"[^\W\d_]{2,}")
# Where a string is a key, a setting of Typst or the name of a text, and no text itself.
SETTING = r"(weight|format|number-width|top-edge|bottom-edge): $"
BEFORE = re.compile(rf"(\bsay\(|[=!]= |\bpanic\(|#import |\brgb\(|{SETTING})$")
BEHIND = re.compile(r" (in|not in) ")
PATTERN = re.compile(r"\\p\{")
UNREAD = {
    *("Fira Sans", "DejaVu Sans"),
    *("<style>", " .drawing text { font-family: 'Fira Sans'; }</style>"),
    *("https://", "/details", "/assets/"),  # of addresses
    *("earthing", "residual-current-device", "residual-current-too-large"),  # facts of a circuit
}


def words_in(source: str) -> Iterator[str]:
    """Yield each text of two letters or more that a template would set."""
    read = Source(source).read()
    for before, text, behind in read.strings:
        if BEFORE.search(before[-40:]) or BEHIND.match(behind) or text in UNREAD or PATTERN.search(text):
            continue
        if LETTERS.search(text):
            yield text
    yield from (text for text in read.typed if LETTERS.search(text))


def test_no_template_holds_a_word() -> None:
    assert len(TEMPLATES) > 7
    assert {name: list(words_in(source)) for name, source in TEMPLATES.items()} == {name: [] for name in TEMPLATES}


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("heading(level: 1, text(18pt)[Start-up of #d.site])", "Start-up of \ufffc"),
        ("[#label(d.a)[Breaker]: #if d.b [*#d.c*] else if f(d.e) [none] #h(3pt) (see #d.page)]", "Breaker"),
        ("[#label(d.a)[#d.b]: #if d.b [*#d.c*] else if f(d.e) [none] #h(3pt)]", "none"),
        ("[#if d.b [*#d.c*] else { d.e } #h(3pt) (see #d.page)]", "see"),
        ("text(note)[#d.a.at(1).b.trim() amps]", "amps"),
        ('strong(d.title + " and more")', " and more"),
        ('heading("Water")', "Water"),
        ('note => "see " + note', "see "),
    ],
)
def test_a_word_in_a_template_is_noticed(line: str, text: str) -> None:
    found = [one for one in words_in(f"#let part(d) = {line}\n") if text in one]
    assert len(found) == 1
    assert (
        list(words_in('#let part(d) = [#if d.a == "to do" { say("all.stop") } else [#d.b A, *#d.c*]] // words here\n'))
        == []
    )


def test_each_text_is_set_and_with_the_values_that_it_has_places_for() -> None:
    asked: dict[str, set[frozenset[str]]] = {}
    for source in TEMPLATES.values():
        for name, places in calls(source, "say"):
            asked.setdefault(name, set()).add(frozenset(places))
    assert asked.pop("signal.") == {frozenset()}, "which words/choices.yaml has"
    known = {
        f"{part}.{id_}": {frozenset(places)} for part, texts in PRINT_PLACES.items() for id_, places in texts.items()
    }
    assert asked == known

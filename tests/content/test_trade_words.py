"""What is shown at the heater uses the words of the trade: a stage turns on and drops out, a breaker is a breaker."""

import html
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from generator.render.pages.write import Rendered
from tests.frozen import ROOT

WORDS = yaml.safe_load((Path(__file__).parent / "trade_words.yaml").read_text(encoding="utf-8"))
BANNED = re.compile("|".join(WORDS["banned"]), re.IGNORECASE)
ALLOWED = re.compile("|".join(WORDS["allowed"]), re.IGNORECASE)


def shown(page: str) -> str:
    """The text that a reader sees of a page, without markup, addresses, workings and marks of what a release said."""
    text = re.sub(r'(?s)<ins class="was".*?</ins>|<!--history-->.*?<!--/history-->', " ", page)
    text = re.sub(r"(?s)<details class=\"working.*?</details>|<(style|script).*?</\1>", " ", text)
    text = re.sub(r"\]\([^)]*\)|\{[#:.][^}]*\}|<[^>]*>", " ", text)
    return " ".join(html.unescape(text).split())


def found(page: str) -> set[str]:
    """Return the banned words of a page, in lower case."""
    return {hit.group().lower() for hit in BANNED.finditer(ALLOWED.sub(" ", shown(page)))}


def test_no_page_at_the_heater_uses_a_word_that_the_trade_does_not(rendered: tuple[Rendered, ...]) -> None:
    pages = [
        one for one in rendered if one.page.id not in WORDS["formal_pages"] and not one.page.id.endswith("/working")
    ]
    assert len(pages) > 40
    hits = {one.page.id: words for one in pages if (words := found(one.text) - set(WORDS["left"].get(one.page.id, ())))}
    assert not hits, hits


def test_what_is_listed_as_left_is_still_there(rendered: tuple[Rendered, ...]) -> None:
    texts = {one.page.id: one.text for one in rendered}
    assert not {page: gone for page, own in WORDS["left"].items() if (gone := set(own) - found(texts[page]))}


def test_a_banned_word_is_found_and_a_valve_may_close() -> None:
    assert found("At this flow stage 2 closes.") == {"stage 2 closes"}
    assert found("| Greatest <b>device</b> |") == {"greatest", "device"}
    assert not found("Close the valve. The cut-out opens at 140 °F. A residual current device of at least 30 mA.")


# Keys whose texts are names or conditions for the program, not words for a reader: of findings, and of all else.
CODES = {"rule", "when", "unless", "source", "passed"}
NAMES = CODES | {"id", "notice", "finding", "fact", "figure", "input", "where", "compare", "item", "part", "field"}
DATA = {
    "findings": (("findings/*.yaml",), CODES),  # also the cases that the demo never meets
    "the rest": (
        ("print/*.yaml", "words/*.yaml", "notices/*.yaml", "faults/*.yaml", "work.yaml", "stated.yaml"),
        NAMES,
    ),
}
CONTENT = ROOT / "content"


@pytest.mark.parametrize("kind", DATA)
def test_no_data_that_are_said_use_one_in_any_case(kind: str) -> None:
    """What findings, cards, labels, record forms, the book and the terminal say besides the pages."""
    patterns, names = DATA[kind]
    paths = sorted(path for pattern in patterns for path in CONTENT.glob(pattern))
    assert len(paths) > 20
    hits = {}
    for path in paths:
        texts = " . ".join(texts_of(yaml.safe_load(path.read_text(encoding="utf-8")), names))
        if words := found(re.sub(r"\{[^}]*\}", " ", texts)):
            hits[path.name] = words
    assert not hits, hits


def texts_of(entry: object, names: set[str]) -> Iterator[str]:
    """The texts of a file of content, without those under the keys `names`."""
    if isinstance(entry, str):
        yield entry
    elif isinstance(entry, list):
        for one in entry:
            yield from texts_of(one, names)
    elif isinstance(entry, dict):
        for key, one in entry.items():
            if key not in names:
                yield from texts_of(one, names)

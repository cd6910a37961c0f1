"""A text from the inputs shows as itself, wherever a template puts it."""

import html
import re

import markdown
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.render.escape import plain_text
from tests.render.small import HOSTILE

EXTENSIONS = ["attr_list", "def_list", "md_in_html", "tables", "toc"]
PLACES = {
    "heading": "# {}\n",
    "paragraph": "{}\n",
    "list item": "- {}\n",
    "table cell": "| a | b |\n| --- | --- |\n| {} | second |\n",
    "HTML text": '<div class="a"><p>{}</p></div>\n',
    "link": "[{}](https://handbook.example/)\n",
}


def shown(page: str) -> str:
    """What a browser shows of a piece of HTML."""
    return html.unescape(re.sub(r"<[^>]*>", "", page))


@pytest.mark.parametrize("place", PLACES)
def test_hostile_text_is_shown_and_adds_no_markup(place: str) -> None:
    bare = markdown.markdown(PLACES[place].format("text"), extensions=EXTENSIONS)
    page = markdown.markdown(PLACES[place].format(plain_text(HOSTILE)), extensions=EXTENSIONS)
    assert HOSTILE in shown(page)
    assert re.findall(r"<[a-z]+", page) == re.findall(r"<[a-z]+", bare)


def test_hostile_text_stays_inside_an_attribute() -> None:
    text = "\"><script>alert(1)</script> ' onclick='x"
    page = markdown.markdown(f'<div title="{plain_text(text)}">a</div>\n', extensions=EXTENSIONS)
    assert re.findall(r"<([a-z]+)", page) == ["div"]
    assert html.unescape(re.search(r'title="([^"]*)"', page)[1]) == text


@given(st.text(st.characters(codec="utf-8", exclude_categories=["C"]), min_size=1))
def test_any_text_is_shown_as_itself_in_a_paragraph(text: str) -> None:
    page = markdown.markdown(f"x {plain_text(text)} x", extensions=EXTENSIONS)
    assert re.findall(r"<[a-z]+", page) == ["<p"]
    spaces = re.compile(r"[^\S\u00a0]+")
    assert spaces.sub(" ", shown(page)).strip() == spaces.sub(" ", f"x {text} x")


@pytest.mark.parametrize(
    "text", ["- item", "+ item", "1. item", "2) item", ": term", "# head", "> quote", "---", "==="]
)
def test_a_text_that_looks_like_a_block_starts_none(text: str) -> None:
    page = markdown.markdown(f"first\n\n{plain_text(text)}\n", extensions=EXTENSIONS)
    assert set(re.findall(r"<([a-z0-9]+)", page)) == {"p"}
    assert text in shown(page)


def test_lines_of_a_text_become_one() -> None:
    assert plain_text("one\n\ntwo\n  three") == "one two three"


def test_a_number_with_its_unit_keeps_its_no_break_space() -> None:
    assert plain_text("0.50\u00a0gpm") == "0.50\u00a0gpm"

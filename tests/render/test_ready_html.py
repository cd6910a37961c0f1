"""HTML that goes round the conversion from Markdown comes out as if it had gone through."""

from __future__ import annotations

import markdown
import pytest

from generator.render.pages.as_html import EXTENSIONS, html_of
from generator.render.pages.ready_html import ids_in, put_back, taken_out

WHOLE = "<div class='a'>\n<p>*no star*</p>\n\n<div>\n\n  1. no list\n</div>\n</div>"


@pytest.mark.parametrize(
    ("text", "taken"),
    [
        (f"# Title\n\n{WHOLE}\n\nText *with star*.\n", 1),
        (f"{WHOLE}\n{WHOLE}\n\n{WHOLE}", 3),
        (f"A paragraph\n{WHOLE}\nand on.\n", 1),
        ("<section><h2 id='a'>A</h2>\n<section>b</section></section>\n## Head {: #b }\n", 1),
        ('<div markdown="1">\n*star*\n</div>\n\n<p>a</p>\n', 1),
        ("<div>\n<p markdown='span'>*star*</p>\n</div>\n", 0),
        ("<div>never closed\n\n*star*\n", 0),
        ("<p>ends</p> *before* the line\n", 0),
        ("- item\n\n    <div>*in a list*</div>\n", 0),
        ("  <p>*indented*</p>\n", 0),
        ("<ul><li>one\n\n<ul><li>*two*</li></ul>\n</li></ul>\n\n[^1]: note\n\ntext[^1]\n", 1),
        ("Text `<p>` and\n\n<pre><p>*a*</p></pre>\n", 0),
        ("", 0),
    ],
)
def test_what_is_taken_out_comes_back_as_the_conversion_leaves_it(text: str, taken: int) -> None:
    rest, ready = taken_out(text)
    assert len(ready) == taken
    assert put_back(rest, ready) == text
    assert html_of(text) == markdown.markdown(text, extensions=list(EXTENSIONS), output_format="html")


def test_links_may_lead_to_the_places_in_what_was_taken_out() -> None:
    assert ids_in(taken_out('<div id="one">\n<p id="two">a</p></div>\n\n<p>b</p>\n')[1]) == {"one", "two"}

"""A page's Markdown as HTML, for what does not come from the site engine: the bound book, parts of a pocket page."""

from __future__ import annotations

from functools import lru_cache

import markdown  # type: ignore[import-untyped]

from generator.render.pages.ready_html import put_back, taken_out

# The extensions of mkdocs.yml, so that a page reads as the site engine makes it.
EXTENSIONS = ("admonition", "attr_list", "def_list", "footnotes", "md_in_html", "tables", "toc")


def html_of(text: str) -> str:
    """Return a page's Markdown as HTML."""
    rest, ready = taken_out(text)
    return put_back(_converted(rest), ready)


@lru_cache(maxsize=256)  # the pages of tasks say the same for every site, but for what stands in HTML
def _converted(text: str) -> str:
    html: str = markdown.markdown(text, extensions=list(EXTENSIONS), output_format="html")
    return html

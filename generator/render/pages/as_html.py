"""A page's Markdown as HTML, for what does not come from the site engine: the bound book, parts of a pocket page."""

from __future__ import annotations

import markdown  # type: ignore[import-untyped]

# The extensions of mkdocs.yml, so that a page reads as the site engine makes it.
EXTENSIONS = ("admonition", "attr_list", "def_list", "footnotes", "md_in_html", "tables", "toc")


def html_of(text: str) -> str:
    """Return a page's Markdown as HTML."""
    html: str = markdown.markdown(text, extensions=list(EXTENSIONS), output_format="html")
    return html

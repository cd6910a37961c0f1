"""HTML as a small tree of elements and texts, as the pages' own Markdown gives it: well formed, no scripts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html import escape
from html.parser import HTMLParser

VOID = frozenset({"img", "br", "hr", "path", "polyline", "polygon", "line", "rect", "circle", "input", "wbr", "col"})
_SPACE = re.compile(r"[ \t\r\n\f]+")  # not the no-break space


@dataclass(slots=True)
class Element:
    """One element: tag, attributes, and children in order (elements and texts)."""

    tag: str
    attributes: dict[str, str] = field(default_factory=dict)
    children: list[Element | str] = field(default_factory=list)

    @property
    def classes(self) -> frozenset[str]:
        """The words of the class attribute."""
        return frozenset(self.attributes.get("class", "").split())

    def find_all(self, *tags: str) -> Iterator[Element]:
        """Yield every element with one of these tags inside this one, in order."""
        for child in self.children:
            if isinstance(child, Element):
                if child.tag in tags:
                    yield child
                yield from child.find_all(*tags)

    def text(self) -> str:
        """Return the text inside, white space run together."""
        parts = (child if isinstance(child, str) else child.text() for child in self.children)
        return _SPACE.sub(" ", "".join(parts)).strip()

    def markup(self) -> str:
        """Return the element as markup again."""
        attributes = "".join(f' {name}="{escape(value)}"' for name, value in self.attributes.items())
        inside = "".join(escape(child) if isinstance(child, str) else child.markup() for child in self.children)
        return f"<{self.tag}{attributes}>{inside}</{self.tag}>"


class _TreeBuilder(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.root = Element("root")
        self.open = [self.root]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Open an element; one that cannot hold anything is closed at once."""
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Add an element without content."""
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        """Close the innermost open element of this tag; without one, nothing."""
        for depth in range(len(self.open) - 1, 0, -1):
            if self.open[depth].tag == tag:
                del self.open[depth:]
                return

    def handle_data(self, data: str) -> None:
        """Add text."""
        self.open[-1].children.append(data)


def parse(html: str) -> Element:
    """Return the tree of an HTML fragment, under an element `root`."""
    builder = _TreeBuilder()
    builder.feed(html)
    builder.close()
    return builder.root


def spaced(text: str) -> str:
    """Return `text` with every run of white space as one space."""
    return _SPACE.sub(" ", text)

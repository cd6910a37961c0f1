"""A page's HTML as the nodes that content/print/book.typ sets: plain data, nothing that Typst would read as markup.

A node is a text, or a mapping with one key that names its kind (see `BookPage` for the kinds with a method each).
"""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from generator.errors import PageFault
from generator.render.book.html_tree import Element, spaced

Node = str | dict[str, Any]

SIGNALS = ("danger", "warning", "caution", "notice")
SEVERITIES = ("stop", "attention", "ok")
# What only the site needs, or what the print shows in another way.
DROPPED = {"cue", "page-code", "head", "moved", "jump", "links", "find", "footnote-backref"}
# Kinds that run on in a line; every other kind stands in a block of its own.
RUN_ON = {"strong", "em", "sub", "sup", "code", "unit", "link", "url", "severity", "alert", "br", "short"}
INLINE = {"strong": "strong", "b": "strong", "em": "em", "i": "em", "sub": "sub", "sup": "sup", "code": "code"}


@dataclass(frozen=True, slots=True)
class BookPage:
    """Turns one page into nodes.

    `targets`: the labels of the book, by page id and fragment; `files`: where each picture lies under content/, by its
    path in the site's source; `working`: whether the steps behind each figure are shown.
    """

    id: str
    targets: Mapping[tuple[str, str], str]
    files: Mapping[str, str]
    working: bool

    def nodes(self, element: Element) -> list[Node]:
        """Return the nodes of an element's children."""
        found: list[Node] = []
        for child in element.children:
            found += [spaced(child)] if isinstance(child, str) else self.node(child)
        return [node for place, node in enumerate(found) if node != "" and not _between_blocks(found, place)]

    def node(self, element: Element) -> list[Node]:
        """Return the nodes of one element, its label before it where something may point at it."""
        if element.classes & DROPPED:
            return []
        made = self._made(element)
        return made if element.tag in ("h1", "tr") else [*self._anchor(element), *made]

    def label(self, element: Element) -> str | None:
        """Return the label of an element that has an id."""
        name = element.attributes.get("id")
        return self.targets[self.id, name] if name else None

    def _anchor(self, element: Element) -> list[Node]:
        label = self.label(element)
        return [{"label": label}] if label else []

    def _made(self, element: Element) -> list[Node]:
        if "admonition" in element.classes:
            return [{"frame": self.nodes(element)}]
        for word in SIGNALS:
            if word in element.classes and "safety" in element.classes:
                return [self.notice(element, word)]
        for word in SEVERITIES:
            if word in element.classes:
                return [self.judged(element, word)]
        if element.tag in INLINE:
            return [{INLINE[element.tag]: self.nodes(element)}]
        make: Callable[[Element], list[Node]] | None = getattr(self, f"_{element.tag}", None)
        if make is not None:
            return make(element)
        if element.classes & {"inputs", "numbers", "result", "note"}:
            return [{"br": True}, *self.nodes(element)]
        if element.classes & {"other-unit", "conditions"}:
            return [" ", {"unit": self.nodes(element)}]
        return [*([" "] if "source" in element.classes else []), *self.nodes(element)]

    def notice(self, element: Element, word: str) -> Node:
        """Return a safety message: as a panel with its sign, or in short where it stands in a step."""
        if element.tag != "div":
            inside = [child for child in element.children if isinstance(child, str) or "signal" not in child.classes]
            return {"short": word, "c": self.nodes(Element("span", {}, inside))}
        body = next(part for part in element.find_all("div") if "body" in part.classes)
        sign = next((picture for picture in body.find_all("img") if "sign" in picture.classes), None)
        rest = Element("div", {}, [part for part in body.children if part is not sign])
        return {"notice": word, "sign": self._img(sign)[0] if sign else None, "c": self.nodes(rest)}

    def judged(self, element: Element, word: str) -> Node:
        """Return a finding in a frame, or the word of a severity in a line."""
        if "severity" in element.classes:
            return {"severity": word, "c": [element.text().lstrip("✓✕! ")]}
        return {"finding": word, "c": self.nodes(element)}

    def _h1(self, _: Element) -> list[Node]:
        return []

    _template = _style = _h1

    def _h2(self, element: Element) -> list[Node]:
        return [{"heading": int(element.tag[1]), "c": [_without_page(node) for node in self.nodes(element)]}]

    _h3 = _h4 = _h5 = _h6 = _h2

    def _p(self, element: Element) -> list[Node]:
        inside = self.nodes(element)
        pictures = [node for node in inside if isinstance(node, dict) and "image" in node]
        rest = [node for node in inside if node not in pictures]
        text: list[Node] = [{"p": rest, "note": bool(element.classes & {"table-note", "source"})}]
        return [*([] if pictures and not any(map(_shows, rest)) else text), *pictures]

    def _br(self, _: Element) -> list[Node]:
        return [{"br": True}]

    def _div(self, element: Element) -> list[Node]:
        inside = self.nodes(element)
        return [{"frame": inside}] if "deferral" in element.classes else [{"block": inside}]

    def _ul(self, element: Element) -> list[Node]:
        items = [child for child in element.children if isinstance(child, Element) and child.tag == "li"]
        return [{element.tag: [[*self._anchor(item), *self.nodes(item)] for item in items]}]

    _ol = _ul

    def _blockquote(self, element: Element) -> list[Node]:
        return [{"quote": self.nodes(element)}]

    def _dl(self, element: Element) -> list[Node]:
        pairs: list[tuple[list[Node], list[Node]]] = []
        for part in element.find_all("dt", "dd"):
            if part.tag == "dt":
                pairs.append((self.nodes(part), []))
            elif pairs:
                pairs[-1][1].extend(self.nodes(part))
        return [{"terms": [list(pair) for pair in pairs]}]

    def _details(self, element: Element) -> list[Node]:
        summary = next(element.find_all("summary"), None)
        if element.classes & {"fold", "check"}:
            kept = (
                element.children
                if "check" in element.classes
                else [one for one in element.children if one is not summary]
            )
            return [{"block": self.nodes(Element("div", {}, kept))}]
        shown = self.nodes(summary) if summary and "of-table" not in element.classes else []
        if not self.working:
            return shown
        rest = Element("div", {}, [child for child in element.children if child is not summary])
        return [*shown, {"working": self.nodes(rest)}]

    def _a(self, element: Element) -> list[Node]:
        inside, href = self.nodes(element), element.attributes.get("href", "")
        if "://" in href or href.startswith("mailto:"):
            return [{"url": href, "c": inside}]
        path, _, fragment = href.partition("#")
        page = posixpath.normpath(posixpath.join(posixpath.dirname(self.id), path)) if path else self.id
        page = page.removesuffix(".html").removesuffix(".md")
        label = self.targets.get((page, fragment)) or self.targets.get((page, ""))
        return [{"link": label, "away": page != self.id, "c": inside}] if label else inside

    def _img(self, element: Element) -> list[Node]:
        source = posixpath.normpath(posixpath.join(posixpath.dirname(self.id), element.attributes.get("src", "")))
        alt = element.attributes.get("alt", "")
        if source not in self.files or not alt:
            raise PageFault(f"{self.id}: the book cannot show the picture '{source}'; see `handbook check`")
        return [{"picture" if "sign" in element.classes else "image": self.files[source], "alt": alt}]

    def _svg(self, element: Element) -> list[Node]:
        if "alert" in element.classes:
            return [{"alert": True}]
        if "drawing" not in element.classes:
            return []
        words = [part.text() for tag in ("title", "desc") for part in element.find_all(tag)]
        return [{"drawing": _cased(element.markup()), "alt": ". ".join(words)}]

    def _figure(self, element: Element) -> list[Node]:
        caption = next(element.find_all("figcaption"), None)
        rest = Element("div", {}, [child for child in element.children if child is not caption])
        return [{"figure": self.nodes(rest), "caption": self.nodes(caption) if caption else []}]

    def _table(self, element: Element) -> list[Node]:
        caption = next(element.find_all("caption"), None)
        rows = [(row, self._cells(row)) for row in element.find_all("tr")]
        heads = {id(row) for part in element.find_all("thead") for row in part.find_all("tr")}
        return [
            {
                "table": [cells for row, cells in rows if id(row) not in heads],
                "head": [cells for row, cells in rows if id(row) in heads],
                "caption": self.nodes(caption) if caption else [],
            }
        ]

    def _cells(self, row: Element) -> list[Node]:
        cells = [child for child in row.children if isinstance(child, Element) and child.tag in ("td", "th")]
        made: list[Node] = [
            {
                "c": self.nodes(cell),
                "head": cell.tag == "th",
                "span": int(cell.attributes.get("colspan", "1")),
                "label": self.label(cell),
            }
            for cell in cells
        ]
        label = self.label(row)
        if label and made and isinstance(made[0], dict):
            made[0]["label"] = label
        return made


def labels_in(node: object) -> Iterator[str]:
    """Yield the labels that nodes set: what a link of the print can point at."""
    if isinstance(node, dict):
        if label := node.get("label"):
            yield label
        for part in node.values():
            yield from labels_in(part)
    elif isinstance(node, list):
        for part in node:
            yield from labels_in(part)


def pointed(node: Any, known: Collection[str]) -> Any:
    """Return nodes in which a link to a place that the print leaves out, such as working, leads to its page instead."""
    if isinstance(node, dict):
        made = {key: pointed(part, known) for key, part in node.items()}
        if "link" in made and made["link"] not in known:
            made["link"] = made["link"].partition("#")[0]
        return made
    return [pointed(part, known) for part in node] if isinstance(node, list) else node


def _cased(svg: str) -> str:
    """Return a drawing with the names that HTML has no cases for written as SVG has them."""
    return svg.replace(" viewbox=", " viewBox=", 1)


def _without_page(node: Node) -> Node:
    """Return a node of a heading; a reference there goes without its page number, which the contents would repeat."""
    return node | {"away": False} if isinstance(node, dict) and "link" in node else node


def _shows(node: Node) -> bool:
    return not (isinstance(node, str) and node.isspace())


def _between_blocks(nodes: list[Node], place: int) -> bool:
    """Whether a node is white space beside a block or at an end, where it would be set as a line of its own."""
    if nodes[place] != " ":
        return False
    beside = [nodes[other] for other in (place - 1, place + 1) if 0 <= other < len(nodes)]
    return len(beside) < 2 or any(isinstance(node, dict) and not RUN_ON & set(node) for node in beside)

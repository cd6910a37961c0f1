"""What a book for one site leaves to the site's own pages, so that it can be carried.

Of all checks and tables it keeps the values for each task, the visits and the findings that ask for something; of
fault finding what to ask first, and of each symptom when to stop and its questions in order. The steps, and every
table, stand on the pages, where the code on the card leads.
"""

from __future__ import annotations

from generator.render.book.html_tree import Element

KEPT = {"tasks", "visits", "findings"}  # the sections of a site's details, by the ids of their headings


def brief(part: str, tree: Element) -> Element:
    """Return the tree of a page with what such a book has of it: of a site's `details` or `faults`, else all."""
    if part == "details":
        return Element(tree.tag, tree.attributes, _sections(tree.children))
    if part == "faults":
        return _questions(tree, 0)
    return tree


def _sections(children: list[Element | str]) -> list[Element | str]:
    """Return what stands before the first section, and the sections that are kept."""
    found: list[Element | str] = []
    keeps = True
    for child in children:
        if isinstance(child, Element):
            if child.tag == "h2":
                keeps = child.attributes.get("id") in KEPT
            if any("checked" in one.classes for one in child.find_all("ul")):
                continue  # what was checked and found well
        if keeps:
            found.append(child)
    return found


def _questions(node: Element, depth: int) -> Element:
    """Return fault finding with its questions alone; `depth`: how many symptoms and questions a node stands in."""
    children: list[Element | str] = []
    for child in node.children:
        if isinstance(child, str):
            children.append(child)
        elif child.attributes.get("aria-labelledby") != "states" and (depth < 2 or child.tag == "summary"):
            children.append(_questions(child, depth + ("check" in child.classes)))
    return Element(node.tag, node.attributes, children)

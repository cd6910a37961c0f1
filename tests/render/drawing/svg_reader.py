"""A drawing read back: its shapes by class, its texts, and the numbers at places along its axes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
Points = list[tuple[float, float]]


@dataclass(frozen=True)
class Read:
    """The parsed drawing."""

    root: ElementTree.Element

    def of_class(self, *names: str) -> list[ElementTree.Element]:
        """Elements that have all these classes, in order."""
        return [one for one in self.root.iter() if set(names) <= set(one.get("class", "").split())]

    @property
    def texts(self) -> list[str]:
        """What is written, in order, without the title and the description."""
        return [(one.text or "").replace("\u00a0", " ") for one in self.root.iter(f"{SVG}text")]

    def words(self, tag: str) -> str:
        """The title or the description."""
        (found,) = self.root.iter(f"{SVG}{tag}")
        return (found.text or "").replace("\u00a0", " ")

    def text_at(self, text: str) -> tuple[float, float]:
        """Where a text is written first."""
        for one in self.root.iter(f"{SVG}text"):
            if (one.text or "").replace("\u00a0", " ") == text:
                return float(one.get("x", "nan")), float(one.get("y", "nan"))
        raise AssertionError(f"{text!r} is not among {self.texts}")


def read(svg: str) -> Read:
    """The drawing, which must be sound XML with a name, words and no script."""
    assert "\n" not in svg  # a line of Markdown that begins inside it would be read as text
    found = Read(ElementTree.fromstring(svg))
    assert found.root.get("role") == "img" and found.words("title") and found.words("desc")
    assert not [one for one in found.root.iter() if one.tag.endswith("script")]
    return found


def points(element: ElementTree.Element) -> Points:
    """The points of a polyline or polygon."""
    pairs = [pair.split(",") for pair in element.get("points", "").split()]
    return [(float(x), float(y)) for x, y in pairs]


def spans(element: ElementTree.Element) -> list[tuple[float, float, float]]:
    """The level pieces of a path: height, start and end."""
    found = re.findall(r"M([-\d.]+) ([-\d.]+)H([-\d.]+)", element.get("d", ""))
    return [(float(y), float(start), float(end)) for start, y, end in found]


@dataclass(frozen=True)
class Axis:
    """Numbers along an axis, by two of its marks: their places [px] and their numbers."""

    first: tuple[float, float]
    last: tuple[float, float]

    def number(self, place: float) -> float:
        """The number at a place."""
        (at_0, one), (at_1, other) = self.first, self.last
        return one + (place - at_0) / (at_1 - at_0) * (other - one)

    def place(self, number: float) -> float:
        """The place of a number."""
        (at_0, one), (at_1, other) = self.first, self.last
        return at_0 + (number - one) / (other - one) * (at_1 - at_0)


def axes_of(drawing: Read, bottom: float) -> tuple[Axis, Axis]:
    """The axes of a chart: marks of the flow stand below `bottom`, those of the other beside the grid."""
    texts = [
        (float(one.get("x", "nan")), float(one.get("y", "nan")), one.text or "", one.get("text-anchor"))
        for one in drawing.root.iter(f"{SVG}text")
        if re.fullmatch(r"−?[\d.]+", one.text or "") and "strong" not in one.get("class", "")
    ]
    xs = [(x, _number(text)) for x, y, text, anchor in texts if y > bottom + 10.0 and anchor == "middle"]
    ys = [(y - 4.5, _number(text)) for _, y, text, anchor in texts if y < bottom + 8.0 and anchor == "end"]
    return Axis(min(xs), max(xs)), Axis(max(ys), min(ys))


def _number(text: str) -> float:
    return float(text.replace("−", "-"))

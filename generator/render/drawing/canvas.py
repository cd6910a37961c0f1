"""A sheet to draw on: shapes with the classes that content/assets/drawing.css colours, and labels that keep apart.

The sheet is as wide as the text of a phone of 390 px, so its text is as large there as it is stated here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from markupsafe import Markup, escape

from generator.render.drawing.text_width import text_width

WIDTH = 358.0
SIZE, ABOVE, BELOW = 13.0, 0.94, 0.24  # a text [px], and how far it reaches from its line, in parts of that
APART = 1.0  # between two labels
ROW = 17.0  # from line to line of a key

Anchor = Literal["start", "middle", "end"]


class Place(NamedTuple):
    """Where a text may stand: a point of its line, and which part of the text is there."""

    x: float
    y: float
    anchor: Anchor = "start"


class Box(NamedTuple):
    """The room that a text takes."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Whether two boxes share room."""
        return (
            self.left < other.right + APART
            and other.left < self.right + APART
            and self.top < other.bottom
            and other.top < self.bottom
        )


@dataclass(frozen=True, slots=True)
class KeyEntry:
    """A line of the key: the class and form of its sign, and its text. No form: the text alone."""

    form: Literal["line", "area", "dot", "square", ""]
    kind: str
    text: str
    bold: bool = False


@dataclass(slots=True)
class Canvas:
    """What is drawn so far, and the room that its texts take."""

    height: float
    parts: list[str] = field(default_factory=list)
    boxes: list[Box] = field(default_factory=list)

    def path(self, kind: str, d: str) -> None:
        """Draw a path."""
        self.parts.append(f'<path class="{kind}" d="{d}"/>')

    def polyline(self, kind: str, points: Iterable[tuple[float, float]]) -> None:
        """Draw a line through points."""
        self.parts.append(f'<polyline class="{kind}" points="{_points(points)}"/>')

    def polygon(self, kind: str, points: Iterable[tuple[float, float]]) -> None:
        """Draw an area within points."""
        self.parts.append(f'<polygon class="{kind}" points="{_points(points)}"/>')

    def rect(self, kind: str, left: float, top: float, *, width: float, height: float) -> None:
        """Draw a rectangle."""
        corner = f'x="{left:.4g}" y="{top:.4g}"'
        self.parts.append(f'<rect class="{kind}" {corner} width="{width:.4g}" height="{height:.4g}"/>')

    def circle(self, kind: str, x: float, y: float, *, radius: float) -> None:
        """Draw a circle."""
        self.parts.append(f'<circle class="{kind}" cx="{x:.4g}" cy="{y:.4g}" r="{radius:g}"/>')

    def text(self, text: str, at: Place, *, bold: bool = False) -> None:
        """Write a text where nothing else can be."""
        self._write(text, at, bold)

    def label(self, text: str, places: Iterable[Place], *, bold: bool = False) -> bool:
        """Write a text at the first of `places` that is free and within the sheet; return whether there was one."""
        for at in places:
            box = _box(text, at, bold)
            within = box.left >= 0.0 and box.right <= WIDTH and box.top >= 0.0 and box.bottom <= self.height
            if within and not any(box.meets(other) for other in self.boxes):
                self._write(text, at, bold)
                return True
        return False

    def _write(self, text: str, at: Place, bold: bool) -> None:
        self.boxes.append(_box(text, at, bold))
        anchor = "" if at.anchor == "start" else f' text-anchor="{at.anchor}"'
        weight = ' class="strong"' if bold else ""
        self.parts.append(f'<text{weight} x="{at.x:.4g}" y="{at.y:.4g}"{anchor}>{_escaped(text)}</text>')

    def key(self, entries: Iterable[KeyEntry]) -> None:
        """Write the key below all else, as many entries a line as it holds, and make the sheet as high as it needs."""
        x, y, first = 0.0, self.height + SIZE, True
        for entry in entries:
            for text in _lines(entry):
                start = x + (26.0 if entry.form else 0.0)
                if not first and start + text_width(text, SIZE, entry.bold) > WIDTH:
                    x, y = 0.0, y + ROW
                    start = 26.0 if entry.form else 0.0
                if entry.form and text == _lines(entry)[0]:
                    self._sign(entry, x, y - 4.5)
                self.text(text, Place(start, y), bold=entry.bold)
                x, first = start + text_width(text, SIZE, entry.bold) + 12.0, False
        if not first:
            self.height = y + SIZE * BELOW + 1.0

    def _sign(self, entry: KeyEntry, x: float, y: float) -> None:
        match entry.form:
            case "line":
                self.path(entry.kind, f"M{x:g} {y:g}h21")
            case "area":
                self.rect(entry.kind, x, y - 6.0, width=21.0, height=12.0)
            case "dot":
                self.circle(entry.kind, x + 10.5, y, radius=4.5)
            case _:
                self.rect(entry.kind, x + 6.5, y - 4.0, width=8.0, height=8.0)

    def svg(self, title: str, description: str, kind: str = "") -> Markup:
        """Return the drawing: `title` is what it is, `description` its key numbers, for who cannot see it."""
        classes = f"drawing {kind}".strip()
        head = f'<svg class="{classes}" viewBox="0 0 {WIDTH:g} {self.height:.4g}" role="img" '
        words = f"<title>{_escaped(title)}</title><desc>{_escaped(description)}</desc>"
        return Markup(f'{head}xmlns="http://www.w3.org/2000/svg">{words}{"".join(self.parts)}</svg>')


def _escaped(text: str) -> Markup:
    return escape(" ".join(text.split(" ")).replace("\n", " "))


def _points(points: Iterable[tuple[float, float]]) -> str:
    return " ".join(f"{x:.4g},{y:.4g}" for x, y in points)


def _box(text: str, at: Place, bold: bool) -> Box:
    width = text_width(text, SIZE, bold)
    left = at.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[at.anchor] * width
    return Box(left, at.y - SIZE * ABOVE, left + width, at.y + SIZE * BELOW)


def _lines(entry: KeyEntry) -> list[str]:
    return broken(entry.text, WIDTH - (26.0 if entry.form else 0.0), bold=entry.bold)


def broken(text: str, width: float, *, bold: bool = False) -> list[str]:
    """Return a text in lines of a width at the most, broken between words; a word that is longer loses its end."""
    lines: list[str] = []
    for word in text.split(" "):
        while text_width(word, SIZE, bold) > width:
            word = f"{word[:-2]}…"
        if lines and text_width(f"{lines[-1]} {word}", SIZE, bold) <= width:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    return lines


def one_line(text: str, width: float) -> str:
    """Return a text, or as many of its first words as a line of that width holds, with a sign that more follows."""
    lines = broken(text, width)
    return lines[0] if len(lines) == 1 else f"{broken(text, width - text_width(' …', SIZE, False))[0]} …"

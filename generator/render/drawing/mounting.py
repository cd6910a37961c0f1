"""A model on its wall, to scale: seen from the front and from the side, with the free space about it."""

from __future__ import annotations

from collections.abc import Iterator

from markupsafe import Markup

from generator.model.content.drawing_words import DrawingWord
from generator.model.content.words import Style
from generator.model.documents.drawings import MountingDrawing
from generator.model.figures import Value
from generator.render.drawing.canvas import WIDTH, Canvas, KeyEntry, Place
from generator.render.drawing.speech import Speech

TOP, BETWEEN, TALL = 20.0, 26.0, 260.0  # under the heads, between the views, and the most height of both [px]


def mounting(record: MountingDrawing, style: Style) -> Markup:
    """Return the drawing of a model."""
    say = Speech(style)
    width, height, depth = (float(one.value) for one in record.outline)
    above, below, sides, front = map(_metres, (record.above, record.below, record.sides, record.front))
    wide, tall = width + 2.0 * sides, above + height + below
    scale = min((WIDTH - BETWEEN - 4.0) / (wide + depth + front), TALL / tall)
    sheet = Canvas(TOP + scale * tall + 4.0)
    left, wall = 2.0, 2.0 + scale * wide + BETWEEN
    bottom, box_top = TOP + scale * tall, TOP + scale * above
    sheet.label(say.word("from-the-front"), [Place(0.0, 12.5)], bold=True)
    sheet.label(say.word("from-the-side"), [Place(wall, 12.5), Place(WIDTH, 12.5, "end")], bold=True)
    sheet.rect("free", left, TOP, width=scale * wide, height=scale * tall)
    sheet.rect("free", wall, TOP, width=scale * (depth + front), height=scale * tall)
    sheet.rect("outline", left + scale * sides, box_top, width=scale * width, height=scale * height)
    sheet.rect("outline", wall, box_top, width=scale * depth, height=scale * height)
    sheet.path("wall", f"M{wall:.4g} {TOP:g}V{bottom:.4g}")
    middle = left + 0.5 * scale * wide
    letters = (
        ("a", middle, TOP + 0.5 * scale * above),
        ("b", middle, bottom - 0.5 * scale * below),
        ("c", left + 0.5 * scale * sides, box_top + 0.5 * scale * height),
        ("c", left + scale * (wide - 0.5 * sides), box_top + 0.5 * scale * height),
        ("d", wall + scale * (depth + 0.5 * front), box_top + 0.5 * scale * height),
    )
    for letter, x, y in letters:
        sheet.label(letter, [Place(x, y + 4.5, "middle")], bold=True)
    for hot, _, side in record.connections:
        x, y = _at(side, left + scale * sides, box_top, width=scale * width, height=scale * height)
        sheet.circle("tap warm" if hot else "tap cool", x, y, radius=4.5)
    sheet.key(_key(record, say))
    return sheet.svg(say.word("mounting-title", model=record.title), f"{_told(record, say)}.", "mounting")


def _metres(value: Value) -> float:
    return float(value.value)


def _at(side: str, left: float, top: float, *, width: float, height: float) -> tuple[float, float]:
    """Return where a connection is, by the words of its side: at the bottom in the middle where these say nothing."""
    words = side.lower().replace(",", " ").split()
    across = 0.2 if "left" in words else 0.8 if "right" in words else 0.5
    if not {"top", "bottom", "back"} & set(words) and across != 0.5:
        return left + (0.0 if across < 0.5 else width), top + 0.5 * height
    return left + across * width, top if "top" in words else top + height


def _key(record: MountingDrawing, say: Speech) -> Iterator[KeyEntry]:
    free: tuple[tuple[str, DrawingWord, Value], ...] = (
        ("a", "free-above", record.above),
        ("b", "free-below", record.below),
        ("c", "free-sides", record.sides),
        ("d", "free-front", record.front),
    )
    for letter, entry, value in free:
        yield KeyEntry("", "", f"{letter} {say.word(entry, distance=say.show(value))}")
    width, height, depth = map(say.show, record.outline)
    yield KeyEntry("", "", say.word("outline", width=width, height=height, depth=depth), bold=True)
    for hot, size, side in record.connections:
        named = say.word("hot-outlet", size=size, side=side) if hot else say.word("cold-inlet", size=size, side=side)
        yield KeyEntry("dot", "tap warm" if hot else "tap cool", named)


def _told(record: MountingDrawing, say: Speech) -> str:
    return "; ".join(entry.text for entry in _key(record, say))

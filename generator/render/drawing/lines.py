"""Curves that share their axes, each with its own dashes, and a level that they are held against."""

from __future__ import annotations

from markupsafe import Markup

from generator.model.content.words import Style
from generator.model.documents.drawings import LinesDrawing
from generator.model.water_results import Curve
from generator.render.drawing.axes import axes, draw_axes, draw_level
from generator.render.drawing.canvas import Canvas, KeyEntry
from generator.render.drawing.speech import Speech

BOTTOM = 200.0
KINDS = ("line", "line dashed", "line dotted")


def lines(record: LinesDrawing, style: Style) -> Markup:
    """Return the drawing. ValueError without points."""
    say, sheet, first = Speech(style), Canvas(BOTTOM + 19.0), record.curves[0]
    shown = [[_shown(curve, point, say) for point in curve.points] for curve in record.curves]
    ys = [y for curve in shown for _, y in curve]
    level = say.at(float(record.level.value), first.y_kind) if record.level else None
    on = axes([x for curve in shown for x, _ in curve], ys if level is None else [*ys, level], BOTTOM)
    draw_axes(sheet, on, f"{_axis(first.y_label, first.y_kind, say)}; {_axis(first.x_label, first.x_kind, say)}")
    key = []
    for curve, points, kind in zip(record.curves, shown, KINDS, strict=False):
        sheet.polyline(kind, [on.at(x, y) for x, y in points])
        if len(record.curves) > 1:
            key.append(KeyEntry("line", kind, curve.title))
    if record.level is not None and level is not None:
        draw_level(sheet, on, "limit", number=level)
        key.append(KeyEntry("line", "limit", f"{record.level.symbol} {say.show(record.level)}"))
    sheet.key(key)
    return sheet.svg(record.title, " ".join(_words(curve, say) for curve in record.curves), "lines")


def _shown(curve: Curve, point: tuple[float, float], say: Speech) -> tuple[float, float]:
    return say.at(point[0], curve.x_kind), say.at(point[1], curve.y_kind)


def _axis(label: str, kind: str, say: Speech) -> str:
    sign = say.sign(kind)
    return f"{label}, {sign}" if sign else label


def _words(curve: Curve, say: Speech) -> str:
    """Return a curve in words: where it starts and ends, and its least and greatest value."""
    ys = [y for _, y in curve.points]
    (start_x, start_y), (end_x, end_y) = curve.points[0], curve.points[-1]
    at_start, at_end = (say.quantity(x, curve.x_kind) for x in (start_x, end_x))
    start, end, least, greatest = (say.quantity(y, curve.y_kind) for y in (start_y, end_y, min(ys), max(ys)))
    named = {"title": curve.title, "axis": curve.y_label, "start": start, "at_start": at_start, "end": end}
    return say.word("curve", **named, at_end=at_end, least=least, greatest=greatest)

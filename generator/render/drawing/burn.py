"""How soon hot water burns, as published, and where this site's hottest water lies.

Rows are neither joined nor run together: water takes the time of the next hotter row of one document, so each line is
level up to its row and falls there. The time has a logarithmic scale.
"""

from __future__ import annotations

import math

from markupsafe import Markup

from generator.model.content.words import Style
from generator.model.documents.drawings import BurnDrawing
from generator.render.drawing.axes import LEFT, RIGHT, TOP, Axes, Scale, draw_axes, round_ticks
from generator.render.drawing.canvas import Canvas, KeyEntry, Place
from generator.render.drawing.speech import Speech

BOTTOM = 190.0
KIND = "temperature"
LINES = ("thin", "thin dashed", "line dotted", "thin dotted")
TIMES_S = (1.0, 3.0, 10.0, 30.0, 100.0, 300.0)
MARGIN = 4.0  # degrees beside the rows


def burn(record: BurnDrawing, style: Style) -> Markup:
    """Return the drawing of the published tables with a site's water."""
    say, sheet = Speech(style), Canvas(BOTTOM + 19.0)
    on = _axes(record, say)
    draw_axes(sheet, on, say.word("burn-axes", sign=say.sign(KIND)))
    sheet.path("grid", "".join(f"M{LEFT:g} {_height(on, time):g}H{RIGHT:g}" for time in TIMES_S))
    for time in TIMES_S:
        sheet.label(f"{time:g}", [Place(LEFT - 4.0, _height(on, time) + 4.5, "end")])
    hottest = [(record.hottest, "worst"), *([(record.top, "step warm")] if record.top else [])]
    for figure, kind in hottest:
        if isinstance(figure.value, float):
            x = on.x.at(min(say.at(figure.value, KIND), on.x.most))
            sheet.path(kind, f"M{x:g} {TOP:g}V{BOTTOM:g}")
    key = [KeyEntry("line", "worst", say.word("burn-here", hottest=say.show(record.hottest)))]
    if record.top is not None:
        key.append(KeyEntry("line", "step warm", say.word("burn-top", hottest=say.show(record.top))))
    for place, (name, rows) in enumerate(record.tables):
        sheet.path(LINES[place % len(LINES)], _steps(rows, on, say))
        key.append(KeyEntry("line", LINES[place % len(LINES)], name))
    sheet.key(key)
    words = [f"{one.text}." for one in key[: len(hottest)]]
    for name, rows in record.tables:
        told = (f"{say.quantity(k, KIND)} {say.quantity(s, 'time', 'at_most')}" for k, s in rows)
        words.append(f"{name}: {', '.join(told)}.")
    return sheet.svg(say.word("burn-title"), " ".join(words), "burn")


def _axes(record: BurnDrawing, say: Speech) -> Axes:
    shown = [say.at(k, KIND) for _, rows in record.tables for k, _ in rows]
    here = [say.at(k, KIND) for k in _known(record)]
    least, most = min([*shown, *here]) - MARGIN, max(shown)
    marks = tuple(mark for mark in round_ticks(least, most) if least <= mark <= most)
    return Axes(Scale(least, most, LEFT, RIGHT), Scale(-0.2, 2.8, BOTTOM, TOP), marks, ())


def _known(record: BurnDrawing) -> list[float]:
    return [one.value for one in (record.hottest, record.top) if one is not None and isinstance(one.value, float)]


def _height(on: Axes, time_s: float) -> float:
    return on.y.at(min(max(math.log10(time_s), on.y.least), on.y.most))


def _steps(rows: tuple[tuple[float, float], ...], on: Axes, say: Speech) -> str:
    d = f"M{LEFT:g} {_height(on, rows[0][1]):g}"
    for (k, _), (_, after_s) in zip(rows, [*rows[1:], rows[-1]], strict=True):
        d += f"H{on.x.at(say.at(k, KIND)):g}V{_height(on, after_s):g}"
    return d

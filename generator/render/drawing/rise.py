"""The rise over the flow: of one model stage by stage, and of a range, which model serves which rise at which flow."""

from __future__ import annotations

from markupsafe import Markup

from generator.model.content.words import Style
from generator.model.documents.drawings import RangeDrawing, RiseDrawing
from generator.model.water_results import Curve
from generator.render.drawing.axes import Axes, axes, draw_axes
from generator.render.drawing.canvas import Canvas, KeyEntry, Place
from generator.render.drawing.speech import Speech

BOTTOM = 208.0
KIND, FLOW = "temperature_difference", "flow"
LINES = ("line", "warm", "cool", "line dotted", "thin", "warm dotted", "thin dashed", "line dashed")
NEAR_M3_S = 1e-12
Points = list[tuple[float, float]]


def rise(record: RiseDrawing, style: Style) -> Markup:
    """Return the drawing of one model. ValueError without curves."""
    say, sheet = Speech(style), Canvas(BOTTOM + 19.0)
    on = _axes(record.curves, say)
    draw_axes(sheet, on, _title(say))
    for curve in record.curves:
        line = _places(curve.points, on, say)
        sheet.polyline("line", line)
        x, y = line[len(line) // 2]
        beside = [
            Place(x + 5.0, y - 4.0),
            Place(x - 4.0, y + 15.0, "end"),
            Place(x + 5.0, y - 18.0),
            Place(x, y + 24.0),
        ]
        sheet.label(say.word("stages-on", stages=curve.title), beside, bold=True)
    words = [
        say.word("rise-words", stages=curve.title, rise=_shown(curve.points[at][1], say), flow=_flow(curve, at, say))
        for curve in record.curves
        for at in (0, -1)
    ]
    switching = [
        say.word("stage-switches", stage=one.stage, on=say.show(one.turns_on), off=say.show(one.drops_out))
        for one in record.switching
    ]
    return sheet.svg(say.word("rise-title", model=record.title), " ".join([*words, *switching]), "rise")


def model_range(record: RangeDrawing, style: Style) -> Markup:
    """Return the drawing of a range: below its line a model serves the rise, by tempering what it gives. ValueError
    without models."""
    say, sheet = Speech(style), Canvas(BOTTOM + 19.0)
    served = [(title, _served(curves, turns_on)) for title, curves, turns_on in record.models]
    on = _axes([curve for _, curves, _ in record.models for curve in curves], say)
    draw_axes(sheet, on, _title(say))
    key, words = [], []
    for place, (title, points) in enumerate(served):
        kind = LINES[place % len(LINES)]
        sheet.polyline(kind, _places(points, on, say))
        key.append(KeyEntry("line", kind, title))
        first, most = points[0], max(points, key=lambda point: point[1])
        at, greatest = say.quantity(most[0], FLOW), _shown(most[1], say)
        from_ = say.quantity(first[0], FLOW, "at_least")
        words.append(say.word("range-words", model=title, first=from_, rise=greatest, flow=at))
    sheet.key(key)
    return sheet.svg(say.word("range-title"), " ".join(words), "served")


def _served(curves: tuple[Curve, ...], turns_on: tuple[float, ...]) -> tuple[tuple[float, float], ...]:
    """Return the line of a flow that rises: each number of stages from where its last one turns on."""
    return tuple(
        point for curve in curves for point in curve.points if point[0] >= turns_on[int(curve.title) - 1] - NEAR_M3_S
    )


def _axes(curves: tuple[Curve, ...] | list[Curve], say: Speech) -> Axes:
    points = [point for curve in curves for point in curve.points]
    return axes([say.at(x, FLOW) for x, _ in points], [0.0, *(say.at(y, KIND) for _, y in points)], BOTTOM)


def _places(points: tuple[tuple[float, float], ...], on: Axes, say: Speech) -> Points:
    return [on.at(say.at(x, FLOW), say.at(y, KIND)) for x, y in points]


def _title(say: Speech) -> str:
    return say.word("rise-axes", rise=say.sign(KIND), flow=say.sign(FLOW))


def _shown(rise_k: float, say: Speech) -> str:
    return say.quantity(rise_k, KIND, "at_most")


def _flow(curve: Curve, at: int, say: Speech) -> str:
    return say.quantity(curve.points[at][0], FLOW)

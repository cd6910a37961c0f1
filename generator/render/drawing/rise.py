"""The rise over the flow: of one model stage by stage, and of a range, which model serves which rise at which flow."""

from __future__ import annotations

from markupsafe import Markup

from generator.model.content.words import Style
from generator.model.documents.drawings import RangeDrawing, RiseDrawing
from generator.model.water_results import Curve
from generator.render.drawing.axes import Axes, axes, draw_axes
from generator.render.drawing.canvas import Canvas, KeyEntry, Place
from generator.render.drawing.speech import Speech
from generator.render.drawing.switching import Points, draw_switching

BOTTOM = 208.0
KIND, FLOW = "temperature_difference", "flow"
LINES = ("line", "warm", "cool", "line dotted", "thin", "warm dotted", "thin dashed", "line dashed")
NEAR_M3_S = 1e-12
NEAR = 14.0  # px, of another line to a name


def rise(record: RiseDrawing, style: Style) -> Markup:
    """Return the drawing of one model. ValueError without curves."""
    say, sheet = Speech(style), Canvas(BOTTOM + 19.0)
    on = _axes(record.curves, say)
    draw_axes(sheet, on, _title(say))
    teeth = [_places(curve.points, on, say) for curve in record.curves]
    draw_switching(sheet, teeth, "axis step", bottom=BOTTOM)
    for curve, line in zip(record.curves, teeth, strict=True):
        sheet.polyline("line", line)
        x, y = line[-1]
        below = [Place(x - 3.0, y + down, "end") for down in (15.0, 23.0, 31.0, -8.0)]
        sheet.label(say.word("stages-on", stages=curve.title), below, bold=True)
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
    lines = [_places(points, on, say) for _, points in served]
    for place, line in enumerate(lines):
        sheet.polyline(LINES[place % len(LINES)], line)
    key, words = [], []
    for place, (title, points) in enumerate(served):
        letter = _letter(place)
        sheet.label(letter, _along(lines[place], [*lines[:place], *lines[place + 1 :]]), bold=True)
        key.append(KeyEntry("line", LINES[place % len(LINES)], f"{letter} {title}"))
        first, most = points[0], max(points, key=lambda point: point[1])
        at, greatest = say.quantity(most[0], FLOW), _shown(most[1], say)
        from_ = say.quantity(first[0], FLOW, "at_least")
        words.append(say.word("range-words", model=title, first=from_, rise=greatest, flow=at))
    sheet.key(key)
    return sheet.svg(say.word("range-title"), " ".join(words), "served")


def _letter(place: int) -> str:
    """Return by what a line is named beside it: a, b, ... z, aa."""
    return (_letter(place // 26 - 1) if place >= 26 else "") + chr(ord("a") + place % 26)


def _along(line: Points, others: list[Points]) -> list[Place]:
    """Return where the name of a line may stand: beside it, from its right end, first where no other line is near."""
    places = [Place(x, y + beside, "end") for x, y in reversed(line) for beside in (-4.0, 14.0)]

    def crowded(at: Place) -> bool:
        return any(abs(x - at.x) < NEAR and abs(y - at.y + 4.5) < NEAR for other in others for x, y in other)

    return sorted(places, key=crowded)


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

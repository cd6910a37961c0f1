"""Both branches of the hysteresis: where the stages of a heater turn on as the flow grows, and drop out as it falls."""

from __future__ import annotations

from generator.render.drawing.canvas import Canvas

ARROW = 4.0  # half the width of an arrow's head [px]
Points = list[tuple[float, float]]


def draw_switching(sheet: Canvas, teeth: list[Points], kind: str, *, bottom: float) -> None:
    """Draw the steps between teeth [px]: up where a stage turns on, down, the first to `bottom`, where it drops out."""
    for before, tooth in zip([None, *teeth], teeth, strict=False):
        start_x, start_y = tooth[0]
        down_to = _height(before, start_x) if before else bottom
        sheet.path(kind, f"M{start_x:g} {start_y:g}V{down_to:g}")
        _arrow(sheet, start_x, 0.5 * (start_y + down_to), up=False)
        if before is not None and before[-1][0] <= tooth[-1][0]:
            end_x, end_y = before[-1]
            up_to = _height(tooth, end_x)
            sheet.path(kind, f"M{end_x:g} {end_y:g}V{up_to:g}")
            _arrow(sheet, end_x, 0.5 * (end_y + up_to), up=True)


def _height(points: Points, x: float) -> float:
    """Return the height of a line at a place, which each curve has a point for."""
    return min(points, key=lambda point: abs(point[0] - x))[1]


def _arrow(sheet: Canvas, x: float, y: float, *, up: bool) -> None:
    tip = -ARROW if up else ARROW
    sheet.path("head", f"M{x:.4g} {y + tip:.4g}l{-ARROW:g} {-2.0 * tip:g}h{2.0 * ARROW:g}z")

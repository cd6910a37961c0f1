"""Scales, round marks along an axis, and the frame of a chart."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.render.drawing.canvas import WIDTH, Canvas, Place, one_line
from generator.render.format import MINUS

LEFT, RIGHT, TOP = 38.0, 350.0, 24.0
TICKS = 5


@dataclass(frozen=True, slots=True)
class Scale:
    """A linear scale from shown numbers `least` to `most` onto pixels `start` to `end`."""

    least: float
    most: float
    start: float
    end: float

    def at(self, number: float) -> float:
        """Return the place of a number [px], to a tenth."""
        return round(self.start + (number - self.least) / (self.most - self.least) * (self.end - self.start), 1)

    def holds(self, number: float) -> bool:
        """Return whether a number lies on the scale, but for float noise."""
        noise = 1e-9 * (abs(self.least) + abs(self.most))
        return self.least - noise <= number <= self.most + noise


def round_ticks(least: float, most: float, count: int = TICKS) -> list[float]:
    """Return round numbers that enclose [least, most], about `count` of them."""
    span = (most - least) or abs(most) or 1.0
    power = 10.0 ** math.floor(math.log10(span / count))
    step = power * next(factor for factor in (1.0, 2.0, 2.5, 5.0, 10.0) if span / (factor * power) <= count + 0.001)
    first, last = math.floor(least / step + 1e-9), math.ceil(most / step - 1e-9)
    return [place * step for place in range(first, max(last, first + 1) + 1)]


def tick_text(value: float) -> str:
    """Return the text of a mark on an axis."""
    return f"{round(value, 6):g}".replace("-", MINUS)


@dataclass(frozen=True, slots=True)
class Axes:
    """Both scales of a chart, and the numbers at which it is marked."""

    x: Scale
    y: Scale
    x_marks: tuple[float, ...]
    y_marks: tuple[float, ...]

    def at(self, x: float, y: float) -> tuple[float, float]:
        """Return the place of a point [px]."""
        return self.x.at(x), self.y.at(y)

    def within(self, x: float, y: float) -> bool:
        """Return whether a point lies in the chart, but for float noise."""
        return self.x.holds(x) and self.y.holds(y)


def axes(xs: Sequence[float], ys: Sequence[float], bottom: float) -> Axes:
    """Return the axes of a chart that holds all these numbers, down to `bottom` [px]."""
    x_marks, y_marks = round_ticks(min(xs), max(xs)), round_ticks(min(ys), max(ys))
    spread = (max(xs) - min(xs)) or 1.0
    x = Scale(min(xs), min(xs) + spread, LEFT, RIGHT)
    within = tuple(mark for mark in x_marks if min(xs) <= mark <= max(xs))
    return Axes(x, Scale(y_marks[0], y_marks[-1], bottom, TOP), within, tuple(y_marks))


def draw_axes(sheet: Canvas, on: Axes, title: str) -> None:
    """Draw the frame of a chart: a grid with a finer line between two marks, the marks, and what the axes are."""
    bottom = on.y.start
    halves = [0.5 * (one + next_) for one, next_ in zip(on.y_marks, on.y_marks[1:], strict=False)]
    sheet.path("fine", "".join(f"M{LEFT:g} {on.y.at(one):g}H{RIGHT:g}" for one in halves))
    sheet.path("grid", "".join(f"M{LEFT:g} {on.y.at(one):g}H{RIGHT:g}" for one in on.y_marks))
    sheet.path("grid", "".join(f"M{on.x.at(one):g} {TOP:g}V{bottom:g}" for one in on.x_marks))
    sheet.path("axis", f"M{LEFT:g} {bottom:g}H{RIGHT:g}")
    sheet.text(one_line(title, WIDTH), Place(0.0, 12.5))
    for mark in on.y_marks:
        sheet.label(tick_text(mark), [Place(LEFT - 4.0, on.y.at(mark) + 4.5, "end")])
    for mark in on.x_marks:
        x = on.x.at(mark)
        sheet.label(tick_text(mark), [Place(x, bottom + 15.0, "middle"), Place(min(x, RIGHT), bottom + 15.0, "end")])


def draw_level(sheet: Canvas, on: Axes, kind: str, *, number: float) -> None:
    """Draw a level across a chart, where the chart reaches to it."""
    if on.y.holds(number):
        sheet.path(kind, f"M{LEFT:g} {on.y.at(number):g}H{RIGHT:g}")

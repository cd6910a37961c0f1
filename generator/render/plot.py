"""Small line plots: geometry for the SVG that the shared macros draw, and the same in words for who cannot see it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from generator.model.water_results import Curve
from generator.model.words import Units
from generator.render.format import MINUS, in_first_unit, show_quantity

LEFT, RIGHT, TOP, BOTTOM = 44.0, 468.0, 22.0, 200.0
TICKS = 5
DASHES = ("", "7 4", "2 4")
LABEL_AT = 0.5  # along a line, from its start


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark on an axis: its place [px] and its text."""

    at: float
    text: str


@dataclass(frozen=True, slots=True)
class PlotLine:
    """One line: its points as SVG takes them, its dashes, its name, where that stands [px] and which end is there."""

    points: str
    dash: str
    name: str
    x: float
    y: float
    anchor: str


@dataclass(frozen=True, slots=True)
class Plot:
    """A plot ready to draw, with both axes' labels and a description in words."""

    x_label: str
    y_label: str
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    lines: tuple[PlotLine, ...]
    description: str


@dataclass(frozen=True, slots=True)
class _Scale:
    """A linear scale from shown numbers `least` to `most` onto pixels `start` to `end`."""

    least: float
    most: float
    start: float
    end: float

    def at(self, number: float) -> float:
        """Return the place of a number [px], to a tenth."""
        return round(self.start + (number - self.least) / (self.most - self.least) * (self.end - self.start), 1)


def draw(curves: Sequence[Curve], units: Units) -> Plot:
    """Return the plot of curves that share their axes, in the first unit of the handbook. ValueError without points."""
    first = curves[0]
    shown = [[_shown(curve, point, units) for point in curve.points] for curve in curves]
    xs, ys = ([point[axis] for line in shown for point in line] for axis in (0, 1))
    x_ticks, y_ticks = _ticks(min(xs), max(xs)), _ticks(min(ys), max(ys))
    x_scale = _Scale(min(xs), max(xs), LEFT, RIGHT)
    y_scale = _Scale(y_ticks[0], y_ticks[-1], BOTTOM, TOP)
    lines = tuple(
        _line(
            curve.title if len(curves) > 1 else "",
            DASHES[place % len(DASHES)],
            points,
            x_scale=x_scale,
            y_scale=y_scale,
        )
        for place, (curve, points) in enumerate(zip(curves, shown, strict=True))
    )
    return Plot(
        _axis(first.x_label, first.x_kind, units),
        _axis(first.y_label, first.y_kind, units),
        tuple(Tick(x_scale.at(tick), _number(tick)) for tick in x_ticks if min(xs) <= tick <= max(xs)),
        tuple(Tick(y_scale.at(tick), _number(tick)) for tick in y_ticks),
        lines,
        " ".join(_words(curve, units) for curve in curves),
    )


def _shown(curve: Curve, point: tuple[float, float], units: Units) -> tuple[float, float]:
    return in_first_unit(point[0], curve.x_kind, units)[0], in_first_unit(point[1], curve.y_kind, units)[0]


def _axis(label: str, kind: str, units: Units) -> str:
    sign = in_first_unit(0.0, kind, units)[1]
    return f"{label}, {sign}" if sign else label


def _ticks(least: float, most: float) -> list[float]:
    """Return round numbers that enclose [least, most], about TICKS of them."""
    span = (most - least) or abs(most) or 1.0
    power = 10.0 ** math.floor(math.log10(span / TICKS))
    step = power * next(factor for factor in (1.0, 2.0, 2.5, 5.0, 10.0) if span / (factor * power) <= TICKS + 0.001)
    first, last = math.floor(least / step + 1e-9), math.ceil(most / step - 1e-9)
    return [place * step for place in range(first, max(last, first + 1) + 1)]


def _number(value: float) -> str:
    return f"{round(value, 6):g}".replace("-", MINUS)


def _line(name: str, dash: str, points: list[tuple[float, float]], *, x_scale: _Scale, y_scale: _Scale) -> PlotLine:
    """Return a line with its name above it, on the side where the line does not climb into it."""
    places = [(x_scale.at(x), y_scale.at(y)) for x, y in points]
    x, y = places[round(LABEL_AT * (len(places) - 1))]
    anchor = "end" if points[-1][1] > points[0][1] else "start"
    return PlotLine(" ".join(f"{x:g},{y:g}" for x, y in places), dash, name, x, max(y - 8.0, 10.0), anchor)


def _words(curve: Curve, units: Units) -> str:
    """Return a curve in words: where it starts and ends, and its least and greatest value."""
    ys = [y for _, y in curve.points]
    (start_x, start_y), (end_x, end_y) = curve.points[0], curve.points[-1]
    x_texts = [show_quantity(x, curve.x_kind, "nearest", units=units) for x in (start_x, end_x)]
    y_texts = [show_quantity(y, curve.y_kind, "nearest", units=units) for y in (start_y, end_y, min(ys), max(ys))]
    return (
        f"{curve.title}: {curve.y_label} from {y_texts[0]} at {x_texts[0]} to {y_texts[1]} at {x_texts[1]}, "
        f"least {y_texts[2]}, greatest {y_texts[3]}."
    )

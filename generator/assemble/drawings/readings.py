"""What was read over what was predicted on a visit."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from generator.model.documents.drawings import Reading, ReadingsDrawing
from generator.model.records import Expected, Measured, PointResult, Visit


def readings(visit: Visit, expected: Sequence[Expected]) -> ReadingsDrawing:
    """Return what is drawn of a visit; `expected`: the rows of the site's record."""
    points = tuple((point.stages, tuple(_readings(point))) for point in visit.points)
    return ReadingsDrawing(str(visit.date), points, next(_bands(expected), None))


def _readings(point: PointResult) -> Iterator[Reading]:
    read: tuple[tuple[bool, Measured | None], ...] = ((False, point.heat_w), (True, point.electric_w))
    for electric, measured in read:
        if measured is not None:
            yield Reading(electric, measured.best / point.predicted_w, measured.spread / point.predicted_w)


def _bands(expected: Sequence[Expected]) -> Iterator[tuple[float, float]]:
    """Yield between which parts of the current expected a sound heater's lies."""
    for row in expected:
        if row.item == "amps" and row.value and row.least and row.greatest and row.value.value:
            value = float(row.value.value)
            yield float(row.least.value) / value, float(row.greatest.value) / value

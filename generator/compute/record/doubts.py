"""What makes a reading doubtful, whatever it says: told to the reader, and never fitted in silence.

An outlet below its inlet with stages on, and a reading that its instrument cannot take, are left out of every fit. An
instrument past its calibration is told of, and its readings are used: nobody knows that it is wrong.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from generator.model.instruments import Instrument
from generator.model.readings import Point, Reading
from generator.model.records import Doubt


def doubts(reading: Reading, day: datetime.date) -> tuple[Doubt, ...]:
    """Return what is doubtful of a visit on a day: overdue calibrations, then the points in their order."""
    overdue = (name for name, one in reading.instruments.named() if one.calibrated_until < day)
    points = (doubt for place, point in enumerate(reading.points, start=1) for doubt in _of(point, reading, place))
    return (*(Doubt("calibration", name) for name in overdue), *points, *_full_load(reading), *_hottest(reading))


def is_sound(point: Point, reading: Reading) -> bool:
    """Return whether a point may be fitted."""
    return not any(_of(point, reading, 0))


def _of(point: Point, reading: Reading, place: int) -> Iterator[Doubt]:
    if point.outlet_k < point.inlet_k:
        yield Doubt("outlet-below-inlet", point=place)
    for name, value in _read(point):
        if not _reads(getattr(reading.instruments, name), value):
            yield Doubt("range", name, place)


def _full_load(reading: Reading) -> Iterator[Doubt]:
    every = (volts for one in reading.circuits if one.volts for volts in one.volts.every)
    if not all(_reads(reading.instruments.voltmeter, volts) for volts in every):
        yield Doubt("range-full-load", "voltmeter")


def _hottest(reading: Reading) -> Iterator[Doubt]:
    if reading.hottest and not _reads(reading.instruments.thermometer, reading.hottest.outlet_k):
        yield Doubt("range-hottest", "thermometer")


def _reads(instrument: Instrument | None, value: float) -> bool:
    return instrument is None or instrument.reads(value)


def _read(point: Point) -> Iterator[tuple[str, float]]:
    """Yield what was read at a point, by instrument [SI]."""
    yield from (("thermometer", point.inlet_k), ("thermometer", point.outlet_k))
    if point.flow_m3_s is not None:
        yield "flow_meter", point.flow_m3_s
    if point.volume_m3 is not None:
        yield "bucket", point.volume_m3
    yield from (("voltmeter", volts) for volts in point.volts.values())
    yield from (("clamp", amps) for by_line in point.amps.values() for amps in by_line.values())

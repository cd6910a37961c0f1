"""Short readings that people at a site sent, as points of a record: whose instruments nobody knows.

What is judged of a visit is judged of them, with the errors that instruments of no known accuracy are taken to have.
They can say that something is wrong, and never that it is well: they take no place of a visit's, and narrow no band.
"""

from __future__ import annotations

from collections.abc import Iterator

from generator.model.inputs import Inputs
from generator.model.instruments import FlowMeter, Instruments, Thermometer, Voltmeter
from generator.model.readings import Point, Reading, Record
from generator.model.register.installed import Installed, SentReading
from generator.model.site import Site
from generator.model.tables.tolerances import SentTolerance

_NOBODY = "-"


def visited_and_sent(site: Site, inputs: Inputs) -> tuple[Record, ...]:
    """Return the records of a site and the short readings that hold what a judgement needs, the oldest first.

    Short readings of a heater that has been replaced are left out.
    """
    return tuple(sorted((*inputs.records_of(site), *_sent(site, inputs)), key=lambda one: one.date))


def _sent(site: Site, inputs: Inputs) -> Iterator[Record]:
    register = inputs.installed.get(site.id, Installed())
    since = next((unit.since for unit in register.heaters if unit.until is None), None)
    for one in register.readings:
        if not one.lacks and (since is None or one.date >= since):
            yield Record(site.id, one.date, _reading(one, inputs.tolerances.sent_reading), sent=True)


def _reading(sent: SentReading, off: SentTolerance) -> Reading:
    """Return a short reading as that of a visit which proves nothing."""
    return Reading.model_construct(
        kind="service",
        serial=_NOBODY,
        people=(),
        instruments=_instruments(sent, off),
        points=tuple(_points(sent)),
        result="fit for use",
        next_check=sent.date,
    )


def _instruments(sent: SentReading, off: SentTolerance) -> Instruments:
    told: dict[str, object] = {"kind": _NOBODY, "serial": _NOBODY, "calibrated_until": sent.date}
    return Instruments(
        thermometer=Thermometer.model_validate(told | {"within": off.temperature_k}),
        flow_meter=FlowMeter.model_validate(told | {"share": off.flow}),
        voltmeter=Voltmeter.model_validate(told | {"share": off.volts}),
    )


def _points(sent: SentReading) -> Iterator[Point]:
    """Yield the point of a short reading; its volts stand for every pair of lines."""
    if sent.stages is None or sent.flow_m3_s is None or sent.inlet_k is None or sent.outlet_k is None:
        return
    yield Point.model_construct(
        stages=sent.stages,
        flow_m3_s=sent.flow_m3_s,
        inlet_k=sent.inlet_k,
        outlet_k=sent.outlet_k,
        volts={} if sent.volts is None else {"L1-L2": sent.volts},
    )

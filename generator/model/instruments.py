"""The instruments of a visit: what each can be wrong by, and until when it is calibrated.

A reading r may be off by `within` + `share` of r, either way, as makers state accuracy, and is read in steps of
`reads_to`. From `least` to `greatest` it reads; None where nobody has stated it.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated

from pydantic import model_validator

from generator.model.quantity import (
    Current,
    MeasuredVoltage,
    Pressure,
    QuantityField,
    ReadTemperature,
    Resistance,
    SmallFlow,
    TemperatureDifference,
    Time,
    Torque,
    Volume,
)
from generator.model.scalars import Date, Strict, Text, refuse

Share = Annotated[float, QuantityField("ratio", "0 %", "50 %")]


class Instrument(Strict):
    """What every instrument states: kind, serial number, last day of its calibration, error as a part of the reading.

    The errors of each kind [SI] are its own: `within` and `reads_to`.
    """

    kind: Text
    serial: Text
    calibrated_until: Date
    share: Share = 0.0
    within: float = 0.0
    reads_to: float = 0.0
    least: float | None = None
    greatest: float | None = None

    def limit(self, reading: float) -> float:
        """Return the greatest error of a reading [SI]."""
        return self.within + self.share * abs(reading)

    def reads(self, reading: float) -> bool:
        """Return whether a reading [SI] lies in the range of the instrument."""
        low_enough = self.greatest is None or reading <= self.greatest
        return low_enough and (self.least is None or reading >= self.least)

    @model_validator(mode="after")
    def _states_accuracy(self) -> Instrument:
        if self.limit(1.0) == 0.0:
            raise refuse("the accuracy is not stated", "within: …, share: … of the reading, or both", "kind")
        return self


class Thermometer(Instrument):
    """A thermometer [K]."""

    within: TemperatureDifference = 0.0
    reads_to: TemperatureDifference = 0.0
    least: ReadTemperature | None = None
    greatest: ReadTemperature | None = None

    @model_validator(mode="after")
    def _no_share(self) -> Thermometer:
        if self.share:
            raise refuse("a part of a temperature is no error of it", "within: 1 delta_degF, at the hottest", "share")
        return self


class FlowMeter(Instrument):
    """A flow meter [m3/s]."""

    within: SmallFlow = 0.0
    reads_to: SmallFlow = 0.0
    least: SmallFlow | None = None
    greatest: SmallFlow | None = None


class Bucket(Instrument):
    """A bucket of known volume [m3]."""

    within: Annotated[float, QuantityField("volume", "0 gal", "2 gal")] = 0.0
    least: Volume | None = None
    greatest: Volume | None = None


class Watch(Instrument):
    """A watch, with the hand that starts and stops it [s]."""

    within: Time = 0.0
    reads_to: Time = 0.0


class Voltmeter(Instrument):
    """A voltmeter [V]."""

    within: MeasuredVoltage = 0.0
    reads_to: MeasuredVoltage = 0.0
    least: MeasuredVoltage | None = None
    greatest: MeasuredVoltage | None = None


class Clamp(Instrument):
    """A clamp meter [A]."""

    within: Current = 0.0
    reads_to: Current = 0.0
    least: Current | None = None
    greatest: Current | None = None


class Gauge(Instrument):
    """A pressure gauge [Pa]."""

    within: Pressure = 0.0
    reads_to: Pressure = 0.0
    least: Pressure | None = None
    greatest: Pressure | None = None


class InstallationTester(Instrument):
    """A tester of continuity, insulation, loop impedance and residual current [ohm]."""

    within: Resistance = 0.0
    reads_to: Resistance = 0.0


class TorqueTool(Instrument):
    """A tool that tightens terminals to a torque [N m]."""

    within: Torque = 0.0
    reads_to: Torque = 0.0
    least: Torque | None = None
    greatest: Torque | None = None


class Instruments(Strict):
    """The instruments of a visit, by what they read."""

    thermometer: Thermometer | None = None
    flow_meter: FlowMeter | None = None
    bucket: Bucket | None = None
    watch: Watch | None = None
    voltmeter: Voltmeter | None = None
    clamp: Clamp | None = None
    gauge: Gauge | None = None
    tester: InstallationTester | None = None
    torque_tool: TorqueTool | None = None

    def named(self) -> Iterator[tuple[str, Instrument]]:
        """Yield the instruments that were used, by key."""
        for name in type(self).model_fields:
            found = getattr(self, name)
            if found is not None:
                yield name, found

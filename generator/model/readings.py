"""What was measured at a site on one visit (site_data/readings/<site>/<date>.yaml): a commissioning or a service."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import Field, PlainValidator, WithJsonSchema, model_validator

from generator.model.figures import Value
from generator.model.instruments import Instruments
from generator.model.quantity import (
    Current,
    FaultCurrent,
    Flow,
    MeasuredVoltage,
    Pressure,
    ReadTemperature,
    Resistance,
    SmallCurrent,
    Time,
    Torque,
    Volume,
    WaterTemperature,
    any_quantity,
)
from generator.model.scalars import Count, Date, Identifier, Strict, Text, YesNo, refuse

Pair = Literal["L1-L2", "L2-L3", "L3-L1", "L1-N"]
Line = Literal["L1", "L2", "L3", "N"]
Part = Literal["water", "circuit", "measurement"]


@dataclass(frozen=True, slots=True)
class Proved:
    """A figure as it stood when it was proved: the text of the record, and its value in SI where it is a quantity."""

    text: str
    value: Value | None


def _proved(value: Any) -> Proved:
    if isinstance(value, Proved):
        return value
    if not isinstance(value, str) or not value:
        raise refuse(f"'{value}' is no figure", "the figure as the handbook shows it, such as 121.6 degF or 8 AWG")
    return Proved(value, any_quantity(value))


ProvedFigure = Annotated[
    Proved, PlainValidator(_proved), WithJsonSchema({"type": "string", "description": "a figure such as 121.6 degF"})
]


class Person(Strict):
    """Who did a part of the work: by role, with the licence that allows it."""

    part: Part
    role: Text
    licence: Text


class Purge(Strict):
    """How long water ran on after the last air [s], with the power locked off."""

    after_last_air_s: Time = Field(alias="after_last_air")


class LeakTest(Strict):
    """Pressure of the test [Pa], how long it stood [s], by how much it fell [Pa]."""

    pressure_pa: Pressure = Field(alias="pressure")
    time_s: Time = Field(alias="time")
    drop_pa: Pressure = Field(alias="drop")


class InsulationTest(Strict):
    """Test voltage [V], and the least of the resistances to ground and between conductors [ohm]."""

    volts: MeasuredVoltage
    least_ohm: Resistance = Field(alias="least")


class FullLoadTest(Strict):
    """Volts by pair of lines at the disconnect beside the heater, with the tap shut and with every stage in use on;
    `panel`: those at the panel, taken at the same moment as `full_load`."""

    no_load: Mapping[Pair, MeasuredVoltage]
    full_load: Mapping[Pair, MeasuredVoltage]
    panel: Mapping[Pair, MeasuredVoltage] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _same_pairs(self) -> FullLoadTest:
        for other in (self.full_load, self.panel or self.no_load):
            if set(other) != set(self.no_load):
                raise refuse("the volts are not read between the same wires", "the pairs of no_load", "full_load")
        return self

    @property
    def every(self) -> tuple[float, ...]:
        """All volts that were read [V]."""
        return (*self.no_load.values(), *self.full_load.values(), *self.panel.values())


class ResidualCurrentTest(Strict):
    """Tripping time at the rated residual current, and at five times it [s]; whether the test button trips it.

    `kind`: what its plate names it, such as class A or type F; `rated_a`: the rated residual current there [A].
    """

    kind: Text | None = None

    rated_a: SmallCurrent | None = Field(None, alias="rated")
    trips_s: Time = Field(alias="trips")
    trips_at_5_s: Time | None = Field(None, alias="trips_at_5")
    button: YesNo


class CircuitTests(Strict):
    """The tests of one feed's circuit. `no_flow_a`: the greatest line current with the tap shut [A].

    `interrupting_a`: what the device can interrupt, as it is marked; `fault_current_a`: what a fault at the panel draws
    [A].
    """

    feed: Text
    device_a: Current = Field(alias="device")
    interrupting_a: FaultCurrent | None = Field(None, alias="interrupting")
    fault_current_a: FaultCurrent | None = Field(None, alias="fault_current")
    ground_continuity_ohm: Resistance | None = Field(None, alias="ground_continuity")
    insulation: InsulationTest | None = None
    polarity: YesNo | None = None
    phase_sequence: YesNo | None = None
    torque_n_m: Torque | None = Field(None, alias="torque")
    residual_current: ResidualCurrentTest | None = None
    loop_ohm: Resistance | None = Field(None, alias="loop")
    no_flow_a: Current | None = Field(None, alias="no_flow")
    volts: FullLoadTest | None = None


class Point(Strict):
    """One reading at a steady flow with `stages` on: flow [m3/s] or volume [m3] and time [s], inlet and outlet [K].

    `volts` by pair of lines while the stages are on; `amps` by feed and line.
    """

    stages: Annotated[Count, Field(ge=1, le=12)]
    flow_m3_s: Flow | None = Field(None, alias="flow")
    volume_m3: Volume | None = Field(None, alias="volume")
    time_s: Time | None = Field(None, alias="time")
    inlet_k: ReadTemperature = Field(alias="inlet")
    outlet_k: ReadTemperature = Field(alias="outlet")
    volts: Mapping[Pair, MeasuredVoltage] = Field(default_factory=dict)
    amps: Mapping[str, Mapping[Line, Current]] = Field(default_factory=dict)

    @model_validator(mode="after")
    def _one_flow(self) -> Point:
        bucket = self.volume_m3 is not None and self.time_s is not None and self.time_s > 0.0
        partly = (self.volume_m3 is None) != (self.time_s is None)
        if partly or bucket == (self.flow_m3_s is not None):
            raise refuse("the flow is not stated once", "flow: 1.40 gpm, or volume: 1 gal and time: 43 s", "stages")
        return self

    @property
    def by_bucket(self) -> bool:
        """Whether the flow was taken with a bucket and a watch."""
        return self.flow_m3_s is None

    @property
    def read_flow_m3_s(self) -> float:
        """The flow that was read [m3/s]."""
        if self.flow_m3_s is not None:
            return self.flow_m3_s
        assert self.volume_m3 is not None and self.time_s is not None
        return self.volume_m3 / self.time_s


class Switching(Strict):
    """The flows at which a stage turned on as the flow rose, and dropped out as it fell [m3/s]."""

    stage: Annotated[Count, Field(ge=1, le=12)]
    turns_on_m3_s: Flow | None = Field(None, alias="turns_on")
    drops_out_m3_s: Flow | None = Field(None, alias="drops_out")


class FlowingPressure(Strict):
    """Pressure at the heater at rest and at a flow [Pa, Pa, m3/s]."""

    static_pa: Pressure = Field(alias="static")
    flowing_pa: Pressure = Field(alias="flowing")
    flow_m3_s: Flow = Field(alias="flow")


class HottestReading(Strict):
    """The hottest outlet found while a tap closed slowly [K], with inlet [K] and volts of that moment."""

    stages: Annotated[Count, Field(ge=1, le=12)]
    inlet_k: ReadTemperature = Field(alias="inlet")
    outlet_k: ReadTemperature = Field(alias="outlet")
    volts: MeasuredVoltage
    flow_m3_s: Flow | None = Field(None, alias="flow")


class ValveTest(Strict):
    """A limiting valve as found: type, setting, water behind it at least and full flow [K], and its fail-safe test.

    `standard`: the one marked on it; `shuts_off`: whether it shuts the hot water off when the cold one fails.
    """

    fixture: Text
    standard: Text | None = None
    type: Literal["thermostatic", "combination", "pressure-balancing"]
    setting_k: WaterTemperature = Field(alias="setting")
    least_flow_k: ReadTemperature = Field(alias="least_flow")
    full_flow_k: ReadTemperature = Field(alias="full_flow")
    shuts_off: YesNo


class HandOver(Strict):
    """What is done at the end: users shown tap, switch and shutoff; card and labels fixed at the heater."""

    users_shown: YesNo
    card_fixed: YesNo
    labels_fixed: YesNo


class Reading(Strict):
    """One visit. `proves`: figures of the site by their id without `site.<id>.`, with the values they had.

    `volts_at`: where the volts were read, `heater` standing for the disconnect beside it.
    """

    kind: Literal["commissioning", "service"]
    card: Text | None = None
    serial: Text
    people: Annotated[tuple[Person, ...], Field(min_length=1)]
    instruments: Instruments
    purge: Purge | None = None
    leak: LeakTest | None = None
    circuits: tuple[CircuitTests, ...] = ()
    pressure: FlowingPressure | None = None
    volts_at: Literal["heater", "panel"] = "heater"
    points: tuple[Point, ...] = ()
    switching: tuple[Switching, ...] = ()
    hottest: HottestReading | None = None
    valves: tuple[ValveTest, ...] = ()
    handed_over: HandOver | None = None
    result: Literal["fit for use", "not fit"]
    next_check: Date
    proves: Mapping[str, ProvedFigure] = Field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Record:
    """A reading with the site and the day that its file is named by; `sent`: in a short line, not of a visit."""

    site: Identifier
    date: datetime.date
    reading: Reading
    sent: bool = False

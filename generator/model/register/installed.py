"""What is installed and hangs at a site (site_data/installed/<site>.yaml), and what was sent from the field."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, model_validator

from generator.model.quantity import Flow, MeasuredVoltage, Pressure, ReadTemperature
from generator.model.register.card_codes import read_code
from generator.model.scalars import Count, Date, Identifier, Strict, Text, refuse

What = Literal["card", "panel-label", "heater-label"]


def _code(value: str) -> str:
    code = read_code(value)
    if code is None:
        raise refuse(f"'{value}' is no code of a card", "the code at its head, such as 7KQM-2F9D")
    return code


Code = Annotated[Text, AfterValidator(_code)]


class Unit(Strict):
    """One heater: model and serial number, the days from and until which it is there, and what replaced it."""

    model: Identifier
    serial: Text
    since: Date
    until: Date | None = None
    replaced_by: Text | None = None

    @model_validator(mode="after")
    def _in_order(self) -> Unit:
        if self.until is not None and self.until < self.since:
            raise refuse("it left before it came", f"a day from {self.since.isoformat()} on", "until")
        if self.replaced_by is not None and self.until is None:
            raise refuse("it is replaced and still there", "write `until` as well", "replaced_by")
        return self


class Hanging(Strict):
    """A card or label that was put up: its code, and the day."""

    what: What = "card"
    code: Code
    since: Date


class SentReading(Strict):
    """A short reading that someone at the heater sent: how many stages were on, flow [m3/s], inlet and outlet [K],
    volts [V], pressure [Pa].

    With stages, flow, inlet and outlet it is judged as a point of a record (compute/sent.py).
    """

    date: Date
    stages: Annotated[Count, Field(ge=1, le=12)] | None = None
    flow_m3_s: Flow | None = Field(None, alias="flow")
    inlet_k: ReadTemperature | None = Field(None, alias="inlet")
    outlet_k: ReadTemperature | None = Field(None, alias="outlet")
    volts: MeasuredVoltage | None = None
    pressure_pa: Pressure | None = Field(None, alias="pressure")

    @model_validator(mode="after")
    def _heats(self) -> SentReading:
        if self.inlet_k is not None and self.outlet_k is not None and self.outlet_k < self.inlet_k:
            raise refuse("the outlet is colder than the inlet", "both as they were read, not exchanged", "outlet")
        return self

    @property
    def lacks(self) -> Sequence[str]:
        """What a judgement needs and this reading does not hold."""
        read = {"stages": self.stages, "flow": self.flow_m3_s, "inlet": self.inlet_k, "outlet": self.outlet_k}
        return [name for name, value in read.items() if value is None]


class NearMiss(Strict):
    """What nearly hurt someone: the day, what happened, and the day on which it was dealt with."""

    date: Date
    what: Text
    closed: Date | None = None


class Installed(Strict):
    """The register of one site, each list in the order of its days."""

    heaters: tuple[Unit, ...] = ()
    hangs: tuple[Hanging, ...] = ()
    readings: tuple[SentReading, ...] = ()
    near_misses: tuple[NearMiss, ...] = ()

    @model_validator(mode="after")
    def _one_heater_at_a_time(self) -> Installed:
        there = [unit.serial for unit in self.heaters if unit.until is None]
        if len(there) > 1:
            raise refuse(f"{' and '.join(there)} are there at once", "write `until` of those that left", "heaters")
        return self

    def hung(self, what: What) -> Hanging | None:
        """Return what hangs there: the last of its kind that was put up; None where none is on record."""
        return max((one for one in self.hangs if one.what == what), key=lambda one: one.since, default=None)

    @property
    def open_near_misses(self) -> Sequence[NearMiss]:
        """The near misses that nobody has dealt with."""
        return [one for one in self.near_misses if one.closed is None]

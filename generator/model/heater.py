"""A heater model as its maker's nameplate and instructions state it (site_data/models/*.yaml)."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from generator.model.quantity import (
    Current,
    Flow,
    Frequency,
    Length,
    Mass,
    Power,
    Pressure,
    Share,
    TemperatureRating,
    Voltage,
    Volume,
    WaterTemperature,
)
from generator.model.scalars import (
    ConductorSize,
    Count,
    Date,
    Identifier,
    PipeSize,
    Strict,
    Text,
    YesNo,
    refuse,
)

Phases = Annotated[Count, Field(ge=1, le=3)]
Material = Literal["copper", "aluminum"]


class Rating(Strict):
    """One line of the nameplate: voltage [V], phases (1 or 3) and the total power [W] there."""

    voltage_v: Voltage = Field(alias="voltage")
    phases: Literal[1, 3]
    power_w: Power = Field(alias="power")

    @model_validator(mode="before")
    @classmethod
    def _phases(cls, data: object) -> object:
        if isinstance(data, dict) and data.get("phases") in ("1", "3"):
            return {**data, "phases": int(data["phases"])}
        return data


class Stage(Strict):
    """One element step: its share of the heater's power (0..1) and the flows [m3/s] at which it closes and opens.

    `lines`: on three phases, the pair of lines its one element stands across; None: it loads all three alike.
    """

    share: Share
    closes_at_m3_s: Flow = Field(alias="closes_at")
    opens_at_m3_s: Flow = Field(alias="opens_at")
    lines: Literal["L1-L2", "L2-L3", "L3-L1"] | None = None


class FactoryProtection(Strict):
    """An overcurrent device that the maker built in, and the stages (numbered from 1) it protects."""

    stages: tuple[Count, ...]
    device_a: Current = Field(alias="device")


class Feed(Strict):
    """One supply connection of the heater: the stages on it and the greatest overcurrent device marked for it [A]."""

    name: Text
    stages: tuple[Count, ...]
    maximum_device_a: Current | None = Field(None, alias="maximum_device")
    factory_protection: tuple[FactoryProtection, ...] = ()


class Terminals(Strict):
    """The supply terminals: temperature rating [K], conductor materials, sizes they take, tightening torque."""

    temperature_k: TemperatureRating = Field(alias="temperature")
    conductors: tuple[Material, ...]
    smallest: ConductorSize
    largest: ConductorSize
    torque: Text


class Lead(Strict):
    """A conductor that leaves the unit: what it is and its colour."""

    role: Literal["line", "line 1", "line 2", "line 3", "neutral", "ground"]
    colour: Text


class Electrical(Strict):
    """How the heater takes its supply. `subdivided_to_120_a`: the listing permits loads to 120 A at 150 A devices."""

    feeds: tuple[Feed, ...] = Field(min_length=1)
    terminals: Terminals
    leads: tuple[Lead, ...]
    neutral_needed: YesNo
    subdivided_to_120_a: YesNo = False


class WorkingPressure(Strict):
    """The range of flowing pressure at the inlet in which the flow switches work [Pa]."""

    least_pa: Pressure = Field(alias="least")
    greatest_pa: Pressure = Field(alias="greatest")


class HeadLoss(Strict):
    """One point of the heater's loss curve: pressure loss [Pa] at a flow [m3/s], filter screen clean."""

    flow_m3_s: Flow = Field(alias="flow")
    loss_pa: Pressure = Field(alias="loss")


class Water(Strict):
    """The wet side of the model. Temperatures [K], volume [m3]."""

    working_pressure: WorkingPressure
    head_loss: tuple[HeadLoss, ...] = Field(min_length=1)
    greatest_inlet_k: WaterTemperature = Field(alias="greatest_inlet")
    greatest_outlet_k: WaterTemperature = Field(alias="greatest_outlet")
    cut_out_k: WaterTemperature = Field(alias="cut_out")
    volume_m3: Volume = Field(alias="volume")


class Connection(Strict):
    """A water connection: which water, size, thread, and on which side of the unit as it hangs."""

    water: Literal["cold inlet", "hot outlet"]
    size: PipeSize
    thread: Text
    side: Text


class Clearances(Strict):
    """Free distances around the mounted unit [m]."""

    above_m: Length = Field(alias="above")
    below_m: Length = Field(alias="below")
    sides_m: Length = Field(alias="sides")
    front_m: Length = Field(alias="front")


class Mounting(Strict):
    """How the unit hangs."""

    orientation: Text
    clearances: Clearances


class HeaterModel(Strict):
    """A heater model. Raises located faults when stages are out of order or do not add up."""

    id: Identifier
    title: Text
    summary: Text
    revision: Text
    date: Date
    ratings: tuple[Rating, ...] = Field(min_length=1)
    frequency_hz: Frequency = Field(alias="frequency")
    stages: tuple[Stage, ...] = Field(min_length=1, max_length=12)
    stage_selector: YesNo
    electrical: Electrical
    water: Water
    connections: tuple[Connection, ...] = Field(min_length=2)
    mounting: Mounting
    enclosure: Literal["indoor", "damp", "outdoor"]
    mass_kg: Mass = Field(alias="mass")
    listing_to_verify: Text

    @model_validator(mode="after")
    def _stages_in_order(self) -> HeaterModel:
        for index, stage in enumerate(self.stages):
            if stage.opens_at_m3_s >= stage.closes_at_m3_s:
                wrong = "the stage opens at a flow no lower than the one it closes at"
                raise refuse(
                    wrong,
                    "opens_at below closes_at, so that the switch does not chatter",
                    "stages",
                    index,
                    "opens_at",
                )
            if index and stage.closes_at_m3_s < self.stages[index - 1].closes_at_m3_s:
                wrong = f"stage {index + 1} closes at a lower flow than stage {index}"
                raise refuse(wrong, "list the stages in the order in which they close", "stages", index, "closes_at")
        if abs(sum(stage.share for stage in self.stages) - 1.0) > 0.002:
            raise refuse("the shares of the stages do not add up to 100 %", "shares that add up to 100 %", "stages")
        return self

    @model_validator(mode="after")
    def _feeds_cover_stages(self) -> HeaterModel:
        fed = sorted(number for feed in self.electrical.feeds for number in feed.stages)
        if fed != list(range(1, len(self.stages) + 1)):
            expected = f"each stage from 1 to {len(self.stages)} on exactly one feed"
            raise refuse(f"the feeds name stages {fed}", expected, "electrical", "feeds")
        return self

    @model_validator(mode="after")
    def _limits_in_order(self) -> HeaterModel:
        water = self.water
        if not water.greatest_inlet_k < water.greatest_outlet_k <= water.cut_out_k:
            expected = "greatest_inlet below greatest_outlet, and greatest_outlet not above cut_out"
            raise refuse("the temperature limits are out of order", expected, "water", "greatest_outlet")
        if water.working_pressure.least_pa >= water.working_pressure.greatest_pa:
            expected = "least below greatest"
            raise refuse("the working pressures are out of order", expected, "water", "working_pressure", "least")
        flows = [point.flow_m3_s for point in water.head_loss]
        losses = [point.loss_pa for point in water.head_loss]
        if flows != sorted(set(flows)) or losses != sorted(losses):
            raise refuse("the loss curve is out of order", "rising flows with rising losses", "water", "head_loss")
        return self

"""A heater model as its maker's nameplate and instructions state it (site_data/models/*.yaml)."""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction
from itertools import pairwise
from typing import Annotated, Literal

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from generator.model.quantity import (
    Current,
    Flow,
    Frequency,
    Length,
    Mass,
    Power,
    Pressure,
    RunLength,
    Share,
    TemperatureRating,
    Torque,
    Voltage,
    Volume,
    WaterTemperature,
)
from generator.model.scalars import ConductorSize, Count, Date, Identifier, PipeSize, Strict, Text, YesNo, refuse
from generator.model.tables.tolerances import Deviation

Phases = Annotated[Literal[1, 3], BeforeValidator(lambda value: int(value) if value in ("1", "3") else value)]
Material = Literal["copper", "aluminum"]

# Shares this far from 100 % together are rounded ones, and are made whole. One this close to a simple fraction is that.
SUM_ROUNDING = 0.002 + 1e-9
SHARE_ROUNDING, LARGEST_DENOMINATOR = 1e-4, 24


class Rating(Strict):
    """One line of the nameplate: voltage [V], phases (1 or 3) and the total power [W] there."""

    voltage_v: Voltage = Field(alias="voltage")
    phases: Phases
    power_w: Power = Field(alias="power")


def _rated_once(ratings: tuple[Rating, ...]) -> tuple[Rating, ...]:
    seen = [(rating.voltage_v, rating.phases) for rating in ratings]
    for index, supply in enumerate(seen):
        if supply in seen[:index]:
            raise refuse("this voltage and number of phases are rated above already", "one power a supply", index)
    return ratings


class Stage(Strict):
    """One element step: its share of the heater's power (0..1) and the flows [m3/s] at which it closes and opens.

    `lines`: on three phases, the pair of lines its one element stands across; None: it loads all three alike.
    """

    share: Share
    closes_at_m3_s: Flow = Field(alias="closes_at")
    opens_at_m3_s: Flow = Field(alias="opens_at")
    lines: Literal["L1-L2", "L2-L3", "L3-L1"] | None = None

    @model_validator(mode="after")
    def _opens_below(self) -> Stage:
        if self.opens_at_m3_s >= self.closes_at_m3_s:
            expected = "opens_at below closes_at, so that the switch does not chatter"
            raise refuse("the stage opens at a flow no lower than the one it closes at", expected, "opens_at")
        return self


def _closing_in_order(stages: tuple[Stage, ...]) -> tuple[Stage, ...]:
    for index, (before, stage) in enumerate(pairwise(stages), 1):
        if stage.closes_at_m3_s < before.closes_at_m3_s:
            wrong = f"stage {index + 1} closes at a lower flow than stage {index}"
            raise refuse(wrong, "list the stages in the order in which they close", index, "closes_at")
    return stages


def _whole(stages: tuple[Stage, ...]) -> tuple[Stage, ...]:
    whole = math.fsum(stage.share for stage in stages)
    if abs(whole - 1.0) > SUM_ROUNDING:
        raise refuse("the shares of the stages do not add up to 100 %", "shares that add up to 100 %")
    return _exact(stages) or tuple(stage.model_copy(update={"share": stage.share / whole}) for stage in stages)


def _exact(stages: tuple[Stage, ...]) -> tuple[Stage, ...] | None:
    """Return the stages with the simple fractions that their shares, written in rounded per cent, stand for.

    So that a sixth written 16.667 % makes a load of exactly 48 A no more than 48 A. None unless every share is near a
    simple fraction and these add up to 1.
    """
    fractions = [Fraction(stage.share).limit_denominator(LARGEST_DENOMINATOR) for stage in stages]
    near = all(abs(float(one) - stage.share) <= SHARE_ROUNDING for one, stage in zip(fractions, stages, strict=True))
    if not near or sum(fractions) != 1:
        return None
    return tuple(stage.model_copy(update={"share": float(one)}) for one, stage in zip(fractions, stages, strict=True))


def _numbers(stages: Iterable[int]) -> str:
    return ", ".join(map(str, stages)) or "none"


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

    @model_validator(mode="after")
    def _protects_its_own_stages(self) -> Feed:
        for index, protection in enumerate(self.factory_protection):
            if not set(protection.stages) <= set(self.stages):
                expected = f"stages of this feed, which has {_numbers(self.stages)}"
                raise refuse("a stage of another feed is named", expected, "factory_protection", index, "stages")
        return self


def _named_once(feeds: tuple[Feed, ...]) -> tuple[Feed, ...]:
    names = [feed.name.lower() for feed in feeds]
    for index, name in enumerate(names):
        if name in names[:index]:
            raise refuse(f"another feed is named '{feeds[index].name}' too", "one name a feed", index, "name")
    return feeds


class Terminals(Strict):
    """The supply terminals: temperature rating [K], conductor materials, sizes they take, tightening torque [N m]."""

    temperature_k: TemperatureRating = Field(alias="temperature")
    conductors: tuple[Material, ...]
    smallest: ConductorSize
    largest: ConductorSize
    torque_n_m: Torque = Field(alias="torque")


LeadRole = Literal["line", "line 1", "line 2", "line 3", "neutral", "ground"]


class Lead(Strict):
    """A conductor that leaves the unit: what it is and its colour."""

    role: LeadRole
    colour: Text


class Electrical(Strict):
    """How the heater takes its supply. `subdivided_to_120_a`: the listing permits loads to 120 A at 150 A devices."""

    feeds: Annotated[tuple[Feed, ...], Field(min_length=1), AfterValidator(_named_once)]
    terminals: Terminals
    leads: tuple[Lead, ...]
    neutral_needed: YesNo
    subdivided_to_120_a: YesNo = False


class WorkingPressure(Strict):
    """The range of flowing pressure at the inlet in which the flow switches work [Pa]."""

    least_pa: Pressure = Field(alias="least")
    greatest_pa: Pressure = Field(alias="greatest")

    @model_validator(mode="after")
    def _in_order(self) -> WorkingPressure:
        if self.least_pa >= self.greatest_pa:
            raise refuse("the working pressures are out of order", "least below greatest", "least")
        return self


class HeadLoss(Strict):
    """One point of the heater's loss curve: pressure loss [Pa] at a flow [m3/s], filter screen clean."""

    flow_m3_s: Flow = Field(alias="flow")
    loss_pa: Pressure = Field(alias="loss")


def _rising(curve: tuple[HeadLoss, ...]) -> tuple[HeadLoss, ...]:
    for index, (before, point) in enumerate(pairwise(curve), 1):
        if point.flow_m3_s <= before.flow_m3_s or point.loss_pa < before.loss_pa:
            raise refuse("the loss curve is out of order", "rising flows with rising losses", index)
    return curve


class Water(Strict):
    """The wet side of the model. Temperatures [K], volume [m3]; `drain`: whether it has a drain of its own."""

    working_pressure: WorkingPressure
    head_loss: Annotated[tuple[HeadLoss, ...], Field(min_length=1), AfterValidator(_rising)]
    greatest_inlet_k: WaterTemperature = Field(alias="greatest_inlet")
    greatest_outlet_k: WaterTemperature = Field(alias="greatest_outlet")
    cut_out_k: WaterTemperature = Field(alias="cut_out")
    volume_m3: Volume = Field(alias="volume")
    drain: YesNo = False

    @model_validator(mode="after")
    def _limits_in_order(self) -> Water:
        if not self.greatest_inlet_k < self.greatest_outlet_k <= self.cut_out_k:
            expected = "greatest_inlet below greatest_outlet, and greatest_outlet not above cut_out"
            raise refuse("the temperature limits are out of order", expected, "greatest_outlet")
        return self


class Connection(Strict):
    """A water connection: which water, size, thread, and on which side of the unit as it hangs."""

    water: Literal["cold inlet", "hot outlet"]
    size: PipeSize
    thread: Text
    side: Text


def _in_and_out(connections: tuple[Connection, ...]) -> tuple[Connection, ...]:
    if {connection.water for connection in connections} != {"cold inlet", "hot outlet"}:
        raise refuse("an inlet or an outlet is missing", "at least one cold inlet and one hot outlet")
    return connections


class Clearances(Strict):
    """Free distances around the mounted unit [m]; in front there is always some, to take the cover off."""

    above_m: Length = Field(alias="above")
    below_m: Length = Field(alias="below")
    sides_m: Length = Field(alias="sides")
    front_m: RunLength = Field(alias="front")


class Outline(Strict):
    """The unit without its connections, as it hangs [m]."""

    width_m: RunLength = Field(alias="width")
    height_m: RunLength = Field(alias="height")
    depth_m: RunLength = Field(alias="depth")


class Mounting(Strict):
    """How the unit hangs. `outline`: None where nobody has stated it, and no drawing shows it to scale."""

    orientation: Text
    clearances: Clearances
    outline: Outline | None = None


class Nameplate(Strict):
    """The evidence for a model's data: who saw the nameplate, who else checked the copy, when, on which document."""

    seen_by: Text
    checked_by: Text
    date: Date
    document: Text

    @model_validator(mode="after")
    def _checked_by_another(self) -> Nameplate:
        if self.checked_by == self.seen_by:
            raise refuse("the copy is checked by the one who made it", "another person", "checked_by")
        return self


class HeaterModel(Strict):
    """A heater model. `flow_tolerance` is that of its stages' flows; None: the one of tolerances.yaml."""

    id: Identifier
    title: Text
    summary: Text
    revision: Text
    date: Date
    ratings: Annotated[tuple[Rating, ...], Field(min_length=1), AfterValidator(_rated_once)]
    frequency_hz: Frequency = Field(alias="frequency")
    stages: Annotated[
        tuple[Stage, ...], Field(min_length=1, max_length=12), AfterValidator(_closing_in_order), AfterValidator(_whole)
    ]
    stage_selector: YesNo
    flow_tolerance: Deviation | None = None
    electrical: Electrical
    water: Water
    connections: Annotated[tuple[Connection, ...], AfterValidator(_in_and_out)]
    mounting: Mounting
    enclosure: Literal["indoor", "damp", "outdoor"]
    mass_kg: Mass = Field(alias="mass")
    listing_to_verify: Text
    nameplate: Nameplate | None = None

    @model_validator(mode="after")
    def _feeds_cover_stages(self) -> HeaterModel:
        fed = sorted(number for feed in self.electrical.feeds for number in feed.stages)
        if fed != list(range(1, len(self.stages) + 1)):
            expected = f"each stage from 1 to {len(self.stages)} on exactly one feed"
            raise refuse(f"the feeds name the stages {_numbers(fed)}", expected, "electrical", "feeds")
        return self

"""What a test of a commissioning must reach to pass (pass_limits.yaml of a code basis), each limit with who says so."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from generator.model.quantity import Current, MeasuredVoltage, Ratio, Resistance, Time, Volume
from generator.model.scalars import Count, Strict, Text
from generator.model.tables.code_file import CodeFile


class PurgeLimit(Strict):
    """How long water runs after the last air, at least [s]."""

    after_last_air_s: Time = Field(alias="after_last_air")
    source: Text


class LeakLimit(Strict):
    """How long the pipework is watched under pressure, at least [s]."""

    time_s: Time = Field(alias="time")
    source: Text


class InsulationLimit(Strict):
    """Test voltage [V] and least resistance [ohm]."""

    volts: MeasuredVoltage
    least_ohm: Resistance = Field(alias="least")
    source: Text


class ContinuityLimit(Strict):
    """By how much a reading may lie above length times resistance, as a part of it, and what leads add [ohm]."""

    above: Ratio
    leads_ohm: Resistance = Field(alias="leads")
    source: Text


class ResidualCurrentLimit(Strict):
    """The kinds of device against residual current that suit a heater, as they are marked, the least first, and its
    tripping times, at most [s]: at its rated current and, where the basis asks for it, at five times that."""

    kinds: Annotated[tuple[Text, ...], Field(min_length=1)]
    trips_s: Time = Field(alias="trips")
    trips_at_5_s: Time | None = Field(None, alias="trips_at_5")
    source: Text


class LoopLimit(Strict):
    """The part of U0 / Ia that the loop impedance may reach, and Ia over the rating of the device."""

    part: Ratio
    times_rating: Count
    source: Text


class FullLoadLimit(Strict):
    """How far the fall of the volts at the heater from no load to full load may lie from the drop of its circuit, as
    parts of the supply voltage: either way, and by how much more where service and feeder lose some too."""

    within: Ratio
    service_and_feeder: Ratio
    source: Text


class TorqueLimit(Strict):
    """How far a torque may lie from the one marked, as a part of it."""

    within: Ratio
    source: Text


class NoFlowLimit(Strict):
    """The greatest current with the tap shut [A]."""

    at_most_a: Current = Field(alias="at_most")
    source: Text


class BucketLimit(Strict):
    """A bucket [m3] for taking a flow: how far off its mark may lie, as a part of it, and a hand with a watch [s]."""

    volume_m3: Volume = Field(alias="volume")
    mark_within: Ratio
    hand_within_s: Time = Field(alias="hand_within")
    source: Text


class PassLimits(CodeFile):
    """The file pass_limits.yaml, with the header every table has. `loop`: None where no loop impedance is asked for."""

    purge: PurgeLimit
    leak: LeakLimit
    insulation: InsulationLimit
    ground_continuity: ContinuityLimit
    residual_current: ResidualCurrentLimit
    loop: LoopLimit | None = None
    torque: TorqueLimit
    full_load: FullLoadLimit
    no_flow: NoFlowLimit
    bucket: BucketLimit

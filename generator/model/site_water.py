"""The water of a site: its pressure, its temperature through the year, and the pipes it runs through."""

from __future__ import annotations

from typing import Any, Literal, Self

from pydantic import Field, GetJsonSchemaHandler, model_validator
from pydantic_core import core_schema

from generator.model.quantity import (
    AirTemperature,
    Altitude,
    Flow,
    Hardness,
    Height,
    Length,
    Pressure,
    Ratio,
    TemperatureDifference,
    WaterTemperature,
)
from generator.model.scalars import Count, Date, Identifier, PipeSize, Strict, Text, YesNo, refuse


class Climate(Strict):
    """Air temperature figures for the mains temperature correlation [K] and the hemisphere."""

    annual_mean_k: AirTemperature = Field(alias="annual_mean")
    monthly_range_k: TemperatureDifference = Field(alias="monthly_range")
    hemisphere: Literal["northern", "southern"] = "northern"


class Inlet(Strict):
    """Inlet water temperature [K]: winter and summer, or twelve months from January, or a climate."""

    winter_k: WaterTemperature | None = Field(None, alias="winter")
    summer_k: WaterTemperature | None = Field(None, alias="summer")
    monthly_k: tuple[WaterTemperature, ...] | None = Field(None, alias="monthly", min_length=12, max_length=12)
    climate: Climate | None = None

    @property
    def method(self) -> Literal["seasons", "monthly", "climate"]:
        """Which of the three ways it is given in."""
        if self.climate is not None:
            return "climate"
        return "seasons" if self.monthly_k is None else "monthly"

    @model_validator(mode="after")
    def _one_way(self) -> Inlet:
        seasons = self.winter_k is not None and self.summer_k is not None
        half = (self.winter_k is None) != (self.summer_k is None)
        if half or [seasons, self.monthly_k is not None, self.climate is not None].count(True) != 1:
            expected = "winter and summer, or twelve monthly values, or a climate: exactly one of the three"
            raise refuse("the inlet temperature is not given in exactly one way", expected)
        if self.winter_k is not None and self.summer_k is not None and self.winter_k > self.summer_k:
            raise refuse("winter is warmer than summer", "the coldest inlet as winter", "winter")
        return self


class PressureRange(Strict):
    """A pressure [Pa]: one, or the least and the greatest between which it moves.

    At rest a pump moves between its cut-in and its cut-out, a street between day and night. Each rule takes its adverse
    end.
    """

    least_pa: Pressure = Field(alias="least")
    greatest_pa: Pressure = Field(alias="greatest")

    @model_validator(mode="before")
    @classmethod
    def _one_is_both(cls, stated: Any) -> Any:
        return {"least": stated, "greatest": stated} if isinstance(stated, str | int | float) else stated

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.least_pa > self.greatest_pa:
            raise refuse("the least pressure is above the greatest", "the lower of the two as least", "least")
        return self

    @property
    def moves(self) -> bool:
        """Whether a range is stated, not one pressure."""
        return self.least_pa < self.greatest_pa

    @classmethod
    def __get_pydantic_json_schema__(
        cls, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Describe both forms to editors."""
        both = handler(schema)
        return {"anyOf": [handler.resolve_ref_schema(both)["properties"]["least"], both]}


class Device(Strict):
    """A part of the pipework whose loss its maker states: its kind, what readers call it, loss [Pa] at a flow [m3/s].

    A `regulator` (a pressure-reducing valve) also states its `outlet`: the least that it holds behind it up to that
    flow, with the fall-off that its maker states, and the greatest, at rest; the loss is then that of the open valve.
    """

    name: Text
    kind: Literal["meter", "backflow preventer", "softener", "filter", "hose", "regulator"]
    loss_pa: Pressure = Field(alias="loss")
    flow_m3_s: Flow = Field(alias="at")
    outlet: PressureRange | None = None

    @property
    def closes(self) -> bool:
        """Whether it keeps water that swells from flowing back."""
        return self.kind in ("backflow preventer", "regulator")

    @model_validator(mode="after")
    def _outlet_of_a_regulator(self) -> Self:
        if self.kind == "regulator" and self.outlet is None:
            raise refuse("a regulator does not say what it holds", "the pressure behind it, such as outlet: 50 psi")
        if self.kind != "regulator" and self.outlet is not None:
            raise refuse(
                f"a {self.kind} holds no pressure behind it", "leave the key out, or kind: regulator", "outlet"
            )
        return self


class StatedRun(Strict):
    """A run of pipe: material, nominal size, length [m], rise [m] (down is negative), fittings by kind and number.

    `joints`: how fittings are joined, where the material has several ways; that which loses most where none is stated.
    `devices`: what stands at its start, in the order of flow, with a loss that its maker states; `taps`: what hangs on
    it and passes no water at work, in the order of flow, for whom measures or drains.
    """

    material: Text
    size: PipeSize
    length_m: Length = Field(alias="length")
    rise_m: Height = Field(0.0, alias="rise")
    fittings: dict[str, Count] = Field(default_factory=dict)
    joints: Text | None = None
    devices: tuple[Device, ...] = ()
    taps: tuple[Literal["test point", "drain"], ...] = ()


class WaterSource(Strict):
    """The well pump or service that brings a site's water: the most it gives at the stated static pressures [m3/s].

    Sites that name the same `id` share it and state the same of it; a site that names none has one of its own.
    """

    id: Identifier
    greatest_flow_m3_s: Flow | None = Field(None, alias="greatest_flow")


class FlowTest(Strict):
    """A flow test of the supply at the start of the cold run: pressure at rest [Pa], and what is left at a flow [m3/s].

    With the document that holds it and its day.
    """

    static_pa: Pressure = Field(alias="static")
    residual_pa: Pressure = Field(alias="residual")
    flow_m3_s: Flow = Field(alias="flow")
    document: Text
    date: Date

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.residual_pa > self.static_pa:
            raise refuse(
                "the residual pressure is above the static one", "the lower of the two as residual", "residual"
            )
        return self


class SiteWater(Strict):
    """The water at the site: static pressure at the start of the cold run, hardness [kg/m3], altitude [m].

    `flow_test`: None where nobody has tested how far the supply falls as water runs, and it counts as not falling.
    """

    source: WaterSource | None = None
    static_pressure: PressureRange
    flow_test: FlowTest | None = None
    inlet: Inlet
    cold_run: tuple[StatedRun, ...] = Field(min_length=1)
    hot_run: tuple[StatedRun, ...] = Field(min_length=1)
    hardness_kg_m3: Hardness | None = Field(None, alias="hardness")
    altitude_m: Altitude = Field(0.0, alias="altitude")
    check_valve: YesNo = False
    screen_open: Ratio = 1.0

    @property
    def closing_device(self) -> Device | None:
        """The first device before the heater that keeps water that swells from flowing back."""
        return next((device for run in self.cold_run for device in run.devices if device.closes), None)

    @property
    def closed(self) -> bool:
        """Whether water that swells cannot flow back: a check valve, or a device that closes, stands before it."""
        in_pipe = any(run.fittings.get("check-valve", 0) > 0 for run in self.cold_run)
        return self.check_valve or in_pipe or self.closing_device is not None

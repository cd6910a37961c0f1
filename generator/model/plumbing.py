"""The limits of a plumbing basis, as numbers with the rule of the basis that asks for each."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pydantic import Field, model_validator

from generator.model.quantity import Flow, Pressure, TemperatureDifference, Volume, WaterTemperature
from generator.model.rules import Rules
from generator.model.scalars import Strict, Text, YesNo, refuse
from generator.model.site import FixtureKind

# At service sinks and rinse bays the work done there decides; every other kind has a limit temperature.
LIMITED_KINDS: tuple[FixtureKind, ...] = ("shower", "tub", "public lavatory", "lavatory", "kitchen sink")


class Limit(Strict):
    """What a rule of the basis asks for; the rule's clauses say who asks, and how the value was obtained."""

    rule: Text


class TemperatureLimit(Limit):
    """The greatest temperature [K] of the water; `advised`: no code forbids hotter water there."""

    at_most_k: WaterTemperature = Field(alias="at_most")
    advised: YesNo = False


class FlowLimit(Limit):
    """The greatest flow [m3/s] of a fixture."""

    at_most_m3_s: Flow = Field(alias="at_most")


class StaticPressureLimit(Limit):
    """The greatest static pressure [Pa] without a pressure-reducing valve."""

    at_most_pa: Pressure = Field(alias="at_most")


class FixturePressureLimit(Limit):
    """The least flowing pressure [Pa] at a fixture, and at a tub or a shower with a mixing valve."""

    at_least_pa: Pressure = Field(alias="at_least")
    with_valve_pa: Pressure = Field(alias="with_valve")


class HotRunLimit(Limit):
    """The greatest volume [m3] of the hot run to a public lavatory, and to any other fixture."""

    public_lavatory_m3: Volume = Field(alias="public_lavatory")
    other_m3: Volume = Field(alias="other")


class MixingValveLimit(Limit):
    """The least flow [m3/s] of a mixing valve, how much hotter than its setting its hot supply must be [K], and its
    standard at a shower and at any other fixture."""

    least_flow_m3_s: Flow = Field(alias="least_flow")
    hotter_by_k: TemperatureDifference = Field(alias="hotter_by")
    shower: Text
    other: Text


class PlumbingLimits(Strict):
    """The limits of a basis. `handbook_temperature`: what the handbook's own limit is held to, whatever the fixture;
    `tankless_temperature`: what no tankless heater may give, whatever the fixture.

    `flows` leaves out the kinds of fixture without a limit of their own.
    """

    temperatures: Mapping[FixtureKind, TemperatureLimit]
    handbook_temperature: TemperatureLimit
    tankless_temperature: TemperatureLimit
    flows: Mapping[FixtureKind, FlowLimit]
    static_pressure: StaticPressureLimit
    fixture_pressure: FixturePressureLimit
    hot_run: HotRunLimit
    mixing_valve: MixingValveLimit

    @model_validator(mode="after")
    def _holds_every_kind(self) -> PlumbingLimits:
        for kind in LIMITED_KINDS:
            if kind not in self.temperatures:
                raise refuse(f"no limit is given for a {kind}", f"at_most and rule for {kind}", "temperatures")
        return self

    def named(self) -> Iterator[tuple[tuple[str, ...], Limit]]:
        """Yield every limit with its key path."""
        for name in type(self).model_fields:
            held = getattr(self, name)
            if isinstance(held, Limit):
                yield (name,), held
            else:
                yield from (((name, kind), limit) for kind, limit in held.items())


class PlumbingRules(Rules):
    """The file rules.yaml of a plumbing basis: who says so, rule by rule, and the limits that the rules set."""

    limits: PlumbingLimits

    @model_validator(mode="after")
    def _limits_are_cited(self) -> PlumbingRules:
        for path, limit in self.limits.named():
            if limit.rule not in self.rules:
                expected = f"one of {', '.join(self.rules)}"
                raise refuse(f"'{limit.rule}' is none of the rules", expected, "limits", *path, "rule")
        return self

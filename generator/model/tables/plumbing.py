"""The limits of a plumbing basis, as numbers with the rule of the basis that asks for each.

Each is held to a range that the codes of any edition lie in, and ten times or a tenth of one does not: our own.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Annotated

from pydantic import Field, model_validator

from generator.model.quantity import QuantityField, WaterTemperature
from generator.model.scalars import Strict, Text, YesNo, refuse
from generator.model.site import FixtureKind
from generator.model.tables.clauses import Clauses

# At service sinks and rinse bays the work done there decides; every other kind has a limit temperature.
LIMITED_KINDS: tuple[FixtureKind, ...] = ("shower", "tub", "public lavatory", "lavatory", "kitchen sink")


FixtureFlow = Annotated[float, QuantityField("flow", "0.3 gpm", "4.5 gpm")]
ValveFlow = Annotated[float, QuantityField("flow", "0.1 gpm", "2 gpm")]
Hotter = Annotated[float, QuantityField("temperature_difference", "5 delta_degF", "60 delta_degF")]
StillPressure = Annotated[float, QuantityField("pressure", "30 psi", "200 psi")]
FlowingPressure = Annotated[float, QuantityField("pressure", "3 psi", "40 psi")]
LavatoryVolume = Annotated[float, QuantityField("volume", "0.005 gal", "0.1 gal")]
RunVolume = Annotated[float, QuantityField("volume", "0.1 gal", "2 gal")]


class Limit(Strict):
    """What a rule of the basis asks for; the rule's clauses say who asks, and how the value was obtained."""

    rule: Text


class TemperatureLimit(Limit):
    """The greatest temperature [K] of the water; `advised`: no code forbids hotter water there."""

    at_most_k: WaterTemperature = Field(alias="at_most")
    advised: YesNo = False


class FlowLimit(Limit):
    """The greatest flow [m3/s] of a fixture."""

    at_most_m3_s: FixtureFlow = Field(alias="at_most")


class StaticPressureLimit(Limit):
    """The greatest static pressure [Pa] without a pressure-reducing valve."""

    at_most_pa: StillPressure = Field(alias="at_most")


class FixturePressureLimit(Limit):
    """The least flowing pressure [Pa] at a fixture, and at a tub or a shower with a mixing valve."""

    at_least_pa: FlowingPressure = Field(alias="at_least")
    with_valve_pa: FlowingPressure = Field(alias="with_valve")


class HotRunLimit(Limit):
    """The greatest volume [m3] of the hot run to a public lavatory, and to any other fixture."""

    public_lavatory_m3: LavatoryVolume = Field(alias="public_lavatory")
    other_m3: RunVolume = Field(alias="other")


class MixingValveLimit(Limit):
    """The least flow [m3/s] of a mixing valve, how much hotter than its setting its hot supply must be [K], and its
    standard at a shower and at any other fixture; `heater`: that of a heater which limits its own water, if any."""

    least_flow_m3_s: ValveFlow = Field(alias="least_flow")
    hotter_by_k: Hotter = Field(alias="hotter_by")
    shower: Text
    other: Text
    heater: Text | None = None


class ValveStandard(Limit):
    """What a valve that is listed to a standard guards: kinds of fixture, up to a setting [K] where it names one.

    `names`: the standard as valves are marked with it.
    `elsewhere`: the basis does not take it, but it counts where no plumbing code is held for the site.
    """

    names: tuple[Text, ...] = Field(min_length=1)
    guards: tuple[FixtureKind, ...] = ()
    at_most_k: WaterTemperature | None = Field(None, alias="at_most")
    elsewhere: YesNo = False

    def marked_on(self, standard: str) -> bool:
        """Return whether what a valve is marked with names this standard, in any edition."""
        return any(re.search(rf"(?<!\w){re.escape(name)}(?!\w)", standard, re.IGNORECASE) for name in self.names)


class PlumbingLimits(Strict):
    """The limits of a basis. `handbook_temperature`: what the handbook's own limit is held to, whatever the fixture;
    `tankless_temperature`: what no tankless heater may give, whatever the fixture.

    `flows` leaves out the kinds of fixture without a limit of their own. `valves`: by a name of our own, what valves
    listed to each standard guard; one of another standard guards nothing.
    """

    temperatures: Mapping[FixtureKind, TemperatureLimit]
    handbook_temperature: TemperatureLimit
    tankless_temperature: TemperatureLimit
    flows: Mapping[FixtureKind, FlowLimit]
    static_pressure: StaticPressureLimit
    fixture_pressure: FixturePressureLimit
    hot_run: HotRunLimit
    mixing_valve: MixingValveLimit
    valves: Mapping[str, ValveStandard]

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


class PlumbingRules(Clauses):
    """The file rules.yaml of a plumbing basis: who says so, rule by rule, and the limits that the rules set."""

    limits: PlumbingLimits

    @model_validator(mode="after")
    def _limits_are_cited(self) -> PlumbingRules:
        for path, limit in self.limits.named():
            if limit.rule not in self.rules:
                expected = f"one of {', '.join(self.rules)}"
                raise refuse(f"'{limit.rule}' is none of the rules", expected, "limits", *path, "rule")
        return self

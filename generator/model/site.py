"""A place where a heater is or will be installed (site_data/sites/*.yaml)."""

from __future__ import annotations

from typing import Annotated, Literal, Self, get_args

from pydantic import BeforeValidator, Field, model_validator

from generator.model.decision import Decision
from generator.model.heater import Material, Phases
from generator.model.quantity import (
    AirTemperature,
    Current,
    Flow,
    Frequency,
    RunLength,
    TemperatureRating,
    Voltage,
    WaterTemperature,
)
from generator.model.scalars import (
    ConductorSize,
    Count,
    Date,
    Decimal,
    Identifier,
    Strict,
    Text,
    YesNo,
    refuse,
)
from generator.model.site_contacts import Contacts, LocalRule, Permit, Shutoffs
from generator.model.site_water import SiteWater
from generator.model.tables.clauses import Adopted


class Panel(Strict):
    """The panel that feeds the circuit: rating [A], demand already calculated on it [A], free pole spaces.

    `id`: sites that name the same panel share it and state the same of it; a site that names none has one of its own.
    `label`: what stands on its door.
    `demand` and `spaces` are the panel's without the heaters of this handbook, which are added.
    """

    id: Identifier | None = None
    label: Text | None = None
    rating_a: Current = Field(alias="rating")
    demand_a: Current = Field(alias="demand")
    demand_method: Text
    spaces: Count
    phases: Phases


class VoltageRange(Strict):
    """What the supply in service is known to lie between [V], by whom, in which document, and when."""

    least_v: Voltage = Field(alias="least")
    greatest_v: Voltage = Field(alias="greatest")
    known_by: Literal["utility statement", "recording of a week"]
    document: Text
    date: Date

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        if self.least_v > self.greatest_v:
            raise refuse("the least voltage is above the greatest", "the lowest voltage in service as least", "least")
        return self


NorthAmerican = Literal["split-phase", "wye", "high-leg delta", "corner-grounded delta"]
Earthing = Literal["TN", "TN-S", "TN-C-S", "TT", "IT"]
NORTH_AMERICAN, EARTHING = get_args(NorthAmerican), get_args(Earthing)


class Supply(Strict):
    """The supply at the heater's connection: voltage between its line conductors (or line to neutral for 120 V) [V].

    `system`: how the transformer of a North American supply is connected; on the IEC basis the earthing system by IEC
    60364-1. `residual_current_device`: the rated residual current of the device ahead of the circuit, asked for on the
    IEC basis. None where nobody has stated them. `voltage_range`: None where nobody knows it, and the service range of
    the code basis holds.
    """

    voltage_v: Voltage = Field(alias="voltage")
    voltage_range: VoltageRange | None = None
    phases: Phases
    frequency_hz: Frequency = Field(alias="frequency")
    neutral_present: YesNo | None = None
    system: NorthAmerican | Earthing | None = None
    residual_current_device: Literal["10 mA", "30 mA", "100 mA", "300 mA", "500 mA"] | None = None
    panel: Panel

    @model_validator(mode="after")
    def _voltage_within_its_range(self) -> Self:
        known = self.voltage_range
        if known is not None and not known.least_v <= self.voltage_v <= known.greatest_v:
            wrong = "the voltage of the supply is not within the range"
            raise refuse(wrong, "a range from below the voltage to above it", "voltage_range")
        return self

    @property
    def earthing(self) -> str | None:
        """The earthing system, where it is one that is stated."""
        return self.system if self.system in EARTHING else None

    @model_validator(mode="after")
    def _system_has_the_phases(self) -> Self:
        if self.system == "split-phase" and 3 in (self.phases, self.panel.phases):
            raise refuse("a split-phase supply has no three phases", "wye, or one of the deltas", "system")
        return self


class Route(Strict):
    """The cable route from panel to heater. Length one way [m]; temperatures [K].

    `other_conductors`: current-carrying conductors of other circuits in the raceway or cable (US basis);
    `other_circuits`: other circuits in the group (IEC basis), in an `arrangement` of the basis's grouping table. The
    heater's own are added, those of all its feeds where `feeds_share_raceway`. `ambient`: of the ground when buried.
    """

    method: Text
    conductor: Material
    insulation: Text
    length_m: RunLength = Field(alias="length")
    ambient_k: AirTemperature = Field(alias="ambient")
    other_conductors: Count = 0
    other_circuits: Count = 0
    arrangement: Text | None = None
    wet: YesNo = False
    feeds_share_raceway: YesNo = True
    terminations_k: TemperatureRating = Field(alias="terminations")


class ExistingCircuit(Strict):
    """A circuit that is already there and is to be judged: device [A], poles, conductors.

    `insulation`: as sheath and conductors are marked; the route's where nobody has stated another.
    """

    device_a: Current = Field(alias="device")
    poles: Count
    conductor: ConductorSize
    ground: ConductorSize | None = None
    line_to_neutral: YesNo = False
    insulation: Text | None = None


class Use(Strict):
    """How the heater is used: whether the load can run for three hours, and why not when it cannot."""

    continuous: YesNo
    reason: Text | None = None

    @model_validator(mode="after")
    def _reason_given(self) -> Use:
        if not self.continuous and not self.reason:
            expected = "a reason, which is printed with the circuit"
            raise refuse("the load is called non-continuous without a reason", expected, "reason")
        return self


Occupancy = Literal["dwelling", "agricultural", "other"]
PlaceKind = Literal["indoor", "damp", "wash-down", "outdoor", "bathroom", "kitchen"]
Building = Literal["house", "garage", "accessory building", "boathouse"]


class Place(Strict):
    """Where the heater hangs, for the rules that depend on it. Horticultural premises count as agricultural.

    `kind`: `wash-down` where a hose reaches the heater, which makes the place a wet one, as the outdoors is.
    `disconnects_grouped`: whether those of a heater of several feeds stand together; None where nobody has stated it.
    `building`: which building of a dwelling it is; None where nobody has stated it.
    """

    occupancy: Occupancy
    kind: PlaceKind
    building: Building | None = None
    disconnect: Literal["in sight", "lockable", "none"]
    disconnects_grouped: YesNo | None = None
    freezing: YesNo = False

    @property
    def wet(self) -> bool:
        """Whether it is a wet location: NFPA 70 article 100, locations saturated with water or exposed to weather."""
        return self.kind in ("wash-down", "outdoor")

    @property
    def damp(self) -> bool:
        """Whether it is a damp location, or wetter."""
        return self.wet or self.kind == "damp"


FixtureKind = Literal["lavatory", "public lavatory", "kitchen sink", "service sink", "shower", "tub", "rinse bay"]
FIXTURE_KINDS: tuple[FixtureKind, ...] = get_args(FixtureKind)


# Two texts of one temperature, such as 48.89 degC and 120 degF, are not one float.
SAME_K = 0.01
VALVE_FORM = "write {standard: ASSE 1016, type: thermostatic, setting: 105 degF}, or leave the key out"


class MixingValve(Strict):
    """A mixing valve at a fixture: the standard marked on it, what it senses, setting [K], least flow [m3/s].

    A pressure-balancing one senses pressures alone, a thermostatic one the temperature at its outlet, a combination
    both.
    """

    standard: Text
    type: Literal["thermostatic", "combination", "pressure-balancing"]
    setting_k: WaterTemperature = Field(alias="setting")
    least_flow_m3_s: Flow | None = Field(None, alias="least_flow")


def _valve(value: object) -> object:
    if isinstance(value, bool | str):
        raise refuse(f"'{value}' does not say which mixing valve", VALVE_FORM)
    return value


class Fixture(Strict):
    """A point of use: mixed flow [m3/s] and temperature [K] wanted, limit temperature [K], how many at once."""

    name: Text
    kind: FixtureKind
    flow_m3_s: Flow = Field(alias="flow")
    target_k: WaterTemperature = Field(alias="target")
    limit_k: WaterTemperature | None = Field(None, alias="limit")
    at_once: Count = 1
    mixing_valve: Annotated[MixingValve | None, BeforeValidator(_valve)] = None

    @model_validator(mode="after")
    def _target_below_limit(self) -> Fixture:
        if self.limit_k is not None and self.target_k > self.limit_k:
            raise refuse("the target is above the limit temperature", "a target not above the limit", "target")
        return self


MINUTES_A_DAY = 1440


class Tariff(Strict):
    """Optional cost figures: price of a kilowatt-hour, its currency, minutes of use a day."""

    price_per_kwh: Decimal
    currency: Text
    minutes_a_day: Annotated[Count, Field(le=MINUTES_A_DAY)]


class Site(Strict):
    """A site: one heater, its supply, route, water and fixtures.

    `group`: what it is listed under where there are many, by default the folder that it lies in. `circuit_numbers`: by
    feed of the heater the number of its circuit in the panel. `notes` and `local_rules` are shown as they are written.
    """

    id: Identifier
    title: Text
    summary: Text
    group: Text | None = None
    heater: Identifier
    code_basis: Identifier | None = None
    plumbing_basis: Identifier | None = None
    adopted: Adopted | None = None
    selected_stage: Count | None = None
    place: Place
    supply: Supply
    route: Route
    existing_circuit: ExistingCircuit | None = None
    use: Use
    water: SiteWater
    fixtures: tuple[Fixture, ...] = Field(min_length=1)
    tariff: Tariff | None = None
    serial_number: Text | None = None
    circuit_numbers: dict[str, Text] = Field(default_factory=dict)
    contacts: Contacts = Contacts()
    shutoffs: Shutoffs = Shutoffs()
    permit: Permit | None = None
    notes: tuple[Text, ...] = ()
    local_rules: tuple[LocalRule, ...] = ()
    decisions: tuple[Decision, ...] = ()

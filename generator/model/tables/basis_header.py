"""The head of a code basis (basis.yaml): what it is, and the limits of its own that are no tables."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, model_validator

from generator.model.quantity import Frequency, QuantityField
from generator.model.scalars import ConductorSize, Decimal, Strict, Text, decimal_of, refuse
from generator.model.tables.clauses import Family
from generator.model.tables.code_file import CodeFile, OptionalText
from generator.model.tables.conductor_colours import ConductorColours
from generator.model.tables.tolerances import ServiceVoltage

# What a basis of a family must state, by key.
_ASKED: Mapping[Family, Mapping[str, tuple[str, ...]]] = {
    "nfpa70": {"voltage_drop": ("branch_circuit",), "guards": ("ground_fault", "arc_fault", "limiter")},
    "iec60364": {
        "voltage_drop": ("other_uses",),
        "conductor_resistivity": ("copper",),
        "guards": ("residual_current",),
    },
}

# A recommended drop is a few per cent: 0.3 is a slip of a digit. A resistivity is that of copper or aluminum, 0.0172
# and 0.0283 ohm mm2/m at 20 degC (IEC 60028 and IEC 60889, from memory), or up to a half more in service.
DropRatio = Annotated[float, BeforeValidator(decimal_of), Field(ge=0.01, le=0.15)]
OhmMm2M = Annotated[float, BeforeValidator(decimal_of), Field(ge=0.017, le=0.045)]


class DropLimit(Strict):
    """A recommended limit of voltage drop as a ratio; rules.yaml says who recommends it."""

    limit: DropRatio
    note: OptionalText = None


class DropLimits(Strict):
    """The limits by what is supplied. NFPA 70 knows the first two, IEC 60364 the others."""

    branch_circuit: DropLimit | None = None
    feeder_and_branch_circuit: DropLimit | None = None
    lighting: DropLimit | None = None
    other_uses: DropLimit | None = None


class Resistivity(Strict):
    """A conductor resistivity with its unit; rules.yaml says who states it."""

    value: OhmMm2M
    unit: Literal["ohm mm2/m"]
    note: OptionalText = None


class Resistivities(Strict):
    """The resistivity of each conductor metal that the basis states one for."""

    copper: Resistivity | None = None


class GroundFault(Strict):
    """Up to which device [A] and voltage to ground [V] outlets are to be protected against faults to ground."""

    device_a: Annotated[float, QuantityField("current", "20 A", "100 A")] = Field(alias="device")
    to_ground_v: Annotated[float, QuantityField("voltage", "100 V", "300 V")] = Field(alias="voltage_to_ground")
    note: OptionalText = None


class ArcFault(Strict):
    """Up to which device [A] and voltage [V] circuits are to be protected against arcs."""

    device_a: Annotated[float, QuantityField("current", "15 A", "60 A")] = Field(alias="device")
    voltage_v: Annotated[float, QuantityField("voltage", "100 V", "300 V")] = Field(alias="voltage")
    note: OptionalText = None


class ResidualCurrents(Strict):
    """The greatest rated residual current by what asks for it: what guards people, and what guards against fire."""

    bathroom: Literal["10 mA", "30 mA"]
    outdoor: Literal["10 mA", "30 mA"]
    agricultural: Literal["100 mA", "300 mA", "500 mA"]
    note: OptionalText = None


class Limiter(Strict):
    """Up to which volume of water [m3] an instantaneous heater that is identified as suitable needs no limiter."""

    exempt_m3: Annotated[float, QuantityField("volume", "2 L", "8 L")] = Field(alias="exempt")
    note: OptionalText = None


class Guards(Strict):
    """When a device is asked for that guards people or wiring; rules.yaml says who asks. NFPA 70 knows the first three,
    IEC 60364 the last."""

    ground_fault: GroundFault | None = None
    arc_fault: ArcFault | None = None
    limiter: Limiter | None = None
    residual_current: ResidualCurrents | None = None


class BasisHeader(CodeFile):
    """The file basis.yaml: what the basis is, its supply in service, its sizes in rising order, its references, its
    deferral notice.

    `conventional_current`: what opens a device within the conventional time, over its rated current (IEC 60364).
    `conductor_colours`: None where drawings are to show none.
    """

    id: Text
    family: Family
    covers: Text
    frequency_hz: Frequency = Field(alias="frequency")
    service_voltage: ServiceVoltage
    sizes: tuple[ConductorSize, ...] = Field(min_length=1)
    reference_ambient_c: Annotated[Decimal, Field(ge=15.0, le=45.0)]
    voltage_drop: DropLimits
    conductor_resistivity: Resistivities = Resistivities()
    guards: Guards = Guards()
    conventional_current: Annotated[Decimal, Field(ge=1.05, le=2.0)] | None = None
    conductor_colours: ConductorColours | None = None
    deferral: Text

    @model_validator(mode="after")
    def _states_what_its_family_asks_for(self) -> BasisHeader:
        for key, names in _ASKED[self.family].items():
            for name in names:
                if getattr(getattr(self, key), name) is None:
                    expected = f"a basis of the family {self.family} needs it"
                    raise refuse(f"this states nothing for {name}", expected, key)
        if self.family == "iec60364" and self.conventional_current is None:
            raise refuse("the basis states none", "such as 1.45, of circuit-breakers", "conventional_current")
        return self

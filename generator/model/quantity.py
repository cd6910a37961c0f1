"""Field types for quantities in the YAML: the strict parser in front of the unit list.

Grammar: a decimal number (point only, no exponent, no thousands mark), at most one space, a unit of the field's kind in
any of its spellings. Nothing else is a quantity: no bare number, expression, comma, NaN or infinity. Values are
held in SI. Code that builds inputs itself (tests, other programs) may pass SI floats.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError, core_schema

from generator.model.figures import Value
from generator.units import KINDS, SPELLINGS, to_si, unit_meant, unit_names

_NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")
_QUANTITY = re.compile(rf"({_NUMBER.pattern})(?: (?=\S)|(?=[A-Za-z°º%Ω]))(.*)")


def _words(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def _refuse(wrong: str, expected: str) -> PydanticCustomError:
    return PydanticCustomError("quantity", "{wrong}; {expected}", {"wrong": wrong, "expected": expected})


@lru_cache(maxsize=1_000)
def kind_of_unit(unit: str) -> str | None:
    """Return the kind of quantity a unit measures, in whatever spelling, or None for an unknown unit."""
    meant = unit_meant(unit)
    return next((kind for kind, (_, names) in KINDS.items() if meant in names), None)


@cache
def _bound(text: str, kind: str) -> float:
    number, _, unit = text.partition(" ")
    return to_si(float(number), kind, unit_meant(unit))


@dataclass(frozen=True, slots=True)
class QuantityField:
    """A pydantic annotation: a quantity of `kind`, from `least` to `most` (texts with unit, both allowed values).

    `above` is a bound that is itself not allowed, such as 0 kW for a power.
    """

    kind: str
    least: str
    most: str
    above: bool = False

    @property
    def expected(self) -> str:
        """What the field takes, in words."""
        start = "above" if self.above else "from"
        what = self.kind.replace("_", " ")
        return f"write a {what} in {_words(unit_names(self.kind))}, {start} {self.least} to {self.most}"

    def parse(self, text: str) -> float:
        """Return the SI value of `number unit`; PydanticCustomError with fields `wrong` and `expected` otherwise."""
        if _NUMBER.fullmatch(text):
            raise _refuse(f"'{text}' has no unit", self.expected)
        match = _QUANTITY.fullmatch(text)
        if not match:
            raise _refuse(f"'{text}' is not a decimal number, one space and a unit", self.expected)
        number, unit = match[1], unit_meant(match[3])
        if unit not in unit_names(self.kind):
            other = kind_of_unit(unit)
            what = f"a {other.replace('_', ' ')}" if other else "no unit of this handbook"
            raise _refuse(f"'{text}': '{match[3]}' is {what}", self.expected)
        return self.within(to_si(float(number), self.kind, unit), text)

    def within(self, value: float, text: str) -> float:
        """Return `value` if it is in range; PydanticCustomError otherwise (NaN and infinity included)."""
        least, most = self.bounds
        slack = 1e-12 * max(abs(least), abs(most))
        low_enough = value > least if self.above else value >= least - slack
        if not (low_enough and value <= most + slack):
            raise _refuse(f"'{text}' is out of range", self.expected)
        return value

    @property
    def bounds(self) -> tuple[float, float]:
        """The least and the greatest value, in SI."""
        return _bound(self.least, self.kind), _bound(self.most, self.kind)

    def _validate(self, value: Any) -> float:
        if isinstance(value, str):
            return self.parse(value)
        if isinstance(value, int | float) and not isinstance(value, bool):
            return self.within(float(value), f"{value} (SI)")
        raise _refuse("this is a list or a mapping, not a quantity", self.expected)

    def __get_pydantic_core_schema__(self, source: Any, _handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        """Validate texts and SI numbers; see `parse`."""
        return core_schema.no_info_plain_validator_function(self._validate)

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, _handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        """Describe the text form to editors."""
        names = unit_names(self.kind)
        spelled = [spelling for spelling, unit in SPELLINGS.items() if unit in names]
        units = "|".join(re.escape(name) for name in (*names, *spelled))
        return {
            "type": "string",
            "pattern": rf"^{_NUMBER.pattern} ?({units})$",
            "description": self.expected,
            "examples": [self.most],
        }


def any_quantity(text: str) -> Value | None:
    """Return a quantity of whatever kind its unit measures, as a value in SI; None for a text that is none."""
    match = _QUANTITY.fullmatch(text)
    kind = kind_of_unit(match[3]) if match else None
    return Value("at", to_si(float(match[1]), kind, unit_meant(match[3])), kind) if match and kind else None


# A number of things, and what a finding shows as a name: a conductor size, a rated residual current.
_COUNT, _NAMED = re.compile("[0-9]{1,3}"), re.compile(r"[0-9]{1,3}(/0|\.[0-9]{1,2})? (AWG|mm2|mA)")


def _any_quantity(value: Any) -> Value:
    if isinstance(value, Value):
        return value
    expected = "write the figure as it is shown, such as 132 degF, 3 or 8 AWG"
    if isinstance(value, str) and _COUNT.fullmatch(value):
        return Value("at", float(value), "count")
    if isinstance(value, str) and _NAMED.fullmatch(value):
        return Value("at", value, "text")
    match = _QUANTITY.fullmatch(value) if isinstance(value, str) else None
    if not match:
        raise _refuse(f"'{value}' is not a decimal number, one space and a unit", expected)
    found = any_quantity(value)
    if found is None:
        raise _refuse(f"'{value}': '{match[3]}' is no unit of this handbook", expected)
    return found


AnyQuantity = Annotated[
    Value,
    PlainValidator(_any_quantity),
    WithJsonSchema({"type": "string", "description": "a figure as it is shown, such as 132 degF, 3 or 8 AWG"}),
]
Power = Annotated[float, QuantityField("power", "0 kW", "200 kW", above=True)]
Flow = Annotated[float, QuantityField("flow", "0.05 gpm", "60 gpm")]
WaterTemperature = Annotated[float, QuantityField("temperature", "32 degF", "211.9 degF")]
AirTemperature = Annotated[float, QuantityField("temperature", "-40 degF", "185 degF")]
TemperatureRating = Annotated[float, QuantityField("temperature", "60 degC", "90 degC")]
TemperatureDifference = Annotated[float, QuantityField("temperature_difference", "0 K", "100 K")]
Pressure = Annotated[float, QuantityField("pressure", "0 psi", "400 psi")]
Length = Annotated[float, QuantityField("length", "0 ft", "3000 ft")]
RunLength = Annotated[float, QuantityField("length", "0 ft", "3000 ft", above=True)]
Height = Annotated[float, QuantityField("length", "-300 ft", "300 ft")]
Altitude = Annotated[float, QuantityField("length", "-1500 ft", "15000 ft")]
Volume = Annotated[float, QuantityField("volume", "0 gal", "10 gal", above=True)]
Mass = Annotated[float, QuantityField("mass", "0 lb", "500 lb", above=True)]
Voltage = Annotated[float, QuantityField("voltage", "100 V", "480 V")]
Current = Annotated[float, QuantityField("current", "0 A", "2000 A")]
# What is read on a visit: from nothing up, since a dead line or an open tap reads nothing.
MeasuredVoltage = Annotated[float, QuantityField("voltage", "0 V", "1000 V")]
ReadTemperature = Annotated[float, QuantityField("temperature", "32 degF", "212 degF")]
FaultCurrent = Annotated[float, QuantityField("current", "100 A", "200000 A")]
SmallCurrent = Annotated[float, QuantityField("current", "1 mA", "10 A")]
Resistance = Annotated[float, QuantityField("resistance", "0 ohm", "100000 Mohm")]
Time = Annotated[float, QuantityField("time", "0 s", "24 h")]
SmallFlow = Annotated[float, QuantityField("flow", "0 gpm", "60 gpm")]
Frequency = Annotated[float, QuantityField("frequency", "45 Hz", "65 Hz")]
TORQUE = QuantityField("torque", "5 lbf in", "500 lbf in")
Torque = Annotated[float, TORQUE]
Ratio = Annotated[float, QuantityField("ratio", "0 %", "100 %")]
Share = Annotated[float, QuantityField("ratio", "0 %", "100 %", above=True)]
Hardness = Annotated[float, QuantityField("concentration", "0 mg/L", "1000 mg/L")]

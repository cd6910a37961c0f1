"""Quantities: only `number unit`, in units of our list, in range, to SI.

Factors to SI: NIST SP 811 (2008), appendix B.8, written down from memory.
"""

import math
import re
from typing import Any, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter, ValidationError
from pydantic_core import PydanticCustomError

from generator.model import quantity
from generator.model.quantity import QuantityField
from generator.model.scalars import ConductorSize
from generator.units import KINDS, LINES, SPELLINGS, from_si, to_si, unit_names, worked_out

FIELDS: dict[str, QuantityField] = {
    name: field
    for name, alias in vars(quantity).items()
    for field in get_args(alias)[1:]
    if isinstance(field, QuantityField)
}


def test_what_stands_of_each_unit_is_what_pint_works_out_of_its_definition() -> None:
    assert {(kind, unit) for kind, lines in LINES.items() for unit in lines} == {
        (kind, unit) for kind, (_, names) in KINDS.items() for unit in names
    }
    assert {kind: {unit: worked_out(kind, unit) for unit in lines} for kind, lines in LINES.items()} == LINES


def field(kind: str, least: float = -1e6, most: float = 1e6) -> QuantityField:
    unit = unit_names(kind)[0]
    return QuantityField(kind, f"{least:.0f} {unit}", f"{most:.0f} {unit}")


@pytest.mark.parametrize(
    ("text", "kind", "si", "digits"),
    [
        ("9.6 kW", "power", 9600.0, 12),
        ("1 Btu/h", "power", 2.930711e-1, 7),
        ("1 gpm", "flow", 6.309020e-5, 7),
        ("60 L/min", "flow", 1e-3, 12),
        ("1 psi", "pressure", 6.894757e3, 7),
        ("2 bar", "pressure", 2e5, 12),
        ("1 ft", "length", 0.3048, 12),
        ("1 in", "length", 0.0254, 12),
        ("1 gal", "volume", 3.785412e-3, 7),
        ("1 lb", "mass", 0.4535924, 7),
        ("32 degF", "temperature", 273.15, 12),
        ("212 degF", "temperature", 373.15, 12),
        ("-40 degF", "temperature", 233.15, 12),
        ("-40 degC", "temperature", 233.15, 12),
        ("54 delta_degF", "temperature_difference", 30.0, 12),
        ("30 delta_degC", "temperature_difference", 30.0, 12),
        ("30 K", "temperature_difference", 30.0, 12),
        ("1 lbf in", "torque", 1.129848e-1, 7),
        ("1 lbf ft", "torque", 1.355818, 7),
        ("2 N m", "torque", 2.0, 12),
        ("25 %", "ratio", 0.25, 12),
        ("1 kWh", "energy", 3.6e6, 12),
        ("1 mm2", "area", 1e-6, 12),
        ("1 cmil", "area", 5.067075e-10, 7),
    ],
)
def test_a_quantity_becomes_si(text: str, kind: str, si: float, digits: int) -> None:
    assert field(kind).parse(text) == pytest.approx(si, rel=0.6 * 10 ** (1 - digits))


@pytest.mark.parametrize(
    ("written", "kind", "meant"),
    [
        ("11.5kW", "power", "11.5 kW"),
        ("9.6 kw", "power", "9.6 kW"),
        ("54 °F", "temperature", "54 degF"),
        ("54°F", "temperature", "54 degF"),
        ("-5 °C", "temperature", "-5 degC"),
        ("35 feet", "length", "35 ft"),
        ("8 lpm", "flow", "8 L/min"),
        ("1.5 gal/min", "flow", "1.5 gpm"),
        ("25PSI", "pressure", "25 psi"),
        ("30 amps", "current", "30 A"),
        ("25%", "ratio", "25 %"),
    ],
)
def test_a_spelling_is_read_as_the_unit_it_can_only_mean(written: str, kind: str, meant: str) -> None:
    assert field(kind).parse(written) == field(kind).parse(meant)
    assert re.match(field(kind).__get_pydantic_json_schema__({}, None)["pattern"], written)  # type: ignore[arg-type]


def test_a_spelling_stands_for_one_unit_of_the_list_and_is_none_itself() -> None:
    listed = {name for kind in KINDS for name in unit_names(kind)}
    assert set(SPELLINGS.values()) <= listed
    assert not listed & SPELLINGS.keys()
    by_case = {
        spelling: unit.lower() for spelling, unit in SPELLINGS.items() if spelling.lower() in map(str.lower, listed)
    }
    assert all(spelling.lower() == unit for spelling, unit in by_case.items())  # m is never taken for M


def test_a_temperature_as_pages_show_it_is_no_difference() -> None:
    with pytest.raises(PydanticCustomError, match="'5 °F': '°F' is a temperature"):
        field("temperature_difference").parse("5 °F")


@pytest.mark.parametrize(
    ("written", "meant"),
    [("#8", "8 AWG"), ("8AWG", "8 AWG"), ("8 awg", "8 AWG"), ("#1/0", "1/0 AWG"), ("2.5mm²", "2.5 mm2"), ("8", None)],
)
def test_a_conductor_is_read_as_the_trade_writes_it(written: str, meant: str | None) -> None:
    size = TypeAdapter(ConductorSize)
    if meant is None:
        with pytest.raises(ValidationError, match="write a conductor size such as 12 AWG"):
            size.validate_python(written)
    else:
        assert size.validate_python(written) == meant


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "kW",
        "9.6",
        "9.6  kW",
        " 9.6 kW",
        "9.6 kW ",
        "9.6 kW\n",
        "9.6\N{NO-BREAK SPACE}kW",
        "9,6 kW",
        "9_6 kW",
        "1e3 kW",
        "1e3",
        ".5 kW",
        "5. kW",
        "--5 kW",
        "+-5 kW",
        "2**3 kW",
        "2*3 kW",
        "9.6 kW/h",
        "9.6 gpm",
        "9.6 degF",
        "nan kW",
        "inf kW",
        "-inf kW",
        "0x10 kW",
        "\N{ARABIC-INDIC DIGIT THREE} kW",
        "\N{FULLWIDTH DIGIT THREE} kW",
        "9.6 kW 3 kW",
        "nine kW",
    ],
)
def test_nothing_else_is_a_power(text: str) -> None:
    with pytest.raises(PydanticCustomError) as refused:
        field("power").parse(text)
    assert refused.value.type == "quantity"
    assert refused.value.context is not None
    assert refused.value.context["expected"].startswith("write a power in W, kW or Btu/h")


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf, True, None, [], {}])
def test_no_other_value_is_a_power(value: Any) -> None:
    with pytest.raises(PydanticCustomError):
        field("power")._validate(value)


def test_a_temperature_and_a_difference_are_never_taken_for_each_other() -> None:
    for kind, others in (
        ("temperature", unit_names("temperature_difference")),
        ("temperature_difference", unit_names("temperature")),
    ):
        for unit in others:
            with pytest.raises(PydanticCustomError, match=f"'{unit}' is a temperature"):
                field(kind).parse(f"20 {unit}")


def test_a_unit_name_belongs_to_one_kind() -> None:
    names = [name for _, units in KINDS.values() for name in units]
    assert len(names) == len(set(names))


@pytest.mark.parametrize("name", FIELDS)
def test_the_bounds_of_a_field_are_as_told(name: str) -> None:
    bounded = FIELDS[name]
    assert bounded.parse(bounded.most) == pytest.approx(_si(bounded.most, bounded.kind))
    if bounded.above:
        with pytest.raises(PydanticCustomError, match="out of range"):
            bounded.parse(bounded.least)
    else:
        assert bounded.parse(bounded.least) == pytest.approx(_si(bounded.least, bounded.kind))
    number, unit = bounded.most.split(" ", 1)
    with pytest.raises(PydanticCustomError, match="out of range"):
        bounded.parse(f"{float(number) * 1.001 + 0.001:.6f} {unit}")


@pytest.mark.parametrize("name", FIELDS)
@given(data=st.data())
def test_any_number_in_range_comes_back_in_its_unit(name: str, data: st.DataObject) -> None:
    bounded = FIELDS[name]
    unit = data.draw(st.sampled_from(unit_names(bounded.kind)))
    least, most = (from_si(_si(bound, bounded.kind), bounded.kind, unit) for bound in (bounded.least, bounded.most))
    number = data.draw(st.floats(least, most))
    text = f"{number:.9f} {unit}"
    shown = float(text.split(" ", 1)[0])
    if not (least < shown < most):
        return  # rounded onto or past a bound
    assert from_si(bounded.parse(text), bounded.kind, unit) == pytest.approx(shown, rel=1e-9, abs=1e-9)


@given(st.text() | st.from_regex(r"[-+]?[0-9.,e_ ]{1,9} ?[A-Za-z/%_0-9()]{0,12}", fullmatch=True))
def test_any_text_is_a_number_in_range_or_a_fault(text: str) -> None:
    for bounded in FIELDS.values():
        try:
            value = bounded.parse(text)
        except PydanticCustomError as refused:
            assert refused.type == "quantity"
        else:
            assert math.isfinite(value)
            assert bounded.within(value, text) == value


def _si(text: str, kind: str) -> float:
    number, unit = text.split(" ", 1)
    return to_si(float(number), kind, unit)

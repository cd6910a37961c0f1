"""What a reader sees of a number is never on the unsafe side of it."""

import math
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.model.figures import Figure, Value
from generator.render.format import MINUS, NBSP, held_together, parts, show, show_quantity
from generator.units import KINDS, to_si
from tests.styles import BOTH

NAMES = {
    f"lbf{NBSP}in": "lbf in",
    f"N{NBSP}m": "N m",
    "°F": "degF",
    "°C": "degC",
    "Ω": "ohm",
    "Ω/kft": "ohm/kft",
    "Ω/km": "ohm/km",
    "mm²": "mm2",
    "kg/m³": "kg/m3",
}


def parse(text: str, kind: str) -> float:
    """The SI number of a shown text, by the unit list and not by the formatter."""
    number, sign = text.split(NBSP, 1)
    unit = NAMES.get(sign, sign).replace(NBSP, " ")
    if (kind, unit) == ("temperature_difference", "degF"):
        unit = "delta_degF"
    return to_si(float(number.replace(MINUS, "-")), kind, unit)


@pytest.mark.parametrize(
    ("value", "kind", "side", "units", "text"),
    [
        (to_si(136.9, "temperature", "degF"), "temperature", "up", "both", "137 °F (58.3 °C)"),
        (to_si(58.34, "temperature", "degC"), "temperature", "up", "both", "138 °F (58.4 °C)"),
        (to_si(58.34, "temperature", "degC"), "temperature", "down", "both", "137 °F (58.3 °C)"),
        (to_si(0.5, "flow", "gpm"), "flow", "up", "us", "0.50 gpm"),
        (to_si(0.5, "flow", "gpm"), "flow", "down", "us", "0.50 gpm"),
        (to_si(0.501, "flow", "gpm"), "flow", "up", "both", "0.51 gpm (1.9 L/min)"),
        (to_si(0.509, "flow", "gpm"), "flow", "down", "us", "0.50 gpm"),
        (9600.0, "power", "up", "both", "9.60 kW"),
        (50.0, "current", "nearest", "both", "50 A"),
        (41.6667, "current", "up", "both", "41.7 A"),
        (208.0, "voltage", "nearest", "both", "208 V"),
        (to_si(35, "torque", "lbf in"), "torque", "nearest", "both", "35 lbf in (3.95 N m)"),
        (2.0, "torque", "nearest", "both", "17.7 lbf in (2 N m)"),
        (2.0, "torque", "nearest", "si", "2 N m"),
        (0.06874, "resistance", "up", "both", "0.0688 Ω"),
        (6.0, "resistance", "nearest", "both", "6.00 Ω"),
        (to_si(12, "length", "in"), "length", "up", "both", "12 in (305 mm)"),
        (to_si(0.545, "length", "in"), "length", "down", "both", "0.545 in (13.8 mm)"),
        (to_si(4, "length", "in"), "length", "down", "both", "4 in (101 mm)"),
        (to_si(75, "length", "ft"), "length", "up", "both", "75 ft (22.9 m)"),
        (to_si(-5, "temperature", "degC"), "temperature", "nearest", "si", "−5 °C"),
        (0.0, "temperature_difference", "nearest", "both", "0 °F (0.0 K)"),
        (0.91, "number", "down", "both", "0.91"),
        (12.3456, "number", "up", "both", "12.35"),
        (4.0, "count", "nearest", "both", "4"),
        ("8 AWG", "text", "nearest", "both", "8 AWG"),
        ("2.5 mm2", "text", "nearest", "both", "2.5 mm²"),
        (90.0, "time", "up", "both", "90 s"),
        (301.0, "time", "up", "both", "5.1 min"),
    ],
)
def test_a_quantity_as_shown(value: float | str, kind: str, side: str, units: str, text: str) -> None:
    assert show_quantity(value, kind, side, units=units).replace(NBSP, " ") == text


def test_the_measured_scald_point_shows_137() -> None:
    """137 degF is 58.33 degC by the definition of the scales; up, that is 58.4."""
    assert show(Value("t", to_si(137, "temperature", "degF"), "temperature", "at_least"), BOTH) == (
        f"137{NBSP}°F (58.4{NBSP}°C)"
    )


@given(
    kind=st.sampled_from(sorted(KINDS)),
    size=st.floats(1e-3, 1e4),
    side=st.sampled_from(["up", "down"]),
    units=st.sampled_from(["us", "si", "both"]),
)
def test_no_shown_number_is_on_the_unsafe_side(kind: str, size: float, side: str, units: str) -> None:
    value = to_si(size, kind, next(iter(KINDS[kind][1])))
    for text in parts(value, kind, side, units=units):
        shown = parse(text, kind)
        slack = 2e-9 * max(abs(value), abs(shown), to_si(1.0, kind, next(iter(KINDS[kind][1]))) * 1e-3)
        assert shown >= value - slack if side == "up" else shown <= value + slack, (text, value, shown)


@given(kind=st.sampled_from(sorted(KINDS)), steps=st.integers(1, 5000), side=st.sampled_from(["up", "down"]))
def test_a_number_that_can_be_shown_exactly_is(kind: str, steps: int, side: str) -> None:
    """A whole number of the first US unit, held in SI and shown again, is the same number on either side."""
    unit, sign = next((u, s) for u, s in _first_units(kind))
    (text, *_) = parts(to_si(float(steps), kind, unit), kind, side, units="us")
    if text.endswith(NBSP + sign):
        assert float(text.split(NBSP)[0]) == steps


def _first_units(kind: str) -> list[tuple[str, str]]:
    signs = {name: sign for sign, name in NAMES.items()} | {"delta_degF": "°F"}
    return [(unit, signs.get(unit, unit)) for unit in KINDS[kind][1]]


@pytest.mark.parametrize("value", [math.nan, math.inf, -math.inf])
@pytest.mark.parametrize("kind", ["flow", "number", "count"])
def test_what_is_no_number_is_refused(value: float, kind: str) -> None:
    with pytest.raises(ValueError, match="no number"):
        show_quantity(value, kind, "up", units="both")


def test_a_figure_without_value_says_its_state() -> None:
    assert show(Figure("a", "A", None, "flow", state="not-on", reason="too little flow"), BOTH) == "not on"


def test_no_number_can_leave_its_unit_at_a_line_end() -> None:
    for kind in KINDS:
        for text in parts(1.234, kind, "up", units="both"):
            assert not re.search(r"\d ", text)


def test_numbers_in_a_text_keep_their_units() -> None:
    assert held_together("Use 8 AWG or 10 mm2, pipe 1/2 in.") == (f"Use 8{NBSP}AWG or 10{NBSP}mm², pipe 1/2{NBSP}in.")

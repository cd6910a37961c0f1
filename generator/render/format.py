"""The one formatter: SI numbers to text with units, rounded to the safe side.

Rounding happens in the unit that is shown, once for each, so every number a reader sees stands on the safe side:
a least flow rounds up in gpm and again in L/min. Between a number and its unit stands a no-break space.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache

from generator.model.content.words import Style, Units, Words
from generator.model.figures import Figure, Side, Value
from generator.model.outlet_flows import row_words
from generator.units import from_si

NBSP = "\u00a0"
MINUS = "\u2212"

# A number this close to a shown step, relative to its size, is that step: 0.5 gpm held in SI must not become 0.51.
FLOAT_NOISE = 1e-9

SIGNIFICANT = 4  # figures of a number that has no unit, such as a correction factor

_SIZE = re.compile(r"(\d+(?:[./]\d+)?) (AWG|mm2|mm|in|ft|%|V|A|W|kW|Hz|psi|kPa|gpm|°F|°C)(?!\w)")


@dataclass(frozen=True, slots=True)
class Shown:
    """How a unit is shown: its name in units.py, its sign on the page, the decimals, and whether `.0` is dropped."""

    unit: str
    sign: str
    decimals: int
    drop_zeros: bool = False


_KW = Shown("kW", "kW", 2)
_GPM, _L_MIN = Shown("gpm", "gpm", 2), Shown("L/min", "L/min", 1)
_INCH, _MM = Shown("in", "in", 1, True), Shown("mm", "mm", 0)
_BORE_INCH, _BORE_MM = Shown("in", "in", 3, True), Shown("mm", "mm", 1, True)
_FOOT, _METRE = Shown("ft", "ft", 0), Shown("m", "m", 0)
_SECOND, _MINUTE, _HOUR = Shown("s", "s", 1, True), Shown("min", "min", 1, True), Shown("h", "h", 1, True)

# kind -> (US customary, SI)
_PAIRS: dict[str, tuple[Shown, Shown]] = {
    "power": (_KW, _KW),
    "flow": (_GPM, _L_MIN),
    "temperature": (Shown("degF", "°F", 0), Shown("degC", "°C", 1, True)),
    "temperature_difference": (Shown("delta_degF", "°F", 0), Shown("K", "K", 1)),
    "pressure": (Shown("psi", "psi", 1), Shown("kPa", "kPa", 0)),
    "length": (Shown("ft", "ft", 1, True), Shown("m", "m", 1, True)),
    "volume": (Shown("gal", "gal", 2), Shown("L", "L", 2)),
    "mass": (Shown("lb", "lb", 1), Shown("kg", "kg", 1)),
    "voltage": (Shown("V", "V", 1, True),) * 2,
    "current": (Shown("A", "A", 1, True),) * 2,
    "resistance": (Shown("ohm", "Ω", 2),) * 2,
    "torque": (Shown("lbf in", f"lbf{NBSP}in", 1, True), Shown("N m", f"N{NBSP}m", 2, True)),
    "frequency": (Shown("Hz", "Hz", 1, True),) * 2,
    "time": (_SECOND, _SECOND),
    "velocity": (Shown("ft/s", "ft/s", 1), Shown("m/s", "m/s", 2)),
    "energy": (Shown("kWh", "kWh", 2),) * 2,
    "ratio": (Shown("%", "%", 1, True),) * 2,
    "concentration": (Shown("gpg", "gpg", 1), Shown("mg/L", "mg/L", 0)),
    "density": (Shown("lb/gal", "lb/gal", 3), Shown("kg/m3", "kg/m³", 1)),
    "specific_heat": (Shown("J/(kg K)", "J/(kg K)", 0),) * 2,
    "specific_energy": (Shown("kJ/kg", "kJ/kg", 2),) * 2,
    "viscosity": (Shown("mPa s", "mPa s", 3),) * 2,
    "resistance_per_length": (Shown("ohm/kft", "Ω/kft", 3), Shown("ohm/km", "Ω/km", 3)),
    "area": (Shown("cmil", "cmil", 0), Shown("mm2", "mm²", 2)),
}

SHORT_LENGTH_M = 0.9144  # lengths below 3 ft are shown in inches and millimetres
BORE_LENGTH_M = 0.06  # and those of a pipe's bore in thousandths of an inch and tenths of a millimetre
LONG_LENGTH_M = 100.0  # and long ones in whole feet and metres
LARGE_J, _KWH = 3.6e8, Shown("kWh", "kWh", 0)  # from 100 kWh in whole ones
LARGE_OHM, _MOHM = 1e5, Shown("Mohm", "MΩ", 1, True)  # insulation is shown in megohms
SMALL_OHM, _WIRE_OHM = 1.0, Shown("ohm", "Ω", 4)  # conductors of a circuit need the finer figure
BRIEF_TIME_S, _MS = 0.5, Shown("ms", "ms", 0)  # times in which a device trips
SMALL_A, _MA = 0.5, Shown("mA", "mA", 1, True)  # residual currents
LONG_TIME_S, LONGER_TIME_S = 120.0, 7200.0  # from 2 min in minutes, from 2 h in hours


def show(item: Figure | Value, style: Style) -> str:
    """Return a figure or value as a reader sees it: `137 °F (58.4 °C)`; a figure without a value shows its state."""
    if isinstance(item, Figure) and item.value is None:
        return style.words.states[item.state]
    assert item.value is not None
    if item.kind == "choice":
        return style.words.choices[str(item.value)]
    return show_quantity(item.value, item.kind, item.side, units=style.units) + or_more(item, style)


def or_more(item: Figure | Value, style: Style) -> str:
    """Return the words behind a value that is the least it can be: water that only the cut-out keeps from more."""
    least = isinstance(item, Figure) and item.state == "at-cut-out"
    return f"{NBSP}{style.words.figures['or-more']}" if least else ""


def row_names(symbol: str, words: Words) -> str:
    """Return what the flow of a row stands for, all of it; the symbol itself of a head that is no such flow."""
    names = [words.rows[word].format(stage=stage) for word, stage in row_words(symbol)]
    return ", ".join(names) or symbol


def show_quantity(value: float | str, kind: str, side: Side, *, units: Units) -> str:
    """Return an SI `value` of `kind` as text with its unit or units, rounded to `side` in each.

    ValueError for a number that is not finite; KeyError for an unknown kind.
    """
    shown = parts(value, kind, side, units=units)
    return shown[0] if len(shown) == 1 else f"{shown[0]} ({shown[1]})"


@lru_cache(maxsize=65536)  # a value stands in its table, its working and its summary
def parts(value: float | str, kind: str, side: Side, *, units: Units) -> tuple[str, ...]:
    """Return the text in the first unit and, where the handbook shows both and they differ, in the second."""
    if isinstance(value, str) or kind == "text":
        return (held_together(str(value)),)
    if kind in ("count", "number"):
        return (_number(value, side, 0 if kind == "count" else _decimals(value), drop_zeros=True),)
    us, si = _pair(value, kind)
    wanted = {"us": (us,), "si": (si,), "both": (us,) if us == si else (us, si)}[units]
    return tuple(_quantity(value, kind, side, shown=shown) for shown in wanted)


def written(item: Figure | Value, style: Style) -> str:
    """Return a figure as it is written in the YAML, in the handbook's first unit: `122 degF`; empty without a value."""
    if item.value is None or isinstance(item.value, str):
        return item.value or ""
    if item.kind in ("count", "number"):
        return parts(item.value, item.kind, item.side, units=style.units)[0]
    shown = _pair(item.value, item.kind)[style.units == "si"]
    number = _number(from_si(item.value, item.kind, shown.unit), item.side, shown.decimals, drop_zeros=True)
    return f"{number.replace(MINUS, '-')} {shown.unit}"


def in_first_unit(value: float, kind: str, units: Units) -> tuple[float, str]:
    """Return an SI `value` in the first unit of the handbook, unrounded, with its sign; none for plain numbers."""
    if kind in ("count", "number"):
        return value, ""
    shown = _PAIRS[kind][units == "si"]
    return from_si(value, kind, shown.unit), shown.sign


def shown_as(kind: str, units: Units) -> Shown:
    """Return how a quantity of `kind` is shown first, whatever its size."""
    return _PAIRS[kind][units == "si"]


@lru_cache(maxsize=65536)
def held_together(text: str) -> str:
    """Return a text whose numbers cannot leave their units at a line's end, `mm2` set as mm²."""
    return _SIZE.sub(lambda match: f"{match[1]}{NBSP}{match[2].replace('mm2', 'mm²')}", text)


def _pair(value: float, kind: str) -> tuple[Shown, Shown]:
    if kind == "length" and abs(value) < SHORT_LENGTH_M:
        return (_BORE_INCH, _BORE_MM) if 0.0 < abs(value) < BORE_LENGTH_M else (_INCH, _MM)
    if kind == "length" and abs(value) >= LONG_LENGTH_M:
        return _FOOT, _METRE
    if kind == "energy" and abs(value) >= LARGE_J:
        return _KWH, _KWH
    if kind == "resistance" and abs(value) < SMALL_OHM:
        return _WIRE_OHM, _WIRE_OHM
    if kind == "resistance" and abs(value) >= LARGE_OHM:
        return _MOHM, _MOHM
    if kind == "time" and 0.0 < abs(value) < BRIEF_TIME_S:
        return _MS, _MS
    if kind == "current" and 0.0 < abs(value) < SMALL_A:
        return _MA, _MA
    if kind == "time" and abs(value) >= LONG_TIME_S:
        return (_MINUTE, _MINUTE) if abs(value) < LONGER_TIME_S else (_HOUR, _HOUR)
    return _PAIRS[kind]


def _quantity(value: float, kind: str, side: Side, *, shown: Shown) -> str:
    number = _number(from_si(value, kind, shown.unit), side, shown.decimals, drop_zeros=shown.drop_zeros)
    return f"{number}{NBSP}{shown.sign}"


def _decimals(value: float) -> int:
    """Return the decimals that show a plain number to SIGNIFICANT figures, none for large ones."""
    return max(0, SIGNIFICANT - 1 - math.floor(math.log10(abs(value)))) if value and math.isfinite(value) else 0


def _number(value: float, side: Side, decimals: int, *, drop_zeros: bool) -> str:
    """Round `value` to `decimals` toward `side`, float noise absorbed, and write it."""
    if not math.isfinite(value):
        raise ValueError(f"{value} is no number to show")
    steps = value * 10**decimals
    whole = math.floor(steps + 0.5)
    if abs(steps - whole) > FLOAT_NOISE * max(1.0, abs(steps)):
        whole = {"up": math.ceil, "down": math.floor, "nearest": lambda _: whole}[side](steps)
    text = f"{abs(whole) / 10**decimals:.{decimals}f}"
    if drop_zeros and decimals:
        text = text.rstrip("0").removesuffix(".")
    return f"{MINUS}{text}" if whole < 0 else text

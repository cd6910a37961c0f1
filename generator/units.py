"""The one list of units the handbook reads and shows, and their exact relation to SI. The only module that uses pint.

`KINDS` maps each kind of quantity to its SI unit and to the unit names a writer may use. Temperature and temperature
difference are two kinds with separate unit names, so that neither can be taken for the other. `SPELLINGS` forgives how
a unit is written, never which one.
Sources: NIST SP 811 (2008) appendix B.8 for the US customary factors; the International Table Btu; 1 gpg as
17.118 mg/L (one grain, 64.79891 mg, in one US gallon).
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pint

DEFINITIONS = """
meter = [length] = m
second = [time] = s
kilogram = [mass] = kg
ampere = [current] = A
kelvin = [temperature]; offset: 0 = K
percent = 0.01
inch = 0.0254 * meter
foot = 0.3048 * meter
mm = 0.001 * meter
cm = 0.01 * meter
min = 60 * second
h = 3600 * second
lb = 0.45359237 * kilogram
gal = 3.785411784e-3 * meter ** 3
L = 0.001 * meter ** 3
mL = 1e-6 * meter ** 3
hertz = 1 / second = Hz
newton = kilogram * meter / second ** 2
pascal = newton / meter ** 2 = Pa
kPa = 1000 * pascal
bar = 100000 * pascal
psi = 4.4482216152605 * newton / inch ** 2
joule = newton * meter = J
watt = joule / second = W
kW = 1000 * watt
kWh = 3.6e6 * joule
Btu = 1055.05585262 * joule
volt = watt / ampere = V
ohm = volt / ampere
gpm = gal / min
degC = kelvin; offset: 273.15
degF = 5 / 9 * kelvin; offset: 233.15 + 200 / 9
"""

# kind -> (SI unit, the unit names a writer may use, each with its pint expression)
KINDS: dict[str, tuple[str, dict[str, str]]] = {
    "power": ("watt", {"W": "watt", "kW": "kW", "Btu/h": "Btu / h"}),
    "flow": ("meter ** 3 / second", {"gpm": "gpm", "L/min": "L / min", "L/s": "L / second"}),
    "temperature": ("kelvin", {"degF": "degF", "degC": "degC"}),
    "temperature_difference": (
        "kelvin",
        {"delta_degF": "5 / 9 * kelvin", "delta_degC": "kelvin", "K": "kelvin"},
    ),
    "pressure": ("pascal", {"psi": "psi", "kPa": "kPa", "bar": "bar", "Pa": "pascal"}),
    "length": ("meter", {"ft": "foot", "in": "inch", "m": "meter", "cm": "cm", "mm": "mm"}),
    "volume": ("meter ** 3", {"gal": "gal", "L": "L", "mL": "mL"}),
    "mass": ("kilogram", {"lb": "lb", "kg": "kilogram"}),
    "voltage": ("volt", {"V": "volt"}),
    "current": ("ampere", {"A": "ampere", "mA": "0.001 * ampere", "kA": "1000 * ampere"}),
    "resistance": ("ohm", {"ohm": "ohm", "Mohm": "1e6 * ohm"}),
    "frequency": ("hertz", {"Hz": "hertz"}),
    "time": ("second", {"s": "second", "ms": "0.001 * second", "min": "min", "h": "h"}),
    "velocity": ("meter / second", {"ft/s": "foot / second", "m/s": "meter / second"}),
    "energy": ("joule", {"kWh": "kWh", "Btu": "Btu", "kJ": "1000 * joule", "J": "joule"}),
    "torque": (
        "newton * meter",
        {
            "lbf in": "4.4482216152605 * newton * inch",
            "lbf ft": "4.4482216152605 * newton * foot",
            "N m": "newton * meter",
        },
    ),
    "ratio": ("", {"%": "percent"}),
    "concentration": (
        "kilogram / meter ** 3",
        {"mg/L": "1e-6 * kilogram / L", "gpg": "64.79891e-6 * kilogram / gal"},
    ),
    "density": ("kilogram / meter ** 3", {"kg/m3": "kilogram / meter ** 3", "lb/gal": "lb / gal"}),
    "specific_heat": ("joule / kilogram / kelvin", {"J/(kg K)": "joule / kilogram / kelvin"}),
    "specific_energy": ("joule / kilogram", {"kJ/kg": "1000 * joule / kilogram"}),
    "viscosity": ("pascal * second", {"mPa s": "0.001 * pascal * second"}),
    "resistance_per_length": (
        "ohm / meter",
        {"ohm/kft": "ohm / (1000 * foot)", "ohm/km": "ohm / (1000 * meter)"},
    ),
    "area": ("meter ** 2", {"mm2": "mm ** 2", "cmil": "5.067074790974977e-10 * meter ** 2"}),
}

# How people write these units too: each spelling means one unit only, whatever is measured.
SPELLINGS: dict[str, str] = {
    spelling: unit
    for unit, spellings in {
        "degF": "°F ºF deg_F",
        "degC": "°C ºC deg_C",
        "ft": "feet foot Ft FT",
        "in": "inch inches In IN",
        "m": "meter meters metre metres",
        "kW": "kw KW Kw",
        "W": "watt watts w",
        "Btu/h": "BTU/h BTU/hr Btu/hr btu/h btu/hr BTUH",
        "gpm": "GPM Gpm gal/min",
        "L/min": "l/min lpm LPM Lpm L/Min",
        "L/s": "l/s lps LPS",
        "psi": "PSI Psi",
        "kPa": "kpa KPA Kpa KPa",
        "bar": "Bar bars",
        "gal": "gallon gallons Gal",
        "L": "l liter liters litre litres",
        "mL": "ml",
        "lb": "lbs Lb pound pounds",
        "kg": "Kg KG",
        "V": "v volt volts Volt Volts",
        "A": "a amp amps Amp Amps ampere amperes",
        "Hz": "hz HZ",
        "ohm": "ohms Ω Ohm",
        "Mohm": "MΩ Mohms MOhm",
        "lbf in": "in-lb in-lbf lbf·in lbf-in",
        "lbf ft": "ft-lb ft-lbf lbf·ft lbf-ft",
        "N m": "Nm N·m N-m",
        "%": "percent",
        "mg/L": "mg/l",
        "mm2": "mm²",
    }.items()
    for spelling in spellings.split()
}

# (scale, offset) of each, as pint works them out from these definitions to the last digit (a test holds it): pint takes
# a sixth of the time in which a card is printed to load, and is asked where a unit does not stand here yet.
LINES: dict[str, dict[str, tuple[float, float]]] = {
    "power": {"W": (1.0, 0.0), "kW": (1000.0, 0.0), "Btu/h": (0.2930710701722222, 0.0)},
    "flow": {"gpm": (6.30901964e-05, 0.0), "L/min": (1.6666666666666667e-05, 0.0), "L/s": (0.001, 0.0)},
    "temperature": {"degF": (0.5555555555555557, 255.37222222222223), "degC": (1.0, 273.15)},
    "temperature_difference": {"delta_degF": (0.5555555555555556, 0.0), "delta_degC": (1.0, 0.0), "K": (1.0, 0.0)},
    "pressure": {"psi": (6894.757293168362, 0.0), "kPa": (1000.0, 0.0), "bar": (100000.0, 0.0), "Pa": (1.0, 0.0)},
    "length": {"ft": (0.3048, 0.0), "in": (0.0254, 0.0), "m": (1.0, 0.0), "cm": (0.01, 0.0), "mm": (0.001, 0.0)},
    "volume": {"gal": (0.003785411784, 0.0), "L": (0.001, 0.0), "mL": (1e-06, 0.0)},
    "mass": {"lb": (0.45359237, 0.0), "kg": (1.0, 0.0)},
    "voltage": {"V": (1.0, 0.0)},
    "current": {"A": (1.0, 0.0), "mA": (0.001, 0.0), "kA": (1000.0, 0.0)},
    "resistance": {"ohm": (1.0, 0.0), "Mohm": (1000000.0, 0.0)},
    "frequency": {"Hz": (1.0, 0.0)},
    "time": {"s": (1.0, 0.0), "ms": (0.001, 0.0), "min": (60.0, 0.0), "h": (3600.0, 0.0)},
    "velocity": {"ft/s": (0.3048, 0.0), "m/s": (1.0, 0.0)},
    "energy": {"kWh": (3600000.0, 0.0), "Btu": (1055.05585262, 0.0), "kJ": (1000.0, 0.0), "J": (1.0, 0.0)},
    "torque": {"lbf in": (0.11298482902761668, 0.0), "lbf ft": (1.3558179483314003, 0.0), "N m": (1.0, 0.0)},
    "ratio": {"%": (0.01, 0.0)},
    "concentration": {"mg/L": (0.001, 0.0), "gpg": (0.017118061045270944, 0.0)},
    "density": {"kg/m3": (1.0, 0.0), "lb/gal": (119.82642731689663, 0.0)},
    "specific_heat": {"J/(kg K)": (1.0, 0.0)},
    "specific_energy": {"kJ/kg": (1000.0, 0.0)},
    "viscosity": {"mPa s": (0.001, 0.0)},
    "resistance_per_length": {"ohm/kft": (0.003280839895013123, 0.0), "ohm/km": (0.001, 0.0)},
    "area": {"mm2": (1e-06, 0.0), "cmil": (5.067074790974977e-10, 0.0)},
}


@cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None)
    registry.load_definitions(DEFINITIONS.strip().splitlines())
    return registry


@cache
def line_of(kind: str, unit: str) -> tuple[float, float]:
    """Return (scale, offset) such that SI = value * scale + offset. KeyError for an unknown kind or unit."""
    known = LINES.get(kind, {}).get(unit)
    return worked_out(kind, unit) if known is None else known


def worked_out(kind: str, unit: str) -> tuple[float, float]:
    """Return what pint works out as `line_of` returns it."""
    si_unit, names = KINDS[kind]
    registry = _registry()
    if kind == "temperature":
        at_0, at_100 = (registry.Quantity(value, names[unit]).to(si_unit).magnitude for value in (0.0, 100.0))
        return (at_100 - at_0) / 100.0, at_0
    one: pint.Quantity[float] = 1.0 * registry.parse_expression(names[unit])
    return one.to(si_unit).magnitude, 0.0


def unit_names(kind: str) -> tuple[str, ...]:
    """Return the unit names a writer may use for a kind of quantity."""
    return tuple(KINDS[kind][1])


def unit_meant(written: str) -> str:
    """Return the unit that is written so, in whatever of its spellings; what is written, where it is no unit's."""
    return SPELLINGS.get(written, written)


def to_si(value: float, kind: str, unit: str) -> float:
    """Return `value unit` in the SI unit of its kind. KeyError for an unknown kind or unit."""
    scale, offset = line_of(kind, unit)
    return value * scale + offset


def from_si(value: float, kind: str, unit: str) -> float:
    """Return an SI value expressed in `unit`. KeyError for an unknown kind or unit."""
    scale, offset = line_of(kind, unit)
    return (value - offset) / scale

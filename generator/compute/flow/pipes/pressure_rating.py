"""What pressure a pipe withstands at a water temperature: published ratings, taken at the next higher temperature.

Never interpolated, never beyond the last row: above it the pipe is not rated. How obtained:
- Copper tube: the formula of the Copper Tube Handbook (CDA, table 14.3), P = 2 S t / (D - 0.8 t) with the stresses of
  annealed tube (6000/5100/4900 psi at 100/150/200 degF), read; t is 0.88 of the nominal wall, which covers the thinnest
  wall that ASTM B88 allows, and gives up to 4 % less than the printed table. Soldered joints 95-5 tin-antimony
  by ASHRAE Fundamentals (2021) after ASME B31.9, read; the lower of tube and joint counts.
- CPVC: ASTM D2846 (400 psi at 73 degF, 100 psi at 180 degF) with the lower of the two published derating sets, read.
- PVC: ASTM D1785 ratings at 73 degF and the published derating factors, read (the lower where two prints differ).
- PEX: ASTM F876: 160/100/80 psi at 73/180/200 degF, the first read, the others from memory.
- Galvanized steel: its threaded fittings, ASME B16.3 class 150: 300/265 psi at 150/200 degF, from memory.
- Metric copper: its fittings, EN 1254: 16/10/6 bar at 30/65/110 degC, from memory.
- Metric PE-X: ISO 15875-2 series S 3.2: 10 bar in class 2 (to 80 degC), from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.flow.pipes.sizes import SIZES, PipeSize

PSI_PA, BAR_PA = 6894.757293168361, 1e5

_COPPER_STRESS_PSI = ((100.0, 6000.0), (150.0, 5100.0), (200.0, 4900.0))
_LEAST_WALL = 0.88
# degF: psi for joints of tubes to 1 in, and from 1-1/4 in to 2 in.
_JOINT_PSI = ((100.0, (500.0, 400.0)), (150.0, (400.0, 350.0)), (200.0, (300.0, 250.0)))
_LARGE_COPPER_M = 1.2 * 0.0254
_PVC_FACTOR = (
    (73.0, 1.00),
    (80.0, 0.88),
    (90.0, 0.75),
    (100.0, 0.62),
    (110.0, 0.50),
    (120.0, 0.40),
    (130.0, 0.30),
    (140.0, 0.22),
)
_PVC_PSI = {
    "3/8 in": 620.0,
    "1/2 in": 600.0,
    "3/4 in": 480.0,
    "1 in": 450.0,
    "1-1/4 in": 370.0,
    "1-1/2 in": 330.0,
    "2 in": 280.0,
}
_CPVC_PSI = (
    (73.0, 400.0),
    (90.0, 360.0),
    (100.0, 325.0),
    (110.0, 288.0),
    (120.0, 260.0),
    (130.0, 228.0),
    (140.0, 200.0),
    (150.0, 168.0),
    (160.0, 160.0),
    (170.0, 116.0),
    (180.0, 100.0),
)
_PEX_PSI = ((73.0, 160.0), (180.0, 100.0), (200.0, 80.0))
_STEEL_PSI = ((150.0, 300.0), (200.0, 265.0))
_METRIC_COPPER_BAR = ((30.0, 16.0), (65.0, 10.0), (110.0, 6.0))
_METRIC_PEX_BAR = ((80.0, 10.0),)

_SOURCES = {
    "copper": "Copper Tube Handbook (CDA), table 14.3; joints: ASHRAE Fundamentals (2021) after ASME B31.9",
    "cpvc-cts": "ASTM D2846, with published derating",
    "pvc-40": "ASTM D1785, with published derating",
    "pex": "ASTM F876",
    "galvanized": "ASME B16.3 class 150 threaded fittings, from memory",
    "copper-metric": "EN 1254 fittings, from memory",
    "pex-metric": "ISO 15875-2 series S 3.2, class 2, from memory",
}


@dataclass(frozen=True, slots=True)
class PressureRating:
    """The rating of a pipe [Pa] at the table's temperature [K] next above the water's; both None: not rated so hot."""

    pressure_pa: float | None
    at_k: float | None
    source: str


def _fahrenheit_k(temperature_f: float) -> float:
    return (temperature_f - 32.0) / 1.8 + 273.15


def _copper_psi(size: PipeSize, stress_psi: float, joint_psi: tuple[float, float]) -> float:
    wall_m = _LEAST_WALL * size.wall_m
    tube_psi = 2.0 * stress_psi * wall_m / (size.outside_m - 0.8 * wall_m)
    return min(tube_psi, joint_psi[size.outside_m > _LARGE_COPPER_M])


def rating_table(material: str, size: str) -> tuple[tuple[float, float], ...]:
    """Return (temperature [K], rating [Pa]) rows of a known pipe in rising temperature. KeyError for an unknown one."""
    dimensions = SIZES[material][size]
    if material == "copper-metric":
        return tuple((celsius + 273.15, bar * BAR_PA) for celsius, bar in _METRIC_COPPER_BAR)
    if material == "pex-metric":
        return tuple((celsius + 273.15, bar * BAR_PA) for celsius, bar in _METRIC_PEX_BAR)
    if material == "pvc-40":
        rows = tuple((f, factor * _PVC_PSI[size]) for f, factor in _PVC_FACTOR)
    elif material in ("cpvc-cts", "pex", "galvanized"):
        rows = {"cpvc-cts": _CPVC_PSI, "pex": _PEX_PSI, "galvanized": _STEEL_PSI}[material]
    else:
        pairs = zip(_COPPER_STRESS_PSI, _JOINT_PSI, strict=True)
        rows = tuple((f, _copper_psi(dimensions, stress, joint)) for (f, stress), (_, joint) in pairs)
    return tuple((_fahrenheit_k(f), psi * PSI_PA) for f, psi in rows)


def pressure_rating(material: str, size: str, temperature_k: float) -> PressureRating:
    """Return what a known pipe withstands with water of this temperature [K]. KeyError for an unknown pipe."""
    source = _SOURCES.get(material, _SOURCES["copper"])
    for row_k, pressure_pa in rating_table(material, size):
        if temperature_k <= row_k + 1e-6:
            return PressureRating(pressure_pa, row_k, source)
    return PressureRating(None, None, source)

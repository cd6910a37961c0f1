"""What a pipe withstands at a temperature: the rated pressure in the published row for the next higher temperature.

Never interpolated, never beyond the last row: above it the pipe is not rated. Of several parts the lowest counts:
- a pressure stated by temperature;
- a pressure stated by size, times a factor by temperature;
- the tube itself, P = 2 S t / (D - 0.8 t), with the stress S that its metal bears (Copper Tube Handbook, CDA, after
  ASME B31) and t the thinnest wall that its standard allows.
"""

from __future__ import annotations

from generator.model.tables.pipes import Dimensions, Rows, Strength


def tube_pa(stress_pa: float, outside_m: float, wall_m: float) -> float:
    """Return the pressure [Pa] at which the wall [m] of a tube bears a stress [Pa].

    Type M of 1/2 in with 0.88 of its nominal wall, 6000 psi at 100 degF; the Copper Tube Handbook (CDA), table 14.3c,
    prints 494 psi.

    >>> round(tube_pa(6000.0, 0.625, 0.88 * 0.028))
    488
    """
    return 2.0 * stress_pa * wall_m / (outside_m - 0.8 * wall_m)


def rating_pa(strength: Strength, dimensions: Dimensions, temperature_k: float) -> float | None:
    """Return the rating [Pa] of a pipe with water of this temperature [K]; None: not rated so hot."""
    outside_m, wall_m = dimensions.outside_m, strength.least_wall_m
    parts = [
        strength.pressures,
        tuple((row_k, factor * strength.base_pa) for row_k, factor in strength.derated),
        tuple((row_k, tube_pa(stress_pa, outside_m, wall_m)) for row_k, stress_pa in strength.stresses),
    ]
    found = [_next_higher(rows, temperature_k) for rows in parts if rows]
    rated = [pressure_pa for pressure_pa in found if pressure_pa is not None]
    return min(rated) if len(rated) == len(found) else None


def _next_higher(rows: Rows, temperature_k: float) -> float | None:
    return next((value for row_k, value in rows if temperature_k <= row_k + 1e-6), None)

"""Outside diameters and walls of pipes, and the real inside diameter that follows.

Metal: inside = outside - 2 x nominal wall. Plastic standards give a least wall and a tolerance upward only, so the
pipe as made is narrower than the least wall says: inside = outside - 2 x (least wall + half the tolerance), which is
the average inside diameter that makers publish and that loses more pressure.

How obtained: copper: ASTM B88 as reproduced in two public tables, read; CPVC: ASTM D2846 table 1 as reproduced in a
public maker's manual, read; PVC: ASTM D1785 least walls and average inside diameters in two public tables, read;
steel: ASTM A53/ASME B36.10M Schedule 40, checked against the `fluids` package; PEX: ASTM F876 walls read in a public
table, tolerances from memory; EN 1057: the heavier of the common walls, each among the standard's recommended or
listed ones, read; ISO 15875-2 series S 3.2: from memory, walls checked against the series' own formula.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.flow.pipes.materials import Where, pipe_material, unknown

INCH_M, MM_M = 0.0254, 0.001


@dataclass(frozen=True, slots=True)
class PipeSize:
    """Outside diameter and wall [m]; `tolerance_m` is how much the wall may exceed the least one (0: nominal wall)."""

    outside_m: float
    wall_m: float
    tolerance_m: float = 0.0

    @property
    def bore_m(self) -> float:
        """The real inside diameter [m]."""
        return self.outside_m - 2.0 * self.wall_m - self.tolerance_m


def _table(unit_m: float, rows: dict[str, tuple[float, ...]]) -> dict[str, PipeSize]:
    return {size: PipeSize(*(value * unit_m for value in row)) for size, row in rows.items()}


SIZES: dict[str, dict[str, PipeSize]] = {
    "copper-k": _table(
        INCH_M,
        {
            "3/8 in": (0.500, 0.049),
            "1/2 in": (0.625, 0.049),
            "5/8 in": (0.750, 0.049),
            "3/4 in": (0.875, 0.065),
            "1 in": (1.125, 0.065),
            "1-1/4 in": (1.375, 0.065),
            "1-1/2 in": (1.625, 0.072),
            "2 in": (2.125, 0.083),
        },
    ),
    "copper-l": _table(
        INCH_M,
        {
            "3/8 in": (0.500, 0.035),
            "1/2 in": (0.625, 0.040),
            "5/8 in": (0.750, 0.042),
            "3/4 in": (0.875, 0.045),
            "1 in": (1.125, 0.050),
            "1-1/4 in": (1.375, 0.055),
            "1-1/2 in": (1.625, 0.060),
            "2 in": (2.125, 0.070),
        },
    ),
    "copper-m": _table(
        INCH_M,
        {
            "3/8 in": (0.500, 0.025),
            "1/2 in": (0.625, 0.028),
            "3/4 in": (0.875, 0.032),
            "1 in": (1.125, 0.035),
            "1-1/4 in": (1.375, 0.042),
            "1-1/2 in": (1.625, 0.049),
            "2 in": (2.125, 0.058),
        },
    ),
    "cpvc-cts": _table(
        INCH_M,
        {
            "1/2 in": (0.625, 0.068, 0.020),
            "3/4 in": (0.875, 0.080, 0.020),
            "1 in": (1.125, 0.102, 0.020),
            "1-1/4 in": (1.375, 0.125, 0.020),
            "1-1/2 in": (1.625, 0.148, 0.020),
            "2 in": (2.125, 0.193, 0.023),
        },
    ),
    "pvc-40": _table(
        INCH_M,
        {
            "3/8 in": (0.675, 0.091, 0.020),
            "1/2 in": (0.840, 0.109, 0.020),
            "3/4 in": (1.050, 0.113, 0.020),
            "1 in": (1.315, 0.133, 0.020),
            "1-1/4 in": (1.660, 0.140, 0.020),
            "1-1/2 in": (1.900, 0.145, 0.020),
            "2 in": (2.375, 0.154, 0.020),
        },
    ),
    "pex": _table(
        INCH_M,
        {
            "3/8 in": (0.500, 0.070, 0.010),
            "1/2 in": (0.625, 0.070, 0.010),
            "3/4 in": (0.875, 0.097, 0.010),
            "1 in": (1.125, 0.125, 0.013),
            "1-1/4 in": (1.375, 0.153, 0.015),
            "1-1/2 in": (1.625, 0.181, 0.019),
            "2 in": (2.125, 0.236, 0.024),
        },
    ),
    "galvanized": _table(
        INCH_M,
        {
            "3/8 in": (0.675, 0.091),
            "1/2 in": (0.840, 0.109),
            "3/4 in": (1.050, 0.113),
            "1 in": (1.315, 0.133),
            "1-1/4 in": (1.660, 0.140),
            "1-1/2 in": (1.900, 0.145),
            "2 in": (2.375, 0.154),
        },
    ),
    "copper-metric": _table(
        MM_M,
        {
            "10 mm": (10.0, 1.0),
            "12 mm": (12.0, 1.0),
            "15 mm": (15.0, 1.0),
            "18 mm": (18.0, 1.0),
            "22 mm": (22.0, 1.0),
            "28 mm": (28.0, 1.5),
            "35 mm": (35.0, 1.5),
            "42 mm": (42.0, 1.5),
            "54 mm": (54.0, 2.0),
        },
    ),
    "pex-metric": _table(
        MM_M,
        {
            "16 mm": (16.0, 2.2),
            "20 mm": (20.0, 2.8),
            "25 mm": (25.0, 3.5),
            "32 mm": (32.0, 4.4),
            "40 mm": (40.0, 5.5),
            "50 mm": (50.0, 6.9),
        },
    ),
}


def pipe_size(material: str, size: str, where: Where) -> PipeSize:
    """Return the dimensions of a pipe; `where` is the key path of its run.

    CannotCompute, naming the nearest known, for an unknown material or a size that the material's table lacks.
    """
    title = pipe_material(material, (*where, "material")).title
    if size not in SIZES[material]:
        raise unknown((*where, "size"), f"size of {title}", size, SIZES[material])
    return SIZES[material][size]

"""Conductor sizes of both systems on one scale."""

from __future__ import annotations

import math


def area_mm2(size: str) -> float:
    """Return the area [mm2] of a size such as `12 AWG`, `1/0 AWG` or `2.5 mm2`.

    American wire gauge n has the diameter 0.127 mm x 92^((36 - n) / 39), n = 0, -1, ... for 1/0, 2/0, ...
    Source: ASTM B258, standard nominal diameters (from memory).
    """
    number, unit = size.split()
    if unit == "mm2":
        return float(number)
    gauge = 1 - int(number.split("/")[0]) if "/" in number else int(number)
    return math.pi / 4 * (0.127 * math.pow(92, (36 - gauge) / 39)) ** 2


def smaller(size: str, other: str) -> bool:
    """Return whether `size` has less area than `other`."""
    return area_mm2(size) < area_mm2(other) * (1.0 - 1e-9)

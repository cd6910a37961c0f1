"""Standard sizes: conductors of both systems on one scale, and the ratings that devices are made in."""

from __future__ import annotations

import math
from functools import cache

from generator.errors import CannotCompute, MissingCell
from generator.model.tables.codes import CodeTable


@cache
def area_mm2(size: str) -> float:
    """Return the area [mm2] of a size such as `12 AWG`, `1/0 AWG` or `2.5 mm2`.

    American wire gauge n has the diameter 0.127 mm x 92^((36 - n) / 39), n = 0, -1, ... for 1/0, 2/0, ...
    Source: ASTM B258, standard nominal diameters (from memory), which gives 12 AWG as 0.0808 in, 3.31 mm2.

    >>> round(area_mm2("12 AWG"), 2)
    3.31
    """
    number, unit = size.split()
    if unit == "mm2":
        return float(number)
    gauge = 1 - int(number.split("/")[0]) if "/" in number else int(number)
    return math.pi / 4 * (0.127 * math.pow(92, (36 - gauge) / 39)) ** 2


def smaller(size: str, other: str) -> bool:
    """Return whether `size` has less area than `other`.

    >>> smaller("8 AWG", "10 mm2")  # 8.37 mm2 by ASTM B258
    True
    """
    return area_mm2(size) < area_mm2(other) * (1.0 - 1e-9)


def next_standard(table: CodeTable, current_a: float, where: tuple[str | int, ...]) -> float:
    """Return the least standard rating [A] not below `current_a`; CannotCompute above the table."""
    try:
        return table.cell(table.band(round(current_a, 6)), "rating")
    except MissingCell as missing:
        raise CannotCompute(where, str(missing), "a load that a standard rating of the basis covers") from None


def largest_standard(table: CodeTable, limit_a: float, where: tuple[str | int, ...]) -> float:
    """Return the greatest standard rating [A] not above `limit_a`; CannotCompute below the table."""
    fitting = [rating for rating in standard_ratings(table) if rating <= limit_a]
    if not fitting:
        wrong = f"{table.source} has no rating of {limit_a:g} A or less"
        raise CannotCompute(where, wrong, f"a marked maximum of {min(standard_ratings(table)):g} A or more")
    return max(fitting)


def standard_ratings(table: CodeTable) -> tuple[float, ...]:
    """Return the ratings [A] that devices are made in."""
    return tuple(table.cell(row, "rating") for row in table.rows)

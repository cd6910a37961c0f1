"""The crossing of a continuous function that falls as its argument grows: the one root finder of the wet side."""

from __future__ import annotations

from collections.abc import Callable

TOLERANCE = 1e-14


def _next_share(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    """Return where to look next, as a share of the way from a to b: inverse quadratic where safe, else the middle."""
    (xa, fa), (xb, fb), (xc, fc) = a, b, c
    xi, phi = (xa - xb) / (xc - xb), (fa - fb) / (fc - fb)
    if phi * phi < xi and (1.0 - phi) ** 2 < 1.0 - xi:
        return fa / (fb - fa) * fc / (fb - fc) + (xc - xa) / (xb - xa) * fa / (fc - fa) * fb / (fc - fb)
    return 0.5


def falling_root(function: Callable[[float], float], low: float, high: float) -> float | None:
    """Return the x in [low, high] where a falling continuous `function` crosses zero, from the side where it is >= 0.

    None where the function is below zero already at `low`; `high` where it is not below zero at `high`. The width of
    the last bracket is at most 1e-14 of `high`. Method: Chandrupatla, Advances in Engineering Software 28 (1997)
    145-149, which brackets the root always and converges fast on smooth functions.
    """
    a, b = (low, function(low)), (high, function(high))
    if a[1] < 0.0:
        return None
    if b[1] >= 0.0:
        return high
    share = 0.5
    while abs(b[0] - a[0]) > TOLERANCE * high:
        x = a[0] + share * (b[0] - a[0])
        new = (x, function(x))
        if (new[1] >= 0.0) == (a[1] >= 0.0):
            c, a = a, new
        else:
            c, b, a = b, a, new
        least = min(0.5, 0.5 * TOLERANCE * high / max(abs(b[0] - a[0]), TOLERANCE * high))
        share = min(max(_next_share(a, b, c), least), 1.0 - least)
    return a[0] if a[1] >= 0.0 else b[0]

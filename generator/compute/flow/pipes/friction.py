"""Friction of water in a full round pipe: Darcy-Weisbach, and Hazen-Williams as the trade's check beside it.

The Darcy friction factor is 64/Re in laminar flow and Colebrook's (with constants 3.7 and 2.51) in turbulent flow.
Between about Re 2000 and 4000 no formula gives one value (the flow may be either, and fittings disturb it): this
module takes the greater of the two at every Reynolds number, so the factor has no jump and never understates the
loss. It equals 64/Re up to their crossing, near Re 1000, and Colebrook's above.
Sources: Colebrook, J. Inst. Civil Eng. 11 (1939) 133-156; Moody, Trans. ASME 66 (1944) 671-684; Hazen-Williams in SI,
h = 10.67 L Q^1.852 / (C^1.852 d^4.8704).
"""

from __future__ import annotations

import math

SOURCE = "Darcy-Weisbach with the Colebrook (1939) friction factor, 64/Re where that is greater"
HAZEN_WILLIAMS = "Hazen-Williams, SI form; turbulent water near 60 °F only"
GRAVITY_M_S2 = 9.80665

_SETTLED = 1e-13
_TWO_LOGS = 2.0 / math.log(10.0)


def colebrook(reynolds: float, relative_roughness: float) -> float:
    """Return the Darcy friction factor of turbulent flow, to 1e-12 relative; Newton's method on 1/sqrt(f).

    Solves 1/sqrt(f) = -2 log10(e/(3.7 D) + 2.51/(Re sqrt(f))), beginning with Haaland's formula, J. Fluids Eng. 105
    (1983) 89-90 (from memory). ValueError for a Reynolds number of zero or less.
    Munson, Young, Okiishi, example 8.8, reads 0.0215 off Moody's chart (from memory):

    >>> round(colebrook(45e3, 8e-5), 4)
    0.0217
    """
    if reynolds <= 0.0:
        raise ValueError(f"the Reynolds number must be above zero; got {reynolds}")
    a, b, c = relative_roughness / 3.7, 2.51 / reynolds, _TWO_LOGS
    x = max(-1.8 * math.log10(a**1.11 + 6.9 / reynolds), 1.0)
    for _ in range(30):
        inside = a + b * x
        step = (x + c * math.log(inside)) / (1.0 + c * b / inside)
        x = x - step if x > step else 0.5 * x
        if abs(step) <= _SETTLED * x:
            return 1.0 / (x * x)
    raise ArithmeticError(f"the friction factor for Re {reynolds}, e/D {relative_roughness} did not settle")


def darcy_factor(reynolds: float, relative_roughness: float) -> float:
    """Return the Darcy friction factor at any Reynolds number above zero: the greater of 64/Re and Colebrook's.

    >>> darcy_factor(400.0, 0.0)
    0.16
    """
    if reynolds < 500.0:  # here 64/Re is the greater for every roughness in `materials`, by more than a tenth
        return 64.0 / reynolds
    return max(64.0 / reynolds, colebrook(reynolds, relative_roughness))


def velocity_m_s(flow_m3_s: float, bore_m: float) -> float:
    """Return the mean velocity [m/s] of a flow [m3/s] in a pipe of this inside diameter [m]: Q / (pi D^2 / 4).

    >>> round(velocity_m_s(1e-3, 0.1), 4)
    0.1273
    """
    return flow_m3_s / (0.25 * math.pi * bore_m * bore_m)


def reynolds_number(velocity: float, bore_m: float, density_kg_m3: float, *, viscosity_pa_s: float) -> float:
    """Return the Reynolds number of a velocity [m/s] in a bore [m]: rho v D / mu.

    >>> round(reynolds_number(1.0, 0.1, 1000.0, viscosity_pa_s=1e-3))
    100000
    """
    return density_kg_m3 * velocity * bore_m / viscosity_pa_s


def hazen_williams_pa(flow_m3_s: float, bore_m: float, length_m: float, *, c: float, density_kg_m3: float) -> float:
    """Return the pressure loss [Pa] of a length [m] of pipe by Hazen-Williams: turbulent water near 15 degC only.

    h = 10.67 L Q^1.852 / (C^1.852 d^4.8704). 50 gpm in 2 in at C 130 lose 6.1 ft in 100 ft (a public calculator: 6.09):

    >>> round(hazen_williams_pa(3.15451e-3, 0.0508, 100.0, c=130.0, density_kg_m3=1000.0) / (1000.0 * GRAVITY_M_S2), 1)
    6.1
    """
    head_m = 10.67 * length_m * math.pow(flow_m3_s / c, 1.852) / math.pow(bore_m, 4.8704)
    return density_kg_m3 * GRAVITY_M_S2 * head_m

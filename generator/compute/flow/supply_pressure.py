"""How far a supply falls as water runs: from a flow test, by the exponent of Hazen and Williams.

    p(Q) = p_static - (p_static,test - p_residual,test) (Q / Q_test)^1.85

NFPA 291 (2019) 4.10.1.2 computes the flow at another residual pressure as Q_R = Q_F (h_r / h_f)^0.54 (from memory);
solved for the fall of pressure its exponent is 1 / 0.54 = 1.85, that of Hazen and Williams. A test holds for the day
and place on which it was made.
"""

from __future__ import annotations

import math

from generator.model.site_water import FlowTest

EXPONENT = 1.85
SOURCE = "flow test of the supply; NFPA 291 (2019) 4.10.1.2, exponent of Hazen-Williams, from memory"


def fall_pa(test: FlowTest | None, flow_m3_s: float) -> float:
    """Return by how much the supply falls [Pa] at a flow [m3/s] (zero or more); by nothing where it is not tested.

    At half the flow tested by 0.5^1.85 = 0.277 of the fall:

    >>> test = FlowTest(static=500e3, residual=400e3, flow=1e-3, document="a test", date="2026-05-04")
    >>> round(fall_pa(test, 0.5e-3) / 1e3, 1)
    27.7
    """
    if test is None or flow_m3_s <= 0.0:
        return 0.0
    return (test.static_pa - test.residual_pa) * math.pow(flow_m3_s / test.flow_m3_s, EXPONENT)

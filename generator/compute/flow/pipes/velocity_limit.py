"""How fast water may run in a pipe before it wears the metal, hammers or is heard."""

from __future__ import annotations

FOOT_M = 0.3048
# From here up the handbook counts water in copper as "routinely above 140 degF".
VERY_HOT_K = 333.15

_COPPER = "Copper Tube Handbook (CDA): 8 ft/s cold, 5 ft/s hot, 2 to 3 ft/s above 140 °F"
_EUROPEAN = "EN 806-3 (2006) clause 4.4: 2.0 m/s in pipes that serve more than one fitting"
_GENERAL = "8 ft/s within buildings: National Standard Plumbing Code 10.14.1"
_PVC = "5 ft/s in PVC: common practice, no source"


def velocity_limit(material: str, hot: bool, temperature_k: float) -> tuple[float, str]:
    """Return the greatest velocity [m/s] for a known material, and who says so.

    `hot` is yes for a pipe after the heater, whose water is at `temperature_k` [K]. Metric copper follows the lower
    of EN 806-3 and the copper handbook.
    """
    if material.startswith("copper") and hot:
        return (3.0 if temperature_k > VERY_HOT_K + 1e-6 else 5.0) * FOOT_M, _COPPER
    if material in ("copper-metric", "pex-metric"):
        return 2.0, _EUROPEAN
    if material.startswith("copper"):
        return 8.0 * FOOT_M, _COPPER
    return (5.0 * FOOT_M, _PVC) if material == "pvc-40" else (8.0 * FOOT_M, _GENERAL)

"""Boiling at altitude: whether the heater's cut-out still opens below the boiling point where the site lies.

With the outlet open the water in the heater is near the air's pressure, so the air's boiling point is the one that
counts. Air pressure: ISO 2533 (1975) and US Standard Atmosphere (1976), troposphere. Saturation temperature: IAPWS
R7-97(2012), region 4, equation 31.
"""

from __future__ import annotations

import math

from generator.compute.sources import NAMEPLATE, sources
from generator.model.figures import Figure, Finding, Step, Value
from generator.model.finding_rules import Rule
from generator.model.heater import HeaterModel
from generator.model.said import say
from generator.model.site import Site

ATMOSPHERE = "ISO 2533 (1975), standard atmosphere"
SATURATION = "IAPWS R7-97(2012), region 4, equation 31"
# A cut-out with less than this to the boiling point may open after bubbles form at the elements.
LEAST_MARGIN_K = 5.0

_N = (
    1167.0521452767,
    -724213.16703206,
    -17.073846940092,
    12020.82470247,
    -3232555.0322333,
    14.91510861353,
    -4823.2657361591,
    405113.40542057,
    -0.23855557567849,
    650.17534844798,
)


VALUES = ("altitude", "boils", "cut_out")
ALTITUDE = Rule("altitude", {"below": VALUES, "near": VALUES, "above": VALUES}, stops=("above",))


def air_pressure_pa(altitude_m: float) -> float:
    """Return the standard air pressure [Pa] at an altitude above the sea [m], to 11 km.

    p = 101 325 (1 - 0.0065 z / 288.15)^5.255876: ISO 2533 (1975). Its table gives 898.75 hPa at 1000 m (from memory):

    >>> round(air_pressure_pa(1000.0))
    89875
    """
    return 101325.0 * math.pow(1.0 - 0.0065 * altitude_m / 288.15, 5.255876)


def boiling_k(pressure_pa: float) -> float:
    """Return the boiling point of water [K] at a pressure [Pa] from 611 Pa to 22 MPa.

    IAPWS R7-97(2012), region 4, equation 31; its table 36 gives 372.755919 K at 0.1 MPa (from memory):

    >>> round(boiling_k(1e5), 6)
    372.755919
    """
    beta = math.pow(pressure_pa / 1e6, 0.25)
    e = beta * beta + _N[2] * beta + _N[5]
    f = _N[0] * beta * beta + _N[3] * beta + _N[6]
    g = _N[1] * beta * beta + _N[4] * beta + _N[7]
    d = 2.0 * g / (-f - math.sqrt(f * f - 4.0 * e * g))
    return 0.5 * (_N[9] + d - math.sqrt((_N[9] + d) ** 2 - 4.0 * (_N[8] + _N[9] * d)))


def boiling_figure(prefix: str, site: Site) -> Figure:
    """Return the boiling point at the site's altitude."""
    pressure_pa = air_pressure_pa(site.water.altitude_m)
    pressure = Value("p", pressure_pa, "pressure", "at_most")
    height = Value("z", site.water.altitude_m, "length")
    boils_k = boiling_k(pressure_pa)
    steps = (
        Step("p = 101 325 Pa × (1 − 0.0065 × z / 288.15 K)^5.255876", (height,), pressure, ATMOSPHERE),
        Step("T_boil = T_sat(p)", (pressure,), Value("T_boil", boils_k, "temperature", "at_most"), SATURATION),
    )
    return Figure(f"{prefix}.boiling", say("boiling-point"), boils_k, "temperature", "at_most", steps)


def altitude_finding(site: Site, model: HeaterModel) -> Finding:
    """Return `altitude`: the boiling point at the site against the cut-out.

    `stop` where the cut-out opens only at or above it: steam can then form, and spit or burst, before anything stops
    the heat. `attention` within LEAST_MARGIN_K of it.
    """
    boils_k, cut_out_k = boiling_k(air_pressure_pa(site.water.altitude_m)), model.water.cut_out_k
    values: tuple[Value, ...] = (
        Value("boils", boils_k, "temperature", "at_most"),
        Value("cut_out", cut_out_k, "temperature", "at_least"),
    )
    if site.water.altitude_m:
        values = (Value("altitude", site.water.altitude_m, "length"), *values)
    source = sources(ATMOSPHERE, SATURATION, NAMEPLATE, say("boiling-margin"))
    if cut_out_k >= boils_k:
        return ALTITUDE.judge("above", "stop", values, source=source).at(site.id)
    if boils_k - cut_out_k < LEAST_MARGIN_K:
        return ALTITUDE.judge("near", "attention", values, source=source).at(site.id)
    return ALTITUDE.judge("below", "ok", values, source=source).at(site.id)

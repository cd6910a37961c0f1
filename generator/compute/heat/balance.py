"""The steady-flow energy balance of a heater, and of mixing: how power, flow and temperatures hang together.

    P = rho(T_in) Q (h(T_out) - h(T_in))

Flow is volumetric and metered at the inlet, as the heater's flow sensor does, so the cold density fixes the mass
flow. All electrical power goes into the water: the loss to the room and the heat from the pressure loss (below 0.05 K)
are left out, which overstates the outlet and so errs to the safe side for burns.
Source: steady-flow energy equation (first law for a control volume); properties as in `water`.
Every function takes floats or numpy arrays that broadcast together, in SI.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from generator.compute.heat import water
from generator.compute.heat.water import Number, every
from generator.model.figures import Step, Value
from generator.model.said import say

BALANCE = f"steady-flow energy balance; {water.SOURCE}"
JOULE = "resistive load (Ohm and Joule)"
# The result of a comparison in the working.
HOLDS = Value(say("holds"), say("yes"), "text")


@dataclass(frozen=True, slots=True)
class Heating:
    """A power [W] that takes the inlet [K] to an outlet [K]."""

    inlet_k: float
    outlet_k: float
    power_w: float

    @property
    def needless(self) -> bool:
        """Whether the inlet is already that warm."""
        return self.inlet_k >= self.outlet_k


def power_for_outlet_w(inlet_k: Number, outlet_k: Number, flow_m3_s: Number) -> Number:
    """Return the power [W] that takes a flow [m3/s] from inlet to outlet [K]: P = rho(T_in) Q (h(T_out) - h(T_in)).

    ValueError outside 0 to 100 degC. 10 L/min from 16 to 43 degC take 18.8 kW (Cengel and Boles, Thermodynamics):

    >>> round(power_for_outlet_w(289.15, 316.15, 10e-3 / 60.0) / 1e3, 1)
    18.8
    """
    return water.density(inlet_k) * flow_m3_s * (water.enthalpy(outlet_k) - water.enthalpy(inlet_k))


def flow_for_outlet_m3_s(inlet_k: Number, outlet_k: Number, power_w: Number) -> Number:
    """Return the flow [m3/s] at which a power [W] takes the inlet to the outlet [K]: P / (rho(T_in) (h_out - h_in)).

    ValueError unless the outlet is the warmer of the two, and outside 0 to 100 degC. 3.8 kW take 37.7 g/s from 18 to
    42 degC (Cambridge International 9702/41, October/November 2012, question 3):

    >>> round(flow_for_outlet_m3_s(291.15, 315.15, 3800.0) * 1e6, 1)
    37.9
    """
    if not every(outlet_k > inlet_k):
        raise ValueError(f"no flow heats water from {inlet_k} K to {outlet_k} K: the outlet is not the warmer")
    return power_w / (water.density(inlet_k) * (water.enthalpy(outlet_k) - water.enthalpy(inlet_k)))


def _outlet_enthalpy(inlet_k: Number, flow_m3_s: Number, power_w: Number) -> Number:
    if not every(flow_m3_s > 0.0):
        raise ValueError(f"the flow must be above zero; got {flow_m3_s} m3/s")
    return water.enthalpy(inlet_k) + power_w / (water.density(inlet_k) * flow_m3_s)


def outlet_k(inlet_k: Number, flow_m3_s: Number, power_w: Number) -> Number:
    """Return the outlet [K] of an inlet [K], a flow [m3/s] and a power [W]: h(T_out) = h(T_in) + P / (rho(T_in) Q).

    ValueError for a flow of zero or less, and where the water would boil (100 degC at 0.1 MPa). 20 kW take 8.0 L/min
    from 12 to 47.9 degC, 321.0 K (47.8 with cp 4186: Knight, Physics for Scientists and Engineers, problem 19.74):

    >>> round(outlet_k(285.15, 8.0e-3 / 60.0, 20e3), 1)
    321.0
    """
    return water.temperature(_outlet_enthalpy(inlet_k, flow_m3_s, power_w))


def capped_outlet_k(inlet_k: Number, flow_m3_s: Number, power_w: Number, *, ceiling_k: float) -> Number:
    """Return `outlet_k`, or exactly `ceiling_k` [K] wherever the balance reaches it, boiling included.

    The ceiling is a temperature the heater cannot pass, such as its cut-out. ValueError for a flow of zero or less.

    >>> capped_outlet_k(285.15, 8.0e-3 / 60.0, 200e3, ceiling_k=345.0)
    345.0
    """
    enthalpy, most = _outlet_enthalpy(inlet_k, flow_m3_s, power_w), water.enthalpy(ceiling_k)
    if isinstance(enthalpy, np.ndarray):
        return np.where(enthalpy >= most, ceiling_k, water.temperature(np.minimum(enthalpy, most)))
    return ceiling_k if enthalpy >= most else water.temperature(enthalpy)


def power_at_voltage_w(rated_power_w: Number, rated_voltage_v: float, voltage_v: float) -> Number:
    """Return the power [W] that a resistive element of this rating takes at another voltage [V]: P (V/V_rated)^2.

    An element of 4500 W at 240 V gives 3380 W at 208 V (as nameplates pair them, common practice, no source):

    >>> round(power_at_voltage_w(4500.0, 240.0, 208.0), -1)
    3380.0
    """
    return rated_power_w * (voltage_v / rated_voltage_v) ** 2


def hot_share(hot_k: Number, cold_k: Number, wanted_k: Number) -> Number:
    """Return the share of hot water, by mass, in a mixture of the wanted temperature [K].

    x = (h_wanted - h_cold) / (h_hot - h_cold); below 0 or above 1 where the wanted temperature does not lie between
    cold and hot. ValueError when they are equal. 0.61 of water at 140 degF in water at 50 gives 105 (plumbing
    handbooks' (M - C) / (H - C), from memory):

    >>> round(hot_share(333.15, 283.15, 313.706), 2)
    0.61
    """
    if not every(hot_k != cold_k):
        raise ValueError("hot and cold water of one temperature cannot be mixed to another")
    cold = water.enthalpy(cold_k)
    return (water.enthalpy(wanted_k) - cold) / (water.enthalpy(hot_k) - cold)


def inlet_values(inlet_k: float) -> tuple[Value, Value, Value]:
    """Return inlet temperature, density and enthalpy as the values that every step of working on this inlet shares."""
    return (
        Value("T_in", inlet_k, "temperature"),
        Value("ρ(T_in)", water.density(inlet_k), "density"),
        Value("h(T_in)", water.enthalpy(inlet_k), "specific_energy"),
    )


def outlet_step(inlet: tuple[Value, ...], power: Value, flow: Value, *, outlet: Value) -> Step:
    """Return the working of an outlet temperature; `inlet` as `inlet_values` gives it."""
    return Step("h(T_out) = h(T_in) + P / (ρ(T_in) × Q)", (*inlet, power, flow), outlet, BALANCE)


def flow_step(inlet: tuple[Value, ...], power: Value, outlet: Value, *, flow: Value, note: str = "") -> Step:
    """Return the working of the flow at which a power takes an inlet to an outlet."""
    return Step("Q = P / (ρ(T_in) × (h(T_out) − h(T_in)))", (*inlet, power, outlet), flow, BALANCE, note)

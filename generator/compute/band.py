"""The band in which a sound heater works at a site: what its supply, input, switching flows and inlet can be.

What can scald or burst is judged at the adverse end of all four together, what the heater is chosen for at the nominal
value. Who says so stands with the data: the site, the model, the code basis, tolerances.yaml.
"""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.heat.inlet import Season
from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.model.tables.tolerances import ServiceVoltage, Tolerances
from generator.si import FREEZING_K


@dataclass(frozen=True, slots=True)
class Ends:
    """A quantity as stated, and both ends of what it can be."""

    least: float
    nominal: float
    greatest: float


@dataclass(frozen=True, slots=True)
class Band:
    """Supply voltage [V]; input, the power at one voltage over the nameplate's; switching flows over those stated;
    coldest and warmest inlet [K]."""

    volts: Ends
    input: Ends
    flows: Ends
    coldest_k: Ends
    warmest_k: Ends

    @property
    def power(self) -> Ends:
        """The power over that at the stated voltage: P / P_nominal = input (V / V_nominal)^2, Ohm and Joule."""
        volts, taken = self.volts, self.input
        least, greatest = (volts.least / volts.nominal) ** 2, (volts.greatest / volts.nominal) ** 2
        return Ends(taken.least * least, 1.0, taken.greatest * greatest)


def volts_of(site: Site, service: ServiceVoltage) -> Ends:
    """Return the supply voltage [V] of a site: between the ends stated for it, else in the service range.

    On the range A of ANSI C84.1 a supply of 240 V is from 228 to 252 V (5 % either way, secondary copy: ustpower.com).
    """
    stated, nominal_v = site.supply.voltage_range, site.supply.voltage_v
    if stated is not None:
        return Ends(stated.least_v, nominal_v, stated.greatest_v)
    return Ends(nominal_v * (1.0 - service.below), nominal_v, nominal_v * (1.0 + service.above))


def band(site: Site, model: HeaterModel, season: Season, *, service: ServiceVoltage, held_to: Tolerances) -> Band:
    """Return the band of a model at a site, whose inlet is `season`; only an estimated inlet has a margin."""
    taken, within = held_to.input, held_to.switching_flow.within
    within = within if model.flow_tolerance is None else model.flow_tolerance
    margin_k = held_to.estimated_inlet.within_k if site.water.inlet.method == "climate" else 0.0
    return Band(
        volts=volts_of(site, service),
        input=Ends(1.0 - taken.below, 1.0, 1.0 + taken.above),
        flows=Ends(1.0 - within, 1.0, 1.0 + within),
        coldest_k=_about(season.coldest_k, margin_k),
        warmest_k=_about(season.warmest_k, margin_k),
    )


def _about(inlet_k: float, margin_k: float) -> Ends:
    return Ends(max(inlet_k - margin_k, FREEZING_K), inlet_k, inlet_k + margin_k)

"""How a site's heater meets its supply."""

from __future__ import annotations

from generator.compute.circuit.connection import Connection, Ranges, connect
from generator.compute.heat.stages import rating_for_supply
from generator.model.heater import HeaterModel
from generator.model.site import Site


def connect_site(site: Site, model: HeaterModel, to_neutral: Ranges) -> Connection:
    """Return the connection of a site's heater to its supply."""
    supply = site.supply
    rating = rating_for_supply(model, supply.voltage_v, supply.phases)
    return connect(model, rating, supply.voltage_v, to_neutral)

"""How a site lays a circuit: the run, the conductors that are in it, and how many stages close."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.verdict.set_flow import selected_stage
from generator.model.heater import HeaterModel
from generator.model.site import Site


@dataclass(frozen=True, slots=True)
class Laid:
    """Length one way [m], size of the conductors of an existing circuit (None: laid new), most stages that close."""

    length_m: float
    existing: str | None
    selected: int


def laid_at(site: Site, model: HeaterModel) -> Laid:
    """Return how the circuits of a site's heater are laid."""
    existing = site.existing_circuit.conductor if site.existing_circuit else None
    return Laid(site.route.length_m, existing, selected_stage(site, model))

"""One run of pipe of a site, looked up and ready to be computed: its bore, its losses at a flow, what it holds."""

from __future__ import annotations

import math
from dataclasses import dataclass

from generator.compute.flow.pipes.fittings import fitting_losses
from generator.compute.flow.pipes.friction import darcy_factor, hazen_williams_pa, reynolds_number, velocity_m_s
from generator.compute.flow.pipes.materials import PipeMaterial, Where, pipe_material
from generator.compute.flow.pipes.sizes import pipe_size
from generator.model.site import Run


@dataclass(frozen=True, slots=True)
class PipeRun:
    """A run of pipe: bore, length, rise [m]; fittings as pipe diameters (L/D) and velocity heads (K).

    `label` is what a reader calls it, such as "cold run 1"; `where` its key path in the site.
    """

    label: str
    where: Where
    material: PipeMaterial
    size: str
    bore_m: float
    length_m: float
    rise_m: float
    fitting_lengths: float
    fitting_heads: float

    @property
    def number(self) -> int:
        """Its place among the runs of its side, from 1, in the order of flow."""
        return int(self.where[2]) + 1

    @property
    def hot(self) -> bool:
        """Whether it is behind the heater."""
        return self.where[1] == "hot_run"

    @property
    def equivalent_length_m(self) -> float:
        """Length [m] of straight pipe with the same loss, without the fittings counted in velocity heads."""
        return self.length_m + self.fitting_lengths * self.bore_m

    @property
    def volume_m3(self) -> float:
        """Water the run holds [m3]."""
        return 0.25 * math.pi * self.bore_m**2 * self.length_m

    def velocity_m_s(self, flow_m3_s: float) -> float:
        """Mean velocity [m/s] at a flow."""
        return velocity_m_s(flow_m3_s, self.bore_m)

    def friction_pa(self, flow_m3_s: float, density_kg_m3: float, viscosity_pa_s: float) -> float:
        """Pressure lost [Pa] to friction and fittings at a flow (zero or more): (f L/D + K) rho v^2 / 2."""
        if flow_m3_s <= 0.0:
            return 0.0
        velocity = velocity_m_s(flow_m3_s, self.bore_m)
        reynolds = reynolds_number(velocity, self.bore_m, density_kg_m3, viscosity_pa_s)
        factor = darcy_factor(reynolds, self.material.roughness_m / self.bore_m)
        heads = factor * self.equivalent_length_m / self.bore_m + self.fitting_heads
        return heads * 0.5 * density_kg_m3 * velocity**2

    def hazen_williams_pa(self, flow_m3_s: float, density_kg_m3: float) -> float:
        """Pressure lost [Pa] by the trade's formula, fittings counted in velocity heads added."""
        pipe = hazen_williams_pa(
            flow_m3_s, self.bore_m, self.equivalent_length_m, self.material.hazen_williams_c, density_kg_m3
        )
        return pipe + self.fitting_heads * 0.5 * density_kg_m3 * self.velocity_m_s(flow_m3_s) ** 2


def pipe_runs(runs: tuple[Run, ...], side: str) -> tuple[PipeRun, ...]:
    """Return the runs of a site's `side` ("cold" or "hot"), in the order of flow.

    CannotCompute at the run's key path for a material, size or fitting that is not known.
    """
    found = []
    for index, run in enumerate(runs):
        where: Where = ("water", f"{side}_run", index)
        material = pipe_material(run.material, (*where, "material"))
        bore_m = pipe_size(run.material, run.size, where).bore_m
        lengths, heads = fitting_losses(run.fittings, where)
        label = f"{side} run {index + 1}"
        found.append(PipeRun(label, where, material, run.size, bore_m, run.length_m, run.rise_m, lengths, heads))
    return tuple(found)

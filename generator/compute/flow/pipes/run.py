"""One run of pipe of a site, looked up and ready to be computed: its bore, its losses at a flow, what it holds."""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache

from generator.compute.flow.pipes.friction import darcy_factor, hazen_williams_pa, reynolds_number, velocity_m_s
from generator.compute.flow.pipes.pressure_rating import rating_pa
from generator.compute.flow.pipes.stated_loss import StatedLoss, stated_loss
from generator.errors import CannotCompute
from generator.model.said import say
from generator.model.site_water import StatedRun
from generator.model.tables.pipes import Dimensions, PipeMaterial, Pipes, Strength, Velocities

Where = tuple[str | int, ...]
Pipe = tuple[float, float, float, float]  # bore [m], e/D, L/D with fittings, K


@dataclass(frozen=True, slots=True)
class PipeRun:
    """A run of pipe: length, rise [m]; fittings as pipe diameters (L/D) and velocity heads (K).

    `number`: its place among the runs of its side, from 1, in the order of flow. `hot`: behind the heater.
    `sizes_from` names the document of its dimensions. `shuts`: a fitting in it can shut the water in.
    `devices` stand at its start, in the order of flow. `pipe`: what its friction follows from.
    """

    number: int
    hot: bool
    material: PipeMaterial
    size: str
    dimensions: Dimensions
    sizes_from: str
    strength: Strength
    velocities: tuple[Velocities, ...]
    length_m: float
    rise_m: float
    fitting_lengths: float
    fitting_heads: float
    shuts: bool
    devices: tuple[StatedLoss, ...] = ()
    pipe: Pipe = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        bore_m = self.dimensions.bore_m
        straight = self.length_m / bore_m + self.fitting_lengths
        object.__setattr__(self, "pipe", (bore_m, self.material.roughness_m / bore_m, straight, self.fitting_heads))

    @property
    def at_greatest(self) -> PipeRun:
        """The same, each regulator at the greatest that it holds."""
        return replace(self, devices=tuple(device.at_greatest for device in self.devices)) if self.devices else self

    @property
    def bore_m(self) -> float:
        """The real inside diameter [m]."""
        return self.dimensions.bore_m

    @property
    def key(self) -> str:
        """The part of an id that names it, such as "cold-run-1"."""
        return f"{'hot' if self.hot else 'cold'}-run-{self.number}"

    @property
    def label(self) -> str:
        """What a reader calls it, such as "cold run 1"."""
        return say("hot-run", number=self.number) if self.hot else say("cold-run", number=self.number)

    @property
    def title(self) -> str:
        """The same, where it begins a line."""
        return say("hot-run-title", number=self.number) if self.hot else say("cold-run-title", number=self.number)

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
        return _friction_pa(flow_m3_s, self.pipe, density_kg_m3, viscosity_pa_s=viscosity_pa_s)

    def hazen_williams_pa(self, flow_m3_s: float, density_kg_m3: float) -> float:
        """Pressure lost [Pa] by the trade's formula, fittings counted in velocity heads added."""
        pipe = hazen_williams_pa(
            flow_m3_s,
            self.bore_m,
            self.equivalent_length_m,
            c=self.material.hazen_williams_c,
            density_kg_m3=density_kg_m3,
        )
        return pipe + self.fitting_heads * 0.5 * density_kg_m3 * self.velocity_m_s(flow_m3_s) ** 2

    def rating_pa(self, temperature_k: float) -> float | None:
        """What it withstands [Pa] with water of this temperature [K]; None: not rated so hot."""
        return rating_pa(self.strength, self.dimensions, temperature_k)

    def velocity_limit(self, temperature_k: float) -> tuple[float, str]:
        """Return the greatest velocity [m/s], and who says so; above it water wears the metal, hammers or is heard.

        The water behind the heater is at `temperature_k` [K].
        """
        limits = ((_limit(table, self.hot, temperature_k), table.source) for table in self.velocities)
        return min(limits, key=lambda limit: limit[0])


@lru_cache(maxsize=4_000)
def _friction_pa(flow_m3_s: float, pipe: Pipe, density_kg_m3: float, *, viscosity_pa_s: float) -> float:
    """Return what a pipe loses [Pa] at a flow: (f L/D + K) rho v^2 / 2.

    Kept, for what is found of a site asks for the same flows again and again, as do sites on one route.
    """
    bore_m, relative_roughness, straight, heads = pipe
    velocity = velocity_m_s(flow_m3_s, bore_m)
    reynolds = reynolds_number(velocity, bore_m, density_kg_m3, viscosity_pa_s=viscosity_pa_s)
    factor = darcy_factor(reynolds, relative_roughness)
    return (factor * straight + heads) * 0.5 * density_kg_m3 * velocity**2


def _limit(table: Velocities, hot: bool, temperature_k: float) -> float:
    if not hot:
        return table.cold_m_s
    return table.above_m_s if temperature_k > table.above_k + 1e-6 else table.hot_m_s


def unknown(where: Where, what: str, text: str, *, known: Iterable[str]) -> CannotCompute:
    """Return the refusal of a text that is none of the `known` ones, naming the nearest."""
    choices = list(known)
    near = difflib.get_close_matches(text, choices, n=1, cutoff=0.4)
    expected = f"one of {', '.join(choices)}"
    if near:
        expected = f"did you mean '{near[0]}'? {expected}"
    return CannotCompute(where, f"'{text}' is no {what} known here", expected)


def fitting_losses(
    counts: Mapping[str, int], pipes: Pipes, where: Where, *, joined: Mapping[str, float] | None = None
) -> tuple[float, float]:
    """Return the summed pipe diameters (L/D) and velocity heads (K) of fittings by kind and number.

    `joined`: diameters of those whose way of joining narrows the pipe, by kind. `where` is the key path of their run;
    CannotCompute, naming the nearest known, for an unknown kind.
    """
    for kind in counts:
        if kind not in pipes.fitting_kinds:
            refusal = unknown((*where, "fittings", kind), "fitting", kind, known=pipes.fitting_kinds)
            expected = f"{refusal.expected}; what its maker states a loss of goes under devices"
            raise CannotCompute(refusal.where, refusal.wrong, expected)
    narrow = joined or {}
    wide = {kind: count for kind, count in counts.items() if kind not in narrow}
    own = math.fsum(narrow[kind] * count for kind, count in counts.items() if kind in narrow)
    return pipes.fittings_loss("lengths", wide) + own, pipes.fittings_loss("heads", wide)


def _joined(run: StatedRun, pipes: Pipes, where: Where, *, bore_m: float) -> dict[str, float]:
    """Return the diameters (L/D) of the fittings that the run's way of joining has a table for, by kind."""
    ways = pipes.materials[run.material].joints
    if run.joints is not None and run.joints not in ways:
        if not ways:
            title = pipes.materials[run.material].title
            raise CannotCompute((*where, "joints"), f"{title} has no ways of joining here", "leave the key out")
        raise unknown((*where, "joints"), "way of joining", run.joints, known=ways)
    table = pipes.joined(run.material, run.joints)
    return {kind: table.diameters(kind, run.size, bore_m=bore_m) for kind in table.kinds} if table else {}


def pipe_runs(runs: tuple[StatedRun, ...], side: str, pipes: Pipes) -> tuple[PipeRun, ...]:
    """Return the runs of a site's `side` ("cold" or "hot"), in the order of flow.

    CannotCompute at the run's key path for a material, size or fitting that is not known.
    """
    return tuple(
        _pipe_run(run, index, side == "hot", pipes=pipes, where=("water", f"{side}_run", index))
        for index, run in enumerate(runs)
    )


def _pipe_run(run: StatedRun, index: int, hot: bool, *, pipes: Pipes, where: Where) -> PipeRun:
    if run.material not in pipes.materials:
        raise unknown((*where, "material"), "pipe material", run.material, known=pipes.materials)
    material, sizes = pipes.materials[run.material], pipes.sizes[run.material]
    if run.size not in sizes.rows:
        raise unknown((*where, "size"), f"size of {material.title}", run.size, known=sizes.rows)
    dimensions = pipes.dimensions(run.material, run.size)
    joined = _joined(run, pipes, where, bore_m=dimensions.bore_m)
    lengths, heads = fitting_losses(run.fittings, pipes, where, joined=joined)
    return PipeRun(
        number=index + 1,
        hot=hot,
        material=material,
        size=run.size,
        dimensions=dimensions,
        sizes_from=sizes.source,
        strength=pipes.strength(run.material, run.size),
        velocities=pipes.limits(run.material),
        length_m=run.length_m,
        rise_m=run.rise_m,
        fitting_lengths=lengths,
        fitting_heads=heads,
        shuts=any(run.fittings.get(valve, 0) for valve in pipes.header.valves),
        devices=_devices(run, hot, where),
    )


def _devices(run: StatedRun, hot: bool, where: Where) -> tuple[StatedLoss, ...]:
    for index, device in enumerate(run.devices):
        if hot and device.closes:
            wrong = f"a {device.kind} stands before the heater, never behind it"
            raise CannotCompute((*where, "devices", index, "kind"), wrong, "state it in a cold run")
    return tuple(stated_loss(device) for device in run.devices)

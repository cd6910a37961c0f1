"""IEC 60364 as the rules of a circuit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from generator.compute.circuit import circuit as shared
from generator.compute.circuit.candidate import Candidate, Capacity, Demand, Limit
from generator.compute.circuit.circuit import Circuit, Ground, Ratings, Wired
from generator.compute.circuit.iec import circuit_findings, conductor, device_rating, existing_findings
from generator.compute.circuit.iec.capacity import capacity_steps
from generator.compute.circuit.iec.conditions import Conditions, reference_conditions, site_conditions
from generator.compute.circuit.iec.residual_current import residual_current_protection, residual_current_type
from generator.compute.circuit.load import Load
from generator.compute.circuit.sizes import next_standard
from generator.compute.circuit.supply_connection import INTERNATIONAL, SupplyConnection
from generator.compute.circuit.values import text
from generator.compute.severity import worst
from generator.errors import CannotCompute
from generator.model.figures import Figure, Step, Value
from generator.model.finding_rules import Judgement
from generator.model.heater import HeaterModel, Material
from generator.model.said import say
from generator.model.site import ExistingCircuit, Site
from generator.model.tables.codes import CodeBasis


@dataclass(frozen=True)
class IecRules(shared.Rules):
    """The rules under `conditions`."""

    conditions: Conditions

    TO_NEUTRAL = INTERNATIONAL
    GROUND = say("protective-conductor")
    POLES = say("poles-live")
    HEADS: ClassVar[Mapping[str, str]] = {
        "table": say("table-column"),
        "after-correction": say("after-correction"),
        "termination-limit": say("termination-limit"),
        "capacity": say("capacity-column"),
    }
    NO_LIMIT = say("no-terminal-limit")
    DEVICE = (residual_current_type,)

    @classmethod
    def at_site(cls, site: Site, model: HeaterModel, connection: SupplyConnection, *, basis: CodeBasis) -> IecRules:
        """Return the rules at a site."""
        return cls(basis, site_conditions(site, model, connection, basis=basis))

    @classmethod
    def by_nameplate(cls, model: HeaterModel, connection: SupplyConnection, basis: CodeBasis) -> IecRules:
        """Return the rules for a model's own page."""
        return cls(basis, reference_conditions(model, connection, basis))

    @staticmethod
    def continuous(_basis: CodeBasis) -> float:
        """Return 1: the standard has no factor for continuous loads."""
        return 1.0

    @staticmethod
    def poles(connection: SupplyConnection) -> int:
        """Return one for each live conductor, the neutral included."""
        return connection.lines + connection.neutral

    def plausible_device_a(self, load: Load) -> float:
        """Return the next standard rating above 150 % of a load: common practice, no source."""
        return next_standard(self.basis.tables["standard_ratings"], 1.5 * load.rated_current_a, load.where)

    @property
    def material(self) -> Material:
        """Copper: the basis holds no other."""
        return "copper"

    @property
    def sizes(self) -> tuple[str, ...]:
        """The sizes of the basis."""
        return self.basis.header.sizes

    @property
    def drop_limits(self) -> Mapping[str, float]:
        """The limit of uses other than lighting."""
        return conductor.drop_limits(self.basis)

    def rate(self, load: Load) -> Ratings:
        """Return the ratings of a circuit."""
        return device_rating.rate(load, self.basis)

    def judge(self, size: str, demand: Demand) -> Candidate:
        """Return a size with every rule put to it."""
        return conductor.judge(size, demand, self.conditions, basis=self.basis)

    def none_suits(self, wrong: str, where: tuple[str | int, ...]) -> CannotCompute:
        """Return the refusal."""
        return CannotCompute(where, wrong, "fewer circuits together, a cooler route, or another method")

    def ground(self, *, device_a: float, needed: str, installed: str) -> Ground:
        """Return the protective conductor, by the line conductors alone."""
        return conductor.protective(self.basis, device_a=device_a, needed=needed, installed=installed)

    def resistance_ohm_m(self, size: str) -> float:
        """Return the resistance of one conductor [ohm/m]."""
        return conductor.resistance_ohm_m(size, self.basis)

    @property
    def document(self) -> str:
        """Nothing: each clause names its document."""
        return ""

    def capacity_steps(self, capacity: Capacity) -> tuple[Step, ...]:
        """Return the working of a capacity."""
        return capacity_steps(capacity, self.conditions, self.basis)

    def limits(self, candidate: Candidate) -> Iterator[Limit]:
        """Yield the limits of a size."""
        found, steps = (
            candidate.capacity,
            {step.result.symbol: step for step in self.capacity_steps(candidate.capacity)},
        )
        corrected = tuple(steps[symbol] for symbol in ("I_0", "k_a", "k_g", "I_c"))
        yield found.table_a, corrected[:1]
        yield found.corrected_a, corrected
        yield found.termination_a, (steps["I_t"],) if "I_t" in steps else ()
        yield found.usable_a, tuple(steps.values())

    def resistance_step(self, size: str) -> Step:
        """Return the step that states the resistance of a size."""
        rho, source = conductor.copper(self.basis), self.basis.rules.source_of("conductor-resistance")
        value = Value("r", self.resistance_ohm_m(size), "resistance_per_length", "at_least")
        return Step("r = ρ / S", (text("ρ", f"{rho.value:g} {rho.unit}"), text("S", size)), value, source)

    def rating_figures(self, circuit: Circuit) -> tuple[Figure, Figure, Figure, Figure]:
        """Return floor, recommended, ceiling and device."""
        return device_rating.rating_figures(circuit)

    def ground_steps(self, ground: Ground) -> tuple[Step, ...]:
        """Return the working of the protective conductor."""
        inputs, source = (text("S", ground.installed),), self.basis.tables["protective_conductor"].source
        return (Step(say("protective-for"), inputs, text("S_p", ground.size), source),)

    def about_circuit(self, at: Wired) -> Iterator[Judgement]:
        """Yield device and wiring method."""
        yield worst(map(circuit_findings.circuit_device, at.circuits))
        yield circuit_findings.wiring_method(at.site, self.conditions, self.basis.rules.sources)

    def about_people(self, at: Wired) -> Iterator[Judgement]:
        """Yield residual-current protection."""
        connection = at.circuits[0].load.connection
        least_a = min(circuit.ratings.device_a for circuit in at.circuits)
        yield residual_current_protection(at.site, connection, least_a, basis=self.basis)

    def about_existing(self, at: Wired, existing: ExistingCircuit) -> Iterator[Judgement]:
        """Yield device, conductor, poles and ground."""
        found, conditions, name = existing_findings, self.conditions, existing.insulation
        if name is not None:
            rated_c = self.basis.methods.insulations[name].dry_c
            conditions = replace(conditions, insulation=name, insulation_c=rated_c)
        yield worst(found.existing_device(circuit, existing) for circuit in at.circuits)
        there = (replace(circuit, rules=replace(self, conditions=conditions)) for circuit in at.circuits)
        yield worst(found.existing_conductor(circuit, existing, conditions.method_id) for circuit in there)
        yield worst(found.existing_poles(circuit, existing) for circuit in at.circuits)
        yield worst(found.existing_ground(circuit, existing) for circuit in at.circuits)

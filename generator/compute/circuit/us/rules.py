"""NFPA 70 as the rules of a circuit."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from generator.compute.circuit import circuit as shared
from generator.compute.circuit.candidate import Candidate, Capacity, Demand, Limit, check_steps
from generator.compute.circuit.circuit import Circuit, Ground, Ratings, Wired
from generator.compute.circuit.load import Load
from generator.compute.circuit.supply_connection import NORTH_AMERICAN, SupplyConnection
from generator.compute.circuit.us import branch_rating, circuit_findings, conductor, existing_findings, grounding
from generator.compute.circuit.us.ampacity import ampacity_steps
from generator.compute.circuit.us.conditions import Conditions, as_found, reference_conditions, site_conditions
from generator.compute.circuit.us.farm_finding import agricultural_wiring
from generator.compute.circuit.us.guard_findings import arc_fault_protection, ground_fault_protection
from generator.compute.circuit.us.subdivision import part_limit_a, parts_table, require_subdivision
from generator.compute.circuit.us.system_finding import supply_system
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
class UsRules(shared.Rules):
    """The rules under `conditions`; `not_continuous`: why the load is not, where the site says so."""

    conditions: Conditions
    not_continuous: str | None = None

    TO_NEUTRAL = NORTH_AMERICAN
    GROUND = say("equipment-ground")
    POLES = say("poles-ungrounded")
    HEADS: ClassVar[Mapping[str, str]] = {
        "insulation-s-column": say("insulation-column"),
        "after-correction-and-adjustment": say("after-adjustment"),
        "termination-limit": say("termination-limit"),
        "wiring-method-limit": say("method-limit"),
        "ampacity": say("ampacity-column"),
        "greatest-device": say("greatest-device-column"),
    }
    NO_LIMIT = say("no-method-limit")
    TABLES = (parts_table,)
    REFUSALS = (require_subdivision,)

    @classmethod
    def at_site(cls, site: Site, model: HeaterModel, connection: SupplyConnection, *, basis: CodeBasis) -> UsRules:
        """Return the rules at a site."""
        reason = None if site.use.continuous else site.use.reason
        return cls(basis, site_conditions(site, model, connection, basis=basis), reason)

    @classmethod
    def by_nameplate(cls, model: HeaterModel, connection: SupplyConnection, basis: CodeBasis) -> UsRules:
        """Return the rules for a model's own page."""
        return cls(basis, reference_conditions(model, connection, basis))

    @staticmethod
    def continuous(basis: CodeBasis) -> float:
        """Return the factor of the basis, 210.20(A)."""
        return branch_rating.continuous_factor(basis)

    @staticmethod
    def poles(connection: SupplyConnection) -> int:
        """Return one for each ungrounded conductor, 240.15(A)."""
        return connection.lines

    def plausible_device_a(self, load: Load) -> float:
        """Return what the code allows of a load that marks none, and of a part of a subdivided heater."""
        return min(branch_rating.unmarked_ceiling_a(load, self.basis), part_limit_a(load, self.basis))

    @property
    def material(self) -> Material:
        """The metal of the conductors."""
        return self.conditions.material

    @property
    def sizes(self) -> tuple[str, ...]:
        """The sizes that the wiring method is made in."""
        return self.conditions.sizes(self.basis)

    @property
    def drop_limits(self) -> Mapping[str, float]:
        """The limits of branch circuit, and of feeder and branch circuit where the basis states it."""
        return conductor.drop_limits(self.basis)

    def rate(self, load: Load) -> Ratings:
        """Return the ratings of a circuit."""
        return branch_rating.rate(load, self.basis, self.not_continuous)

    def judge(self, size: str, demand: Demand) -> Candidate:
        """Return a size with every rule put to it."""
        return conductor.judge(size, demand, self.conditions, basis=self.basis)

    def none_suits(self, wrong: str, where: tuple[str | int, ...]) -> CannotCompute:
        """Return the refusal: at the wiring method where others are made larger, else at `where`."""
        method, material, every = self.conditions.method, self.material, self.basis.header.sizes
        if method is None or self.sizes[-1] == every[-1]:
            return CannotCompute(where, wrong, "fewer conductors together, a cooler route, or another wiring method")
        wrong = f"{method.title} is made to {self.sizes[-1]} {material}, and {wrong}"
        held = self.basis.methods.methods.items()
        larger = [name for name, one in held if one.made(material, every)[-1] != self.sizes[-1]]
        return CannotCompute(("route", "method"), wrong, f"a method made in larger sizes: {', '.join(larger)}")

    def ground(self, *, device_a: float, needed: str, installed: str) -> Ground:
        """Return the equipment grounding conductor."""
        return grounding.ground(self.basis, self.material, device_a=device_a, needed=needed, installed=installed)

    def resistance_ohm_m(self, size: str) -> float:
        """Return the resistance of one conductor [ohm/m]."""
        return conductor.resistance_ohm_m(size, self.conditions, self.basis)

    @property
    def document(self) -> str:
        """Document and edition."""
        return self.basis.rules.cite("")

    def capacity_steps(self, capacity: Capacity) -> tuple[Step, ...]:
        """Return the working of an ampacity."""
        return ampacity_steps(capacity, self.conditions, self.basis)

    def limits(self, candidate: Candidate) -> Iterator[Limit]:
        """Yield the limits of a size."""
        found, steps = (
            candidate.capacity,
            {step.result.symbol: step for step in self.capacity_steps(candidate.capacity)},
        )
        checked = zip(candidate.checks, check_steps(candidate, self.document), strict=True)
        device = [(check.allowed_a, step) for check, step in checked if check.by_device]
        corrected = tuple(steps[symbol] for symbol in ("A_0", "k_a", "k_n", "A_1"))
        yield found.table_a, corrected[:1]
        yield found.corrected_a, corrected
        yield found.termination_a, (steps["A_2"],)
        yield found.method_a, (steps["A_3"],) if "A_3" in steps else ()
        yield found.usable_a, tuple(steps.values())
        yield min(allowed_a for allowed_a, _ in device), tuple(step for _, step in device)

    def resistance_step(self, size: str) -> Step:
        """Return the step that states the resistance of a size."""
        table, column = conductor.resistance_table(size, self.conditions, self.basis)
        value = Value("r", self.resistance_ohm_m(size), "resistance_per_length", "at_least")
        return Step(say("resistance-at-75"), (text("S", size), text(say("column"), column)), value, table.source)

    def rating_figures(self, circuit: Circuit) -> tuple[Figure, Figure, Figure, Figure]:
        """Return floor, recommended, ceiling and device."""
        return branch_rating.rating_figures(circuit.load, circuit.ratings, self.basis)

    def ground_steps(self, ground: Ground) -> tuple[Step, ...]:
        """Return the working of the grounding conductor."""
        return grounding.ground_steps(ground, self.material, self.basis)

    def about_circuit(self, at: Wired) -> Iterator[Judgement]:
        """Yield device, wiring method and subdivision."""
        yield supply_system(at.site, at.circuits[0].load.connection, self.basis.rules.sources)
        yield worst(map(circuit_findings.circuit_device, at.circuits))
        yield circuit_findings.wiring_method(at.site, self.conditions, self.basis.rules.sources)
        yield agricultural_wiring(at.site, self.conditions, self.basis.rules.sources)
        yield worst(map(circuit_findings.element_subdivision, at.circuits))

    def about_people(self, at: Wired) -> Iterator[Judgement]:
        """Yield ground-fault and arc-fault protection, and the marking of the limiter."""
        largest_a = max(circuit.ratings.device_a for circuit in at.circuits)
        connection = at.circuits[0].load.connection
        yield ground_fault_protection(at.site, connection, largest_a, basis=self.basis)
        yield arc_fault_protection(at.site, connection, largest_a, basis=self.basis)
        yield circuit_findings.limiter_marking(at.model, self.basis)

    def about_existing(self, at: Wired, existing: ExistingCircuit) -> Iterator[Judgement]:
        """Yield device, conductor, poles, neutral and ground."""
        found, conditions = existing_findings, self.conditions
        if existing.insulation is not None:
            conditions = as_found(conditions, at.site, existing.insulation, basis=self.basis)
        yield worst(found.existing_device(circuit, existing) for circuit in at.circuits)
        there = (replace(circuit, rules=replace(self, conditions=conditions)) for circuit in at.circuits)
        yield worst(found.existing_conductor(circuit, existing, conditions) for circuit in there)
        yield worst(found.existing_poles(circuit, existing) for circuit in at.circuits)
        yield worst(found.existing_neutral(circuit, existing) for circuit in at.circuits)
        yield worst(found.existing_ground(circuit, existing, conditions.method_id) for circuit in at.circuits)

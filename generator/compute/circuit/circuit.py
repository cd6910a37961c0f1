"""One branch circuit, from its load to its grounding conductor, and the rules that a family of codes sizes it by."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import ClassVar

from generator.compute.circuit.candidate import Candidate, Capacity, Demand, Limit, smallest_that_suits
from generator.compute.circuit.drop.voltage_drop import Wires
from generator.compute.circuit.load import Load
from generator.compute.circuit.supply_connection import Ranges, SupplyConnection
from generator.errors import CannotCompute
from generator.model.figures import Figure, FigureTable, Step
from generator.model.finding_rules import Judgement
from generator.model.heater import HeaterModel, Material, Terminals
from generator.model.site import ExistingCircuit, Site
from generator.model.tables.codes import CodeBasis


@dataclass(frozen=True, slots=True)
class Ratings:
    """Least rating by the code, recommended rating, and the device chosen [A].

    `ceiling_a`: the greatest device that heater and code allow, infinite where only the conductor sets one. `factor`:
    what the choice multiplies the load by; `not_continuous`: why that is 1, where the site says so.
    """

    floor_a: float
    recommended_a: float
    ceiling_a: float
    device_a: float
    factor: float = 1.0
    not_continuous: str | None = None


@dataclass(frozen=True, slots=True)
class Ground:
    """The grounding or protective conductor beside line conductors of the size `installed`, on a device [A].

    `least`: by the table. `grown`: in proportion to line conductors larger than the size `needed`; None where they are
    not. `size`: what it comes to.
    """

    size: str
    installed: str
    device_a: float
    needed: str
    least: str
    grown: str | None = None


@dataclass(frozen=True, slots=True)
class Laid:
    """Length one way [m], size of the conductors of an existing circuit (None: laid new), most stages that close."""

    length_m: float
    existing: str | None
    selected: int


@dataclass(frozen=True)
class Rules(ABC):
    """What a family of codes says of a circuit under its conditions: sizes, then their working, then findings.

    `TO_NEUTRAL`: rated voltages between line and neutral; `GROUND`: what the family calls that conductor; `POLES`: how
    it counts poles; `HEADS` (by the end of an id) and `NO_LIMIT`: columns of the table of sizes tried, and what a cell
    without a limit means; `TABLES`: what it shows besides; `DEVICE`: what more is asked of a circuit's device;
    `REFUSALS`: what cannot be true of a listed heater, refused with CannotCompute.
    """

    basis: CodeBasis

    TO_NEUTRAL: ClassVar[Ranges]
    GROUND: ClassVar[str]
    POLES: ClassVar[str]
    HEADS: ClassVar[Mapping[str, str]]
    NO_LIMIT: ClassVar[str]
    TABLES: ClassVar[tuple[Callable[[Load, CodeBasis], tuple[FigureTable, ...]], ...]] = ()
    DEVICE: ClassVar[tuple[Callable[[Load, CodeBasis], Figure], ...]] = ()
    REFUSALS: ClassVar[tuple[Callable[[Load, CodeBasis], None], ...]] = ()

    @classmethod
    @abstractmethod
    def at_site(cls, site: Site, model: HeaterModel, connection: SupplyConnection, *, basis: CodeBasis) -> Rules:
        """Return the rules under the conditions of a site; CannotCompute for what the basis does not hold."""

    @classmethod
    @abstractmethod
    def by_nameplate(cls, model: HeaterModel, connection: SupplyConnection, basis: CodeBasis) -> Rules:
        """Return the rules under the basis's reference conditions."""

    @staticmethod
    @abstractmethod
    def continuous(basis: CodeBasis) -> float:
        """Return the factor of a load that runs for hours."""

    @staticmethod
    @abstractmethod
    def poles(connection: SupplyConnection) -> int:
        """Return the poles of the device."""

    @abstractmethod
    def plausible_device_a(self, load: Load) -> float:
        """Return the greatest device [A] that a maker would mark for a load; CannotCompute above the table."""

    @property
    @abstractmethod
    def material(self) -> Material:
        """The metal of the conductors."""

    @property
    @abstractmethod
    def sizes(self) -> tuple[str, ...]:
        """The sizes that may be laid, rising."""

    @property
    @abstractmethod
    def drop_limits(self) -> Mapping[str, float]:
        """The recommended limits of the voltage drop by what is supplied, as ratios."""

    @abstractmethod
    def rate(self, load: Load) -> Ratings:
        """Return the ratings of a circuit; CannotCompute beyond the standard ratings."""

    @abstractmethod
    def judge(self, size: str, demand: Demand) -> Candidate:
        """Return a size with every rule put to it; MissingCell where the basis holds no capacity for it."""

    @abstractmethod
    def none_suits(self, wrong: str, where: tuple[str | int, ...]) -> CannotCompute:
        """Return the refusal of a load that no size carries."""

    @abstractmethod
    def ground(self, *, device_a: float, needed: str, installed: str) -> Ground:
        """Return the conductor to ground; CannotCompute beyond its table."""

    @abstractmethod
    def resistance_ohm_m(self, size: str) -> float:
        """Return the resistance of one conductor [ohm/m]; CannotCompute for a size not held."""

    @property
    @abstractmethod
    def document(self) -> str:
        """What goes before the clause of a check."""

    @abstractmethod
    def capacity_steps(self, capacity: Capacity) -> tuple[Step, ...]:
        """Return the working of a capacity."""

    @abstractmethod
    def limits(self, candidate: Candidate) -> Iterator[Limit]:
        """Yield what stands under each of `HEADS` for a size."""

    @abstractmethod
    def resistance_step(self, size: str) -> Step:
        """Return the step that states the resistance of a size."""

    @abstractmethod
    def rating_figures(self, circuit: Circuit) -> tuple[Figure, Figure, Figure, Figure]:
        """Return floor, recommended, ceiling and device."""

    @abstractmethod
    def ground_steps(self, ground: Ground) -> tuple[Step, ...]:
        """Return the working of the conductor to ground."""

    @abstractmethod
    def about_circuit(self, at: Wired) -> Iterator[Judgement]:
        """Yield the findings about the circuits as they are sized."""

    @abstractmethod
    def about_people(self, at: Wired) -> Iterator[Judgement]:
        """Yield the findings about what guards people at the heater."""

    @abstractmethod
    def about_existing(self, at: Wired, existing: ExistingCircuit) -> Iterator[Judgement]:
        """Yield the findings about a circuit that is there already."""


@dataclass(frozen=True, slots=True)
class Circuit:
    """A circuit with all that its figures and findings rest on. `laid` None: a model alone, with no run."""

    load: Load
    rules: Rules
    ratings: Ratings
    tried: tuple[Candidate, ...]
    ground: Ground
    terminals: Terminals
    laid: Laid | None

    @property
    def size(self) -> str:
        """The line conductors' size."""
        return self.tried[-1].size

    @property
    def installed(self) -> str:
        """The size of the conductors in the run: an existing circuit's where there is one, else the size to lay."""
        return (self.laid.existing if self.laid else None) or self.size

    def wires(self, size: str) -> Wires:
        """Return the run with conductors of `size`; of no length for a model alone. Larger sizes may stand in."""
        sizes = self.rules.sizes
        return Wires(
            size=size,
            length_m=self.laid.length_m if self.laid else 0.0,
            resistance_ohm_m=self.rules.resistance_ohm_m,
            sizes=sizes[sizes.index(self.size) :],
            limits=self.rules.drop_limits,
        )

    def ground_beside(self, installed: str) -> Ground:
        """Return the conductor to ground beside line conductors of the size `installed`."""
        return self.rules.ground(device_a=self.ratings.device_a, needed=self.ground.needed, installed=installed)


@dataclass(frozen=True, slots=True)
class Wired:
    """A site, its heater, and the circuits that they take, one a feed."""

    site: Site
    model: HeaterModel
    circuits: tuple[Circuit, ...]


def design(load: Load, rules: Rules, terminals: Terminals, *, laid: Laid | None = None) -> Circuit:
    """Return the circuit of one load. CannotCompute for what the basis cannot state."""
    ratings = rules.rate(load)
    demand = Demand(load.current_a, ratings.factor, ratings.device_a)
    tried = smallest_that_suits(rules.sizes, lambda size: rules.judge(size, demand), terminals.smallest)
    if not tried:
        wrong = f"no size to {rules.sizes[-1]} carries {load.current_a:.1f} A here on a {ratings.device_a:g} A device"
        raise rules.none_suits(wrong, load.where if laid is None else ("route",))
    # The smallest size that carries the load; the heater's smallest terminal may ask for a larger one.
    needed = next(one.size for one in tried if one.carries)
    ground = rules.ground(device_a=ratings.device_a, needed=needed, installed=tried[-1].size)
    return Circuit(load, rules, ratings, tried, ground, terminals, laid)

"""What the conductors of a circuit meet on their way: method, insulation, ambient, company, terminals."""

from __future__ import annotations

from dataclasses import dataclass

from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.values import celsius
from generator.errors import CannotCompute
from generator.model.heater import HeaterModel
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis, WiringMethod

REFERENCE_METHOD, REFERENCE_INSULATION = "A1", "PVC"  # a model's own page: the method that carries least in air
TERMINAL_INSULATION = "PVC"  # the insulation whose conductor temperature ordinary terminals stand


@dataclass(frozen=True, slots=True)
class Conditions:
    """The conditions of the conductors; temperatures in [degC], of the ground for a buried method.

    `loaded`: loaded conductors, 2 or 3. `circuits`: circuits in the group, this heater's included. `grouping`: the
    column of the grouping table, None for a method that has none. `terminations_c`: what the terminals stand.
    """

    method_id: str
    method: WiringMethod
    insulation: str
    insulation_c: float
    loaded: int
    ambient_c: float
    circuits: int
    grouping: str | None
    terminations_c: float

    @property
    def column(self) -> str:
        """The column of the capacity table."""
        return f"{self.method_id} {self.insulation} {self.loaded}"


def site_conditions(site: Site, model: HeaterModel, connection: SupplyConnection, *, basis: CodeBasis) -> Conditions:
    """Return the conditions at a site; CannotCompute for what the basis does not hold."""
    route = site.route
    if route.conductor != "copper":
        wrong = f"the basis {basis.id} holds copper conductors only, not {route.conductor}"
        raise CannotCompute(("route", "conductor"), wrong, "copper")
    method = _method(route.method, basis)
    _insulation(route.insulation, method, basis)
    feeds = len(model.electrical.feeds) if route.feeds_share_raceway else 1
    circuits = feeds + route.other_circuits
    terminations_c = celsius(min(route.terminations_k, model.electrical.terminals.temperature_k))
    return Conditions(
        method_id=route.method,
        method=method,
        insulation=route.insulation,
        insulation_c=basis.methods.insulations[route.insulation].dry_c,
        loaded=_loaded(connection),
        ambient_c=celsius(route.ambient_k),
        circuits=circuits,
        grouping=_grouping(site, method, circuits),
        terminations_c=_terminations(terminations_c, basis, ("route", "terminations")),
    )


def reference_conditions(model: HeaterModel, connection: SupplyConnection, basis: CodeBasis) -> Conditions:
    """Return the conditions of a model's own page: one PVC circuit by the method that carries least in air."""
    terminals = celsius(model.electrical.terminals.temperature_k)
    method = _method(REFERENCE_METHOD, basis)
    _insulation(REFERENCE_INSULATION, method, basis)
    return Conditions(
        method_id=REFERENCE_METHOD,
        method=method,
        insulation=REFERENCE_INSULATION,
        insulation_c=basis.methods.insulations[REFERENCE_INSULATION].dry_c,
        loaded=_loaded(connection),
        ambient_c=basis.header.reference_ambient_c,
        circuits=1,
        grouping=next(iter(method.grouping_columns), None),
        terminations_c=_terminations(terminals, basis, ("electrical", "terminals", "temperature")),
    )


def _loaded(connection: SupplyConnection) -> int:
    """Return the loaded conductors: a neutral of a balanced three-phase circuit carries nothing (523.6)."""
    return 3 if connection.phases == 3 else 2


def _method(name: str, basis: CodeBasis) -> WiringMethod:
    if name not in basis.methods.methods:
        wrong = f"the basis {basis.id} has no installation method '{name}'"
        raise CannotCompute(("route", "method"), wrong, f"one of {', '.join(basis.methods.methods)}")
    return basis.methods.methods[name]


def _insulation(name: str, method: WiringMethod, basis: CodeBasis) -> None:
    if name not in method.insulations or name not in basis.methods.insulations:
        wrong = f"the basis {basis.id} holds no '{name}' insulation for this method"
        raise CannotCompute(("route", "insulation"), wrong, f"one of {', '.join(method.insulations)}")


def _grouping(site: Site, method: WiringMethod, circuits: int) -> str | None:
    wanted = site.route.arrangement
    if not method.grouping_columns:
        if circuits > 1:
            wrong = f"{circuits} circuits run together in the ground, and the basis holds no reduction for that"
            raise CannotCompute(("route", "other_circuits"), wrong, "one circuit by itself, or a route in air")
        return None
    if wanted is None:
        return method.grouping_columns[0]
    if wanted not in method.grouping_columns:
        wrong = f"'{wanted}' is no arrangement of this installation method"
        raise CannotCompute(("route", "arrangement"), wrong, f"one of {', '.join(method.grouping_columns)}")
    return wanted


def _terminations(rating_c: float, basis: CodeBasis, where: tuple[str, ...]) -> float:
    least = basis.methods.insulations[TERMINAL_INSULATION].dry_c
    if rating_c < least:
        wrong = f"terminals rated {rating_c:g} degC, below what any conductor of the basis reaches"
        raise CannotCompute(where, wrong, f"{least:g} degC or more")
    return rating_c

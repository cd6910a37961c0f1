"""What the conductors of a circuit meet on their way: method, insulation, ambient, company, terminals."""

from __future__ import annotations

from dataclasses import dataclass, replace

from generator.compute.circuit.supply_connection import SupplyConnection
from generator.compute.circuit.us.system_finding import wye
from generator.compute.circuit.values import celsius
from generator.errors import CannotCompute
from generator.model.heater import HeaterModel, Material
from generator.model.site import Site
from generator.model.tables.codes import CodeBasis, Insulation, WiringMethod

# Columns of the ampacity table. The 90 degC one serves as the start of correction only: equipment of 1000 V or less
# is not listed for 90 degC terminations (110.14(C)(1)).
COLUMNS_C = (60, 75, 90)
HIGHEST_TERMINATION_C = 75


# What is not rated for the wet of a route: the insulation for a damp or a wet place, or the method for a wet one.
UNFIT = ("insulation-damp", "insulation-wet", "method-wet")


@dataclass(frozen=True, slots=True)
class Conditions:
    """The conditions of the conductors; temperatures in [degC], `carrying` counts current-carrying conductors.

    `method` None: no wiring method is named, as on a model's own page. `insulation_c` and `termination_c` are columns
    of the ampacity table. `unfit`: what is not rated for a place as wet as this, one of UNFIT, or empty. `method_id`:
    the method's name in the basis, empty where none is named.
    """

    method: WiringMethod | None
    material: Material
    insulation: str
    insulation_c: int
    ambient_c: float
    carrying: int
    termination_c: int
    unfit: str = ""
    method_id: str = ""

    def sizes(self, basis: CodeBasis) -> tuple[str, ...]:
        """Return the sizes of the basis that the wiring method is made in, rising; all where no method is named."""
        held = basis.header.sizes
        return self.method.made(self.material, held) if self.method else held


def carrying_of_one(connection: SupplyConnection, on_wye: bool) -> int:
    """Return the current-carrying conductors of one circuit.

    A neutral counts in a two-wire circuit to neutral and in three wires of a wye system; not where it carries only
    the unbalance of the line conductors: 310.15(E). Grounding conductors never count.

    >>> from generator.model.heater import Rating
    >>> single = Rating(voltage_v=208.0, phases=1, power_w=8300.0)
    >>> carrying_of_one(SupplyConnection(single, 208.0, False, neutral=True), on_wye=True)  # 310.15(E)(2), from memory
    3
    """
    if connection.to_neutral:
        return 2
    neutral_counts = connection.neutral and on_wye and connection.lines == 2
    return connection.lines + neutral_counts


def site_conditions(site: Site, model: HeaterModel, connection: SupplyConnection, *, basis: CodeBasis) -> Conditions:
    """Return the conditions at a site; CannotCompute for what the basis does not hold."""
    route = site.route
    method = _method(site, basis)
    insulation = _insulation(site, method, basis)
    rating = _rating(site, insulation)
    feeds = len(model.electrical.feeds) if route.feeds_share_raceway else 1
    return Conditions(
        method=method,
        material=route.conductor,
        insulation=route.insulation,
        insulation_c=_column(rating or insulation.dry_c, ("route", "insulation")),
        ambient_c=celsius(route.ambient_k),
        carrying=feeds * carrying_of_one(connection, wye(site, connection)) + route.other_conductors,
        termination_c=termination_column(min(route.terminations_k, model.electrical.terminals.temperature_k)),
        unfit=_unfit(site, method, rating),
        method_id=route.method,
    )


def as_found(conditions: Conditions, site: Site, insulation: str, *, basis: CodeBasis) -> Conditions:
    """Return the conditions with the conductors of an existing circuit, of the type that is marked on them."""
    found = basis.methods.insulations[insulation]
    rating, method = _rating(site, found), conditions.method
    return replace(
        conditions,
        insulation=insulation,
        insulation_c=_column(rating or found.dry_c, ("existing_circuit", "insulation")),
        unfit=_unfit(site, method, rating) if method else "",
    )


def reference_conditions(model: HeaterModel, connection: SupplyConnection, basis: CodeBasis) -> Conditions:
    """Return the conditions of a model's own page: one copper circuit at the reference ambient, 90 degC insulation."""
    return Conditions(
        method=None,
        material="copper",
        insulation="90 degC",
        insulation_c=90,
        ambient_c=basis.header.reference_ambient_c,
        carrying=carrying_of_one(connection, on_wye=False),
        termination_c=termination_column(model.electrical.terminals.temperature_k),
    )


def termination_column(rating_k: float) -> int:
    """Return the ampacity column [degC] for terminals rated `rating_k` [K]: 60 or 75, never the 90 of the conductor.

    CannotCompute below 60 degC. Source: 110.14(C)(1).

    >>> termination_column(363.15)  # marked 90 degC: 110.14(C)(1)(b) lists equipment to 75 degC, from memory
    75
    """
    return min(_column(celsius(rating_k), ("route", "terminations")), HIGHEST_TERMINATION_C)


def _column(rating_c: float, where: tuple[str, ...]) -> int:
    fitting = [column for column in COLUMNS_C if column <= rating_c]
    if not fitting:
        raise CannotCompute(where, f"rated {rating_c:g} degC, below every ampacity column", "60 degC or more")
    return max(fitting)


def _rating(site: Site, insulation: Insulation) -> float | None:
    """Return the rating [degC] of an insulation where the route runs; None where it is not for so wet a place."""
    if site.route.wet or site.place.wet:
        return insulation.wet_c
    return insulation.damp_c if site.place.kind == "damp" else insulation.dry_c


def _unfit(site: Site, method: WiringMethod, rating_c: float | None) -> str:
    """Return which of UNFIT the route is; empty where method and insulation suit. `rating_c`: the insulation's."""
    place = "wet" if site.route.wet or site.place.wet else "damp"
    if rating_c is None:
        return f"insulation-{place}"
    return "method-wet" if place == "wet" and method.wet_location is False else ""


def _method(site: Site, basis: CodeBasis) -> WiringMethod:
    methods = basis.methods.methods
    if site.route.method not in methods:
        wrong = f"the basis {basis.id} has no wiring method '{site.route.method}'"
        raise CannotCompute(("route", "method"), wrong, f"one of {', '.join(methods)}")
    return methods[site.route.method]


def _insulation(site: Site, method: WiringMethod, basis: CodeBasis) -> Insulation:
    name = site.route.insulation
    if name not in method.insulations:
        wrong = f"{method.title} is not made with '{name}' conductors"
        raise CannotCompute(("route", "insulation"), wrong, f"one of {', '.join(method.insulations)}")
    return basis.methods.insulations[name]

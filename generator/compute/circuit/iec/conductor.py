"""The conductor by IEC 60364: the rules put to each size, what it resists, and the protective conductor beside it.

IEC 60364-4-43, 433.1: Ib <= In <= Iz and I2 <= 1.45 Iz, I2 being the current that opens the device within the
conventional time. The resistance is rho over area, rho being 1.25 times that at
20 degC (60364-5-52 annex G). The protective conductor goes by the line conductor, of the same metal, run with it
(60364-5-54 table 54.2).
"""

from __future__ import annotations

from generator.compute.circuit.candidate import Candidate, Check, Demand
from generator.compute.circuit.circuit import Ground
from generator.compute.circuit.iec.capacity import capacity
from generator.compute.circuit.iec.conditions import Conditions
from generator.compute.circuit.sizes import area_mm2
from generator.compute.circuit.stated_by_basis import stated
from generator.errors import CannotCompute, MissingCell
from generator.model.said import say
from generator.model.tables.basis_header import Resistivity
from generator.model.tables.codes import CodeBasis


def judge(size: str, demand: Demand, conditions: Conditions, *, basis: CodeBasis) -> Candidate:
    """Return `size` with every rule put to it, for a design current Ib and a device In [A].

    MissingCell where the capacity table does not hold the size.
    """
    found, overcurrent = capacity(size, conditions, basis), basis.rules.source_of("circuit-device")
    load_a, device_a, usable_a = demand.load_a, demand.device_a, found.usable_a
    within, opens = say("i-n-in-i-z"), stated(basis.header.conventional_current, "conventional_current", basis)
    checks = (
        Check(say("device-in-capacity"), overcurrent, device_a, usable_a, within, by_device=True),
        Check(
            say("conventional-rule", factor=opens),
            basis.rules.source_of("conventional-current"),
            opens * device_a,
            opens * usable_a,
            say("conventional-currents", factor=opens),
        ),
        Check(say("design-in-capacity"), overcurrent, load_a, usable_a, say("i-b-in-i-z")),
    )
    return Candidate(size, found, checks)


def resistance_ohm_m(size: str, basis: CodeBasis) -> float:
    """Return the resistance [ohm/m] of one copper conductor of `size`: rho [ohm mm2/m] over its area [mm2].

    Range: in normal service, rho being 1.25 times that at 20 degC. Source: IEC 60364-5-52 annex G.
    """
    return copper(basis).value / area_mm2(size)


def copper(basis: CodeBasis) -> Resistivity:
    """Return the resistivity of copper that the basis states."""
    return stated(basis.header.conductor_resistivity.copper, "conductor_resistivity", basis)


def drop_limits(basis: CodeBasis) -> dict[str, float]:
    """Return the recommended limit of the voltage drop of uses other than lighting, as a ratio."""
    return {"other-uses": stated(basis.header.voltage_drop.other_uses, "voltage_drop", basis).limit}


def protective(basis: CodeBasis, *, device_a: float, needed: str, installed: str) -> Ground:
    """Return the protective conductor for line conductors of the size `installed`; CannotCompute off the table."""
    table = basis.tables["protective_conductor"]
    try:
        found = table.text(installed, "copper")
    except MissingCell as missing:
        raise CannotCompute(("existing_circuit", "conductor"), str(missing), "a size of the basis") from None
    return Ground(found, installed, device_a, needed, least=found)

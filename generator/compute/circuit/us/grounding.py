"""The equipment grounding conductor: Table 250.122 by the device, enlarged with the line conductors.

250.122(B): where the line conductors are larger than the circuit needs, for voltage drop, for the heater's smallest
terminal or any reason but correction and adjustment, the grounding conductor grows in the same ratio of circular mils.
250.122(A): it need never be larger than the line conductors.
"""

from __future__ import annotations

from generator.compute.circuit.circuit import Ground
from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.values import amps, text
from generator.errors import CannotCompute, MissingCell
from generator.model.figures import Step, Value
from generator.model.said import say
from generator.model.tables.codes import CodeBasis


def least_ground(basis: CodeBasis, material: str, *, device_a: float) -> str:
    """Return the size by Table 250.122 [the device in A]; CannotCompute above the table."""
    table = basis.tables["grounding_conductor"]
    try:
        return table.text(table.band(device_a), material)
    except MissingCell as missing:
        raise CannotCompute(("route",), str(missing), "a device that the table covers") from None


def greatest_device_a(basis: CodeBasis) -> float:
    """Return the greatest device [A] that the table of grounding conductors is held for."""
    return max(float(row) for row in basis.tables["grounding_conductor"].rows)


def ground(basis: CodeBasis, material: str, *, device_a: float, needed: str, installed: str) -> Ground:
    """Return the grounding conductor on a device [A], line conductors being `installed` where `needed` would do.

    The size of Table 250.122; where `installed` is larger than `needed`, the next size up of A_g × A_2 / A_1 in
    circular mils, 250.122(B); never larger than the line conductors, 250.122(A). CannotCompute above the table.
    """
    least = least_ground(basis, material, device_a=device_a)
    grown = None
    if _area(installed, basis) > _area(needed, basis):
        wanted = _area(least, basis) * _area(installed, basis) / _area(needed, basis)
        grown = _size_of(wanted, installed, basis)
    size = grown or least
    return Ground(installed if smaller(installed, size) else size, installed, device_a, needed, least, grown)


def ground_steps(found: Ground, material: str, basis: CodeBasis) -> tuple[Step, ...]:
    """Return the working of a grounding conductor."""
    source_of, inputs = basis.rules.source_of, (amps("I_n", found.device_a), text(say("metal"), material))
    source = basis.tables["grounding_conductor"].source
    steps = [Step(say("ground-for-device"), inputs, text("S_g", found.least), source)]
    if found.grown is not None:
        named = {"A_g": found.least, "A_2": found.installed, "A_1": found.needed}
        areas = tuple(_cmil(symbol, _area(size, basis)) for symbol, size in named.items())
        formula = say("ground-grown")
        steps.append(Step(formula, areas, text("S_g", found.grown), source_of("ground-enlarged")))
    if found.size != (found.grown or found.least):
        formula = say("ground-at-most")
        steps.append(Step(formula, (), text("S_g", found.size), source_of("ground-at-most")))
    return tuple(steps)


def _area(size: str, basis: CodeBasis) -> float:
    """Return the area of `size` [circular mils]."""
    return basis.tables["area"].cell(size, "area")


def _size_of(area_cmil: float, largest: str, basis: CodeBasis) -> str:
    """Return the least size of at least this area, or `largest` if that comes first."""
    for size in basis.header.sizes:
        if size == largest or _area(size, basis) >= area_cmil:
            return size
    return largest


def _cmil(symbol: str, area: float) -> Value:
    return Value(symbol, area * 5.067074790974977e-10, "area")

"""The equipment grounding conductor: Table 250.122 by the device, enlarged with the line conductors.

250.122(B): where the line conductors are larger than the circuit needs, for voltage drop, for the heater's smallest
terminal or any reason but correction and adjustment, the grounding conductor grows in the same ratio of circular mils.
250.122(A): it need never be larger than the line conductors.
"""

from __future__ import annotations

from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.working import amps, text
from generator.errors import CannotCompute, MissingCell
from generator.model.codes import CodeBasis
from generator.model.figures import Step, Value


def least_ground(device_a: float, material: str, basis: CodeBasis, where: tuple[str | int, ...]) -> tuple[str, Step]:
    """Return the size by Table 250.122 and its step; CannotCompute above the table."""
    table = basis.tables["grounding_conductor"]
    try:
        size = table.text(table.band(device_a), material)
    except MissingCell as missing:
        raise CannotCompute(where, str(missing), "a device that the table covers") from None
    inputs = (amps("I_n", device_a), text("metal", material))
    return size, Step("S_g = size for a device of I_n", inputs, text("S_g", size), table.source)


def greatest_device_a(basis: CodeBasis) -> float:
    """Return the greatest device [A] that the table of grounding conductors is held for."""
    return max(float(row) for row in basis.tables["grounding_conductor"].rows)


def ground(
    device_a: float,
    material: str,
    needed: str,
    installed: str,
    basis: CodeBasis,
    where: tuple[str | int, ...] = ("route",),
) -> tuple[str, tuple[Step, ...]]:
    """Return the grounding conductor's size and working, line conductors being `installed` where `needed` would do."""
    least, step = least_ground(device_a, material, basis, where)
    size, steps = least, [step]
    area = {name: basis.tables["area"].cell(name, "area") for name in (least, needed, installed)}
    if area[installed] > area[needed]:
        size = _size_of(area[least] * area[installed] / area[needed], installed, basis)
        inputs = (_cmil("A_g", area[least]), _cmil("A_2", area[installed]), _cmil("A_1", area[needed]))
        source = basis.rules.source_of("ground-enlarged")
        steps.append(Step("S_g = next size up of A_g × A_2 / A_1", inputs, text("S_g", size), source))
    if smaller(installed, size):
        size, source = installed, basis.rules.source_of("ground-at-most")
        steps.append(Step("S_g = size of the line conductors, at most", (), text("S_g", size), source))
    return size, tuple(steps)


def _size_of(area_cmil: float, largest: str, basis: CodeBasis) -> str:
    """Return the least size of at least this area, or `largest` if that comes first."""
    for size in basis.header.sizes:
        if size == largest or basis.tables["area"].cell(size, "area") >= area_cmil:
            return size
    return largest


def _cmil(symbol: str, area: float) -> Value:
    return Value(symbol, area * 5.067074790974977e-10, "area")

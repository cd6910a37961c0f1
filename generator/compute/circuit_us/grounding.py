"""The equipment grounding conductor: Table 250.122 by the device, enlarged with the line conductors.

250.122(B): where the line conductors are larger than the circuit needs, for voltage drop or any reason but correction
and adjustment, the grounding conductor grows in the same ratio of circular mils. 250.122(A): it need never be larger
than the line conductors.
"""

from __future__ import annotations

from generator.compute.circuit.working import amps, text
from generator.compute.circuit_us.clauses import clause
from generator.errors import CannotCompute, MissingCell
from generator.model.codes import CodeBasis
from generator.model.figures import Step, Value


def least_ground(device_a: float, material: str, basis: CodeBasis) -> tuple[str, Step]:
    """Return the size by Table 250.122 and its step; CannotCompute above the table."""
    table = basis.tables["grounding_conductor"]
    try:
        size = table.text(table.band(device_a), material)
    except MissingCell as missing:
        raise CannotCompute(("route",), str(missing), "a device that the table covers") from None
    inputs = (amps("device", device_a), text("conductor", material))
    return size, Step("size for the device", inputs, text("ground", size), table.source)


def ground(
    device_a: float, material: str, needed: str, installed: str, basis: CodeBasis
) -> tuple[str, tuple[Step, ...]]:
    """Return the grounding conductor's size and working, line conductors being `installed` where `needed` would do."""
    size, step = least_ground(device_a, material, basis)
    steps = [step]
    areas = {name: basis.tables["area"].cell(name, "area") for name in (size, needed, installed)}
    if areas[installed] > areas[needed]:
        grown = areas[size] * areas[installed] / areas[needed]
        size = _size_of(grown, installed, basis)
        inputs = (_cmil("Ag", areas[steps[0].result.value]), _cmil("A2", areas[installed]), _cmil("A1", areas[needed]))  # type: ignore[index]
        steps.append(Step("Ag x A2 / A1, next size up", inputs, text("ground", size), clause(basis, "250.122(B)")))
    if basis.tables["area"].cell(size, "area") > areas[installed]:
        size = installed
        note = "never larger than the line conductors"
        steps.append(Step("size of the line conductors", (), text("ground", size), clause(basis, "250.122(A)"), note))
    return size, tuple(steps)


def _size_of(area_cmil: float, largest: str, basis: CodeBasis) -> str:
    """Return the least size of at least this area, or `largest` if that comes first."""
    for size in basis.header.sizes:
        if size == largest or basis.tables["area"].cell(size, "area") >= area_cmil:
            return size
    return largest


def _cmil(symbol: str, area: float) -> Value:
    return Value(symbol, area * 5.067074790974977e-10, "area")

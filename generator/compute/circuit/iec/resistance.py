"""The resistance of a conductor by IEC 60364-5-52 annex G: rho over area, rho being 1.25 times that at 20 degC."""

from __future__ import annotations

from generator.compute.circuit.sizes import area_mm2
from generator.compute.circuit.working import text
from generator.model.codes import CodeBasis
from generator.model.figures import Step, Value


def resistance(size: str, basis: CodeBasis) -> tuple[float, Step]:
    """Return the resistance [ohm/m] of one copper conductor of `size`, and its step."""
    rho = basis.header.conductor_resistivity.copper
    assert rho is not None  # the reader asks every basis of this family for it
    found = rho.value / area_mm2(size)
    inputs = (text("ρ", f"{rho.value:g} {rho.unit}"), text("S", size))
    return found, Step(
        "r = ρ / S",
        inputs,
        Value("r", found, "resistance_per_length", "up"),
        basis.rules.source_of("conductor-resistance"),
    )

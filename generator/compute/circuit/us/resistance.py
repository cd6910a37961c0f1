"""The resistance of a conductor: Chapter 9 Table 8 (direct current, stranded) to 1/0 AWG, Table 9 above.

To 1/0 AWG the two agree within Table 9's two figures, and Table 8 is the finer. The stranded value also stands for
solid conductors, which have about 2 % less: the safe side. Both tables hold at 75 degC; a cooler conductor drops less.
"""

from __future__ import annotations

from generator.compute.circuit.sizes import smaller
from generator.compute.circuit.us.conditions import Conditions
from generator.compute.circuit.working import text
from generator.errors import CannotCompute, MissingCell
from generator.model.codes import CodeBasis
from generator.model.figures import Step, Value

OHM_PER_KFT = 1.0 / 304.8  # ohm/m
LARGEST_BY_TABLE_8 = "1/0 AWG"
NO_METHOD_CONDUIT = "steel"  # the higher column, where no method is named


def resistance(size: str, conditions: Conditions, basis: CodeBasis) -> tuple[float, Step]:
    """Return the resistance [ohm/m] of one conductor of `size` and its step; CannotCompute for a size not held."""
    material = conditions.material
    if smaller(LARGEST_BY_TABLE_8, size):
        table = basis.tables["ac_resistance"]
        conduit = conditions.method.conduit_material if conditions.method else None
        column = f"{material} {conduit or NO_METHOD_CONDUIT}"
    else:
        table, column = basis.tables["dc_resistance"], f"{material} stranded"
    try:
        found = table.cell(size, column) * OHM_PER_KFT
    except MissingCell as missing:
        raise CannotCompute(("route", "conductor"), str(missing), "a size that the table holds") from None
    value = Value("r", found, "resistance_per_length", "up")
    return found, Step("r = resistance of S at 75 °C", (text("S", size), text("column", column)), value, table.source)

"""The protective conductor: IEC 60364-5-54 table 54.2, by the line conductor, of the same metal, run with it."""

from __future__ import annotations

from generator.compute.circuit.working import text
from generator.errors import CannotCompute, MissingCell
from generator.model.codes import CodeBasis
from generator.model.figures import Step


def protective(size: str, basis: CodeBasis) -> tuple[str, Step]:
    """Return the protective conductor for line conductors of `size`, with its step; CannotCompute off the table."""
    table = basis.tables["protective_conductor"]
    try:
        found = table.text(size, "copper")
    except MissingCell as missing:
        raise CannotCompute(("existing_circuit", "conductor"), str(missing), "a size of the basis") from None
    step = Step("S_p = size for line conductors of S", (text("S", size),), text("S_p", found), table.source)
    return found, step

"""The torque that the supply terminals are tightened to: the maker's, held against what conductors of the size bear."""

from __future__ import annotations

from generator.compute.circuit.sizes import area_mm2
from generator.errors import CannotCompute
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel
from generator.model.said import say
from generator.model.tables.codes import CodeBasis
from generator.si import INCH_M, POUND_FORCE_N

_LBF_IN_N_M = POUND_FORCE_N * INCH_M


def terminal_torque(prefix: str, model: HeaterModel, basis: CodeBasis) -> Figure:
    """Return `<prefix>.torque`, the tightening torque [N m] of the supply terminals."""
    marked = Value("T_marked", model.electrical.terminals.torque_n_m, "torque")
    step = Step("T = T_marked", (marked,), Value("T", marked.value, "torque"), basis.rules.source_of("terminal-torque"))
    label = say("terminal-torque")
    return Figure(f"{prefix}.torque", label, model.electrical.terminals.torque_n_m, "torque", "neither", (step,))


def require_plausible_torque(model: HeaterModel, basis: CodeBasis) -> None:
    """Refuse a torque that no terminal for conductors of the stated sizes is tightened to, by the basis's table."""
    terminals, table = model.electrical.terminals, basis.tables["terminal_torque"]
    largest_mm2 = area_mm2(terminals.largest) * (1.0 - 1e-9)
    row = next((size for size in table.rows if largest_mm2 <= area_mm2(size)), None)
    greatest_lbf_in = None if row is None else table.cell(row, "greatest")
    stated_lbf_in = terminals.torque_n_m / _LBF_IN_N_M
    if greatest_lbf_in is not None and stated_lbf_in > greatest_lbf_in * (1.0 + 1e-9):
        wrong = f"{stated_lbf_in:.0f} lbf in is too much for terminals that take no more than {terminals.largest}"
        expected = f"the torque marked on the heater, at most {greatest_lbf_in:g} lbf in ({table.source})"
        raise CannotCompute(("electrical", "terminals", "torque"), wrong, expected)

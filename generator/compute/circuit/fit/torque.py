"""The torque that the supply terminals are tightened to: the maker's, held against what conductors of the size bear."""

from __future__ import annotations

from generator.compute.circuit.sizes import area_mm2
from generator.errors import CannotCompute
from generator.model.codes import CodeBasis
from generator.model.figures import Figure, Step, Value
from generator.model.heater import HeaterModel
from generator.si import INCH_M, POUND_FORCE_N

_LBF_IN_N_M = POUND_FORCE_N * INCH_M
# Largest conductor a terminal takes -> the greatest tightening torque [lbf in] that the table states for any pressure
# connector of that size. Above it the number is a slip, or the strands are crushed.
SOURCE = "NFPA 70 (2023) Informative Annex I, Table I.1, drawn from UL 486A-486B, from memory"
GREATEST_LBF_IN = {"8 AWG": 80.0, "4 AWG": 165.0, "1 AWG": 275.0, "2/0 AWG": 385.0}


def terminal_torque(prefix: str, model: HeaterModel, basis: CodeBasis) -> Figure:
    """Return `<prefix>.torque`, the tightening torque [N m] of the supply terminals."""
    marked = Value("T_marked", model.electrical.terminals.torque_n_m, "torque")
    step = Step("T = T_marked", (marked,), Value("T", marked.value, "torque"), basis.rules.source_of("terminal-torque"))
    label = "Tightening torque of the supply terminals"
    return Figure(f"{prefix}.torque", label, model.electrical.terminals.torque_n_m, "torque", "nearest", (step,))


def require_plausible_torque(model: HeaterModel) -> None:
    """Refuse a torque that no terminal for conductors of the stated sizes is tightened to."""
    terminals = model.electrical.terminals
    largest_mm2 = area_mm2(terminals.largest) * (1.0 - 1e-9)
    greatest_lbf_in = next((most for size, most in GREATEST_LBF_IN.items() if largest_mm2 <= area_mm2(size)), None)
    stated_lbf_in = terminals.torque_n_m / _LBF_IN_N_M
    if greatest_lbf_in is not None and stated_lbf_in > greatest_lbf_in * (1.0 + 1e-9):
        wrong = f"{stated_lbf_in:.0f} lbf in is too much for terminals that take no more than {terminals.largest}"
        expected = f"the torque marked on the heater, at most {greatest_lbf_in:g} lbf in ({SOURCE})"
        raise CannotCompute(("electrical", "terminals", "torque"), wrong, expected)

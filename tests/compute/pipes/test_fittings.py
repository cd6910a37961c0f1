"""Fitting losses against the coefficients that the `fluids` package codes from the same paper."""

import fluids.fittings
import pytest

from generator.compute.flow.pipes.run import fitting_losses
from generator.errors import CannotCompute
from tests.compute.wet_cases import PIPES

BORE = 0.05  # full bore (beta = 1), where a valve's K is its L/D times the friction factor
CRANE = {
    "gate-valve": fluids.fittings.K_gate_valve_Crane(BORE, BORE, 0.0, fd=1.0),
    "globe-valve": fluids.fittings.K_globe_valve_Crane(BORE, BORE, fd=1.0),
    "ball-valve": fluids.fittings.K_ball_valve_Crane(BORE, BORE, 0.0, fd=1.0),
    "check-valve": fluids.fittings.K_swing_check_valve_Crane(BORE, fd=1.0),
}


@pytest.mark.parametrize("kind", CRANE)
def test_valves_as_in_fluids(kind: str) -> None:
    assert fitting_losses({kind: 1}, PIPES, ()) == (CRANE[kind], 0.0)


@pytest.mark.parametrize(("kind", "lengths"), [("elbow-90", 30), ("elbow-45", 16), ("tee-run", 20), ("tee-branch", 60)])
def test_elbows_and_tees(kind: str, lengths: int) -> None:
    """Crane TP-410 (2013) A-30; the same in two public reprints of the equivalent length table (read)."""
    assert fitting_losses({kind: 1}, PIPES, ()) == (lengths, 0.0)


def test_losses_add_up() -> None:
    assert fitting_losses({"elbow-90": 2, "union": 3, "strainer": 1}, PIPES, ()) == (60.0, pytest.approx(2.12))


def test_unknown_fitting_names_the_nearest() -> None:
    with pytest.raises(CannotCompute, match="did you mean 'elbow-90'") as refused:
        fitting_losses({"elbow": 1, "union": 1}, PIPES, ("water", "hot_run", 1))
    assert refused.value.where == ("water", "hot_run", 1, "fittings", "elbow")

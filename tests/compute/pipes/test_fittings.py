"""Fitting losses against the coefficients that the `fluids` package codes from the same paper."""

import fluids.fittings
import pytest

from generator.compute.flow.pipes.run import PipeRun, fitting_losses, pipe_runs
from generator.errors import CannotCompute
from generator.model.site_water import StatedRun
from tests.compute.wet_cases import GPM, PIPES, PSI, run

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


# PEX of 1/2 in (SDR 9): equivalent feet of tube in the design manuals of pipe makers, after tests of fittings to ASTM
# F1807 and F2159 by ISA-S75.02 (read in public copies, 2016 and later).
PUBLISHED_FT = {
    "metal insert": {"coupling": 2.0, "tee-run": 2.2, "elbow-90": 9.4, "tee-branch": 10.4},
    "plastic insert": {"coupling": 7.1, "tee-run": 7.2, "elbow-90": 16.5, "tee-branch": 17.9},
}


def joined(pipe: StatedRun, joints: str | None) -> PipeRun:
    return pipe_runs((pipe.model_copy(update={"joints": joints}),), "cold", PIPES)[0]


@pytest.mark.parametrize("joints", PUBLISHED_FT)
def test_insert_fittings_lose_what_tests_of_them_found(joints: str) -> None:
    """The lost pressure is that of so much straight tube, at any flow."""
    for kind, feet in PUBLISHED_FT[joints].items():
        fitted = joined(run("pex", "1/2 in", 10.0, **{kind: 1}), joints)
        longer = joined(run("pex", "1/2 in", 10.0 + feet), joints)
        for gpm in (0.5, 1.25, 2.5):
            found, expected = (one.friction_pa(gpm * GPM, 999.5, 1.25e-3) for one in (fitted, longer))
            assert found == pytest.approx(expected)


def lost_psi(joints: str | None, **fittings: int) -> float:
    return joined(run("pex", "1/2 in", 0.0, **fittings), joints).friction_pa(2.5 * GPM, 999.5, 1.25e-3) / PSI


def test_a_site_that_does_not_say_how_pex_is_joined_is_held_to_the_narrowest() -> None:
    unsaid, plastic, metal, wide = (
        lost_psi(joints, elbow_90=1) for joints in (None, "plastic insert", "metal insert", "expansion")
    )
    assert unsaid == plastic > metal > wide > lost_psi("expansion", elbow_45=1) > 0.0
    assert lost_psi(None, ball_valve=1) == lost_psi("expansion", ball_valve=1) > 0.0


@pytest.mark.parametrize(
    ("material", "joints", "wrong"),
    [("pex", "crimp", "'crimp' is no way"), ("copper-l", "expansion", "no ways of joining")],
)
def test_a_way_of_joining_is_refused_where_there_is_none(material: str, joints: str, wrong: str) -> None:
    with pytest.raises(CannotCompute, match=wrong) as refused:
        joined(run(material, "1/2 in", 5.0), joints)
    assert refused.value.where == ("water", "cold_run", 0, "joints")


def test_unknown_fitting_names_the_nearest() -> None:
    with pytest.raises(CannotCompute, match="did you mean 'elbow-90'") as refused:
        fitting_losses({"elbow": 1, "union": 1}, PIPES, ("water", "hot_run", 1))
    assert refused.value.where == ("water", "hot_run", 1, "fittings", "elbow")


@pytest.mark.parametrize("joints", PUBLISHED_FT)
def test_metric_insert_fittings_lose_no_less_than_those_of_the_next_smaller_bore(joints: str) -> None:
    """No table of metric fittings is held: in diameters each size loses what the next smaller bore of inches does."""
    metric, inches = PIPES.joined("pex-metric", joints), PIPES.joined("pex", joints)
    assert metric and inches
    bores = {size: PIPES.dimensions("pex", size).bore_m for size in PIPES.sizes["pex"].rows if size != "3/8 in"}
    for size in PIPES.sizes["pex-metric"].rows:
        bore_m = PIPES.dimensions("pex-metric", size).bore_m
        smaller = max((one for one in bores if bores[one] <= 1.05 * bore_m), key=bores.__getitem__)
        for kind in metric.kinds:
            least = inches.diameters(kind, smaller, bore_m=bores[smaller])
            assert least * 0.999 <= metric.diameters(kind, size, bore_m=bore_m) <= 1.1 * least + 0.1 / bore_m


def test_metric_pex_is_no_full_bore_pipe() -> None:
    """One elbow of 16 mm costs metres of pipe, not the 30 diameters of a copper one."""
    bare, bent = (joined(run("pex-metric", "16 mm", 10.0, **kinds), None) for kinds in ({}, {"elbow-90": 1}))
    more_m = bent.equivalent_length_m - bare.equivalent_length_m
    assert more_m > 10 * 30 * bare.bore_m

"""Devices with a stated loss, and a supply that falls as it is tested: laws, and what rests on them."""

from __future__ import annotations

from typing import Any

import fluids
import pytest

from generator.compute.flow.device_table import device_table
from generator.compute.flow.pipe_findings import greatest_static_pa
from generator.compute.flow.pipes.stated_loss import stated_loss
from generator.compute.flow.pressure_findings import static_pressure
from generator.compute.flow.pressure_working import pressure_steps
from generator.compute.flow.stage_reach import stage_reach, stage_reach_table
from generator.compute.flow.supply_pressure import fall_pa
from generator.compute.use.expansion import relief_valve, thermal_expansion
from generator.errors import CannotCompute
from generator.model.said import say
from generator.model.site import Site
from generator.model.site_water import Device, FlowTest
from tests.compute.wet_cases import FOOT, GPM, PSI, at_work, run, site, steady, with_water
from tests.finding_texts import said


def device(kind: str, psi: float = 5.0, gpm: float = 10.0, **more: Any) -> Device:
    return Device.model_validate({"name": f"the {kind}", "kind": kind, "loss": psi * PSI, "at": gpm * GPM, **more})


def regulator(psi: float, **more: Any) -> Device:
    return device("regulator", outlet=psi * PSI, **more)


def fitted(*devices: Device, base: Site | None = None) -> Site:
    """The packing house with these devices before its first cold run."""
    place = base or site("packing-house")
    first, *others = place.water.cold_run
    return with_water(place, cold_run=(first.model_copy(update={"devices": devices}), *others))


@pytest.mark.parametrize(
    ("kind", "half", "twice"),
    [
        ("meter", 1.25, 20.0),
        ("backflow preventer", 5.0, 20.0),
        ("softener", 2.5, 20.0),
        ("filter", 2.5, 20.0),
        ("hose", 1.487, 20.0),
    ],
)
def test_a_loss_by_hand(kind: str, half: float, twice: float) -> None:
    """5 psi at 10 gpm, at 5 and at 20: by its exponent below, by the square above."""
    found = stated_loss(device(kind))
    psi = [found.loss_pa(gpm * GPM) / PSI for gpm in (0.0, 5.0, 10.0, 20.0)]
    assert psi == pytest.approx([0.0, half, 5.0, twice], abs=1e-3)


def test_a_smooth_hose_loses_no_less_than_its_pipe_law() -> None:
    """50 ft of 5/8 in hose by `fluids`: what is stated at 5 gpm is not understated at 1 gpm, where it is turbulent."""

    def pipe_pa(gpm: float) -> float:
        velocity = gpm * GPM / (0.25 * 3.141592653589793 * (0.625 * 0.0254) ** 2)
        reynolds = fluids.Reynolds(velocity, 0.625 * 0.0254, 999.0, 1.2e-3)
        factor = fluids.friction_factor(reynolds, 1e-5)
        return float(fluids.dP_from_K(factor * 50 * FOOT / (0.625 * 0.0254), 999.0, velocity))

    hose = stated_loss(device("hose", pipe_pa(5.0) / PSI, 5.0))
    for gpm in (2.0, 3.0, 4.0):
        assert hose.loss_pa(gpm * GPM) >= 0.99 * pipe_pa(gpm)


def test_a_regulator_holds_one_pressure_up_to_its_flow_and_less_beyond() -> None:
    """50 psi held, 5 psi lost open at 10 gpm: of 80 psi 50, of 53 psi 48; at 20 gpm 15 psi more are lost than at 10."""
    held = stated_loss(regulator(50.0))
    psi = {gpm: held.behind_pa(80.0 * PSI, gpm * GPM) / PSI for gpm in (0.0, 1.0, 10.0, 20.0)}
    assert psi == pytest.approx({0.0: 50.0, 1.0: 50.0, 10.0: 50.0, 20.0: 35.0})
    assert held.behind_pa(53.0 * PSI, 10.0 * GPM) / PSI == pytest.approx(48.0)
    assert held.before_pa(48.0 * PSI, 10.0 * GPM) / PSI == pytest.approx(53.0)
    assert held.before_pa(50.1 * PSI, 10.0 * GPM) == float("inf")


def test_a_regulator_takes_the_place_of_the_one_that_codes_ask_for() -> None:
    high = with_water(site("packing-house"), static_pressure=steady(95.0))
    assert static_pressure(at_work(high)).case == "above-code"
    found = static_pressure(at_work(fitted(regulator(55.0), base=high)))
    assert (found.severity, found.case) == ("ok", "within")
    assert "the regulator holds that pressure" in said(found).lower()
    loose = fitted(regulator(85.0), base=high)
    assert static_pressure(at_work(loose)).case == "above-code"
    at_rest = fitted(device("regulator", outlet={"least": 50.0 * PSI, "greatest": 85.0 * PSI}), base=high)
    assert static_pressure(at_work(at_rest)).case == "above-code"


@pytest.mark.parametrize("told", [True, False])
def test_the_working_of_the_pressure_tells_of_a_regulator_where_there_is_one(told: bool) -> None:
    """And shows no more pressure than there is."""
    at = at_work(fitted(device("meter"), *[regulator(50.0)] * told))
    steps = pressure_steps(at.way, at.working_m3_s)
    (inlet,) = (step for step in steps if step.result.symbol == "p_inlet")
    assert (inlet.note == say("behind-regulator")) is told
    assert [value.side for value in (inlet.inputs[0], inlet.result)] == ["down", "down"]


def test_pipes_behind_a_regulator_meet_what_it_holds_alone() -> None:
    """The first run climbs 4 ft (0.433 psi a foot); the second, behind the regulator, sees no more than it holds."""
    place = with_water(site("packing-house"), static_pressure=steady(95.0))
    first, second = place.water.cold_run
    place = with_water(place, cold_run=(first, second.model_copy(update={"devices": (regulator(55.0),)})))
    psi = {key: pa / PSI for key, pa in greatest_static_pa(at_work(place)).items()}
    assert psi == pytest.approx({(False, 1): 95.0, (False, 2): 55.0, (True, 1): 55.0})


@pytest.mark.parametrize(("kind", "closed"), [("backflow preventer", True), ("regulator", True), ("meter", False)])
def test_what_closes_the_supply(kind: str, closed: bool) -> None:
    """Check valve, pressure-reducing valve, backflow preventer: IPC (2021) 607.3, from memory."""
    at = at_work(fitted(regulator(50.0) if kind == "regulator" else device(kind)))
    found = thermal_expansion(at, 330.0)
    assert (found.severity, found.case) == (("attention", "closed") if closed else ("ok", "open"))
    assert (f"the {kind} closes" in said(found).lower()) == closed
    assert (relief_valve(at).case == "check-valve") == closed


def test_springs_that_take_more_than_the_supply_has_let_no_water_through() -> None:
    held = with_water(site("packing-house"), static_pressure=steady(12.0))
    assert at_work(held).greatest_m3_s > 0.0
    assert at_work(fitted(device("backflow preventer", 11.0), base=held)).greatest_m3_s == 0.0


def test_no_static_pressure_closes_a_stage_where_a_regulator_holds_less() -> None:
    """The heater needs 25 psi, 4 ft up; a regulator set to 20 psi leaves it less whatever the supply has."""
    at = at_work(fitted(regulator(20.0)))
    table = stage_reach_table("x", at, stage_reach(at))
    assert [cells[1].value for _, cells in table.rows] == [None] * 4
    assert {found.state for found in stage_reach(at)} == {"below-working-pressure"}


@pytest.mark.parametrize(("kind", "kept"), [("backflow preventer", False), ("regulator", False), ("hose", True)])
def test_what_stands_before_the_heater_is_refused_behind_it(kind: str, kept: bool) -> None:
    last = run("copper-l", "1/2 in", 6.0).model_copy(
        update={"devices": (regulator(50.0) if kind == "regulator" else device(kind),)}
    )
    place = with_water(site("packing-house"), hot_run=(last,))
    if kept:
        assert at_work(place).way.at_fixture(GPM) < at_work(site("packing-house")).way.at_heater(GPM)
        return
    with pytest.raises(CannotCompute) as refused:
        at_work(place)
    assert refused.value.where == ("water", "hot_run", 0, "devices", 0, "kind")


def test_the_table_of_devices_adds_up() -> None:
    at = at_work(fitted(device("meter", 3.0, 10.0), regulator(50.0)))
    (table,) = device_table("x", at)
    (_, meter), (_, held) = table.rows
    assert meter[2].value == pytest.approx(3.0 * PSI * (at.working_m3_s / (10.0 * GPM)) ** 2)
    assert meter[3].value == pytest.approx(58.0 * PSI - float(meter[2].value))
    assert held[3].value == pytest.approx(50.0 * PSI)
    formulas = [cells[3].steps[-1].formula for cells in (meter, held)]
    assert formulas == ["p = p_before − Δp", "p = min(p_before − Δp, p_held)"]
    assert device_table("x", at_work(site("packing-house"))) == ()


TEST = FlowTest(static=60.0 * PSI, residual=45.0 * PSI, flow=20.0 * GPM, document="a test", date="2026-05-04")


def test_a_flow_test_as_the_standard_computes_it() -> None:
    """NFPA 291 (2019) 4.10.1.2, from memory: Q_R = Q_F (h_r / h_f)^0.54, here down to 20 psi."""
    at_20_psi = 20.0 * (40.0 / 15.0) ** 0.54
    assert at_20_psi == pytest.approx(33.97, abs=0.01)
    assert 60.0 - fall_pa(TEST, at_20_psi * GPM) / PSI == pytest.approx(20.0, abs=0.1)
    assert [fall_pa(TEST, gpm * GPM) / PSI for gpm in (0.0, 20.0)] == pytest.approx([0.0, 15.0])


def test_a_supply_falls_as_tested_but_at_its_greatest_not_at_all() -> None:
    plain, tested = at_work(site("packing-house")), at_work(with_water(site("packing-house"), flow_test=TEST))
    q = tested.working_m3_s
    assert plain.way.at_heater(q) - tested.way.at_heater(q) == pytest.approx(fall_pa(TEST, q))
    assert tested.at_greatest.way.at_heater(q) == plain.way.at_heater(q)
    assert tested.way.at_heater(0.0) == plain.way.at_heater(0.0)
    assert tested.greatest_m3_s < plain.greatest_m3_s
    for found, bare in zip(stage_reach(tested), stage_reach(plain), strict=True):
        closes, opens = found.stage.closes_at_m3_s, found.stage.opens_at_m3_s
        assert found.least_static_pa - bare.least_static_pa == pytest.approx(fall_pa(TEST, closes))
        assert found.drop_out_pa and bare.drop_out_pa
        assert found.drop_out_pa - bare.drop_out_pa >= fall_pa(TEST, opens) - 1.0

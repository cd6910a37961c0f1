"""Pressures along the waterway: recomputed with `fluids`, and what must hold at every site."""

import random

import fluids
import pytest

from generator.compute.flow.pipes.run import pipe_runs
from generator.compute.flow.waterway import FIRST_FLOW_M3_S, MOST_FLOW_M3_S, Waterway
from generator.compute.heat import water
from generator.errors import CannotCompute
from tests.compute.wet_cases import GPM, PIPES, PSI, SIZES, model, run, site, waterway, with_water
from tests.compute.wet_random import A_DROP_M3_S, by_chance, random_model, random_run, random_site, with_devices


def random_way(chance: random.Random) -> Waterway:
    place = with_devices(chance, random_site(chance))
    return waterway(place, random_model(chance, place.heater), float(place.water.inlet.winter_k or 0.0))


@by_chance
def test_loss_of_a_run_as_fluids_computes_it(chance: random.Random) -> None:
    """The same correlation from `fluids`: Colebrook above Re 2040, 64/Re up to 900 (between, see test_friction)."""
    stated, flow, kelvin = random_run(chance), chance.uniform(0.05, 8.0) * GPM, chance.uniform(274.0, 360.0)
    found = pipe_runs((stated,), "cold", PIPES)[0]
    bore, rho, mu = SIZES[stated.material][stated.size].bore_m, water.density(kelvin), water.viscosity(kelvin)
    velocity = flow / (3.141592653589793 / 4.0 * bore**2)
    reynolds = fluids.Reynolds(V=velocity, D=bore, rho=rho, mu=mu)
    if 900.0 < reynolds <= 2040.0:
        return  # in the critical zone ours is the greater by intent
    factor = fluids.friction_factor(reynolds, PIPES.materials[stated.material].roughness_m / bore, Method="Colebrook")
    heads = fluids.K_from_f(fd=factor, L=stated.length_m, D=bore)
    narrow = PIPES.joined(stated.material, None)
    for kind, count in stated.fittings.items():
        if narrow and kind in narrow.kinds:
            heads += count * factor * narrow.si(stated.size, kind) / bore
            continue
        heads += count * (PIPES.fittings_loss("lengths", {kind: 1}) * factor + PIPES.fittings_loss("heads", {kind: 1}))
    expected = fluids.dP_from_K(heads, rho=rho, V=velocity)
    assert found.friction_pa(flow, rho, mu) == pytest.approx(expected, rel=1e-6, abs=1e-9)


@by_chance
def test_more_flow_never_raises_a_pressure(chance: random.Random) -> None:
    way = random_way(chance)
    less, more = sorted(chance.uniform(A_DROP_M3_S, MOST_FLOW_M3_S) for _ in range(2))
    for pressure in (way.at_heater, way.at_switches, way.at_fixture, way.left_for_outlet):
        assert pressure(more) <= pressure(less)
    assert way.behind_inlet_valve(more) >= way.behind_inlet_valve(less)


@by_chance
def test_a_longer_pipe_never_raises_pressure_and_a_wider_never_lowers_it(chance: random.Random) -> None:
    material = chance.choice(sorted(SIZES))
    sizes = list(SIZES[material])
    narrow = chance.randrange(len(sizes) - 1)
    feet, flow = chance.uniform(1.0, 200.0), chance.uniform(0.01, 10.0) * GPM
    base, heater = site("potting-shed"), model("rill-3")

    def pressure(size: str, length: float) -> float:
        place = with_water(base, cold_run=(run(material, size, length, 3.0, elbow_90=2, strainer=1),))
        return waterway(place, heater, 284.0).at_heater(flow)

    assert pressure(sizes[narrow], feet * 1.5) <= pressure(sizes[narrow], feet) <= pressure(sizes[narrow + 1], feet)


@by_chance
def test_greatest_flow_balances_the_pressures(chance: random.Random) -> None:
    way = random_way(chance)
    flow = way.greatest_flow()
    if flow is None:
        assert min(way.left_for_outlet(FIRST_FLOW_M3_S), way.at_heater(FIRST_FLOW_M3_S)) < 0.0
    elif flow < MOST_FLOW_M3_S:
        surplus = min(way.left_for_outlet(flow), way.at_heater(flow))
        assert 0.0 <= surplus < 1e-6 * max(way.static_pa, PSI)


def test_potting_shed_by_hand() -> None:
    """0.5 gpm through 40 ft of 1/2 in type L, five elbows, tee branch, ball valve, 3 ft up; by hand with `fluids`."""
    way = waterway(site("potting-shed"), model("rill-3"), 284.2611)
    bore, flow = 0.545 * 0.0254, 0.5 * GPM
    velocity = flow / (3.141592653589793 / 4.0 * bore**2)
    factor = fluids.Colebrook(fluids.Reynolds(velocity, bore, way.density_kg_m3, way.viscosity_pa_s), 1.5e-6 / bore)
    pipe = factor * (40.0 * 0.3048 / bore + 5 * 30 + 60 + 3) * 0.5 * way.density_kg_m3 * velocity**2
    height = way.density_kg_m3 * 9.80665 * 3.0 * 0.3048
    assert way.at_heater(flow) == pytest.approx(52.0 * PSI - pipe - height, rel=1e-9)


def test_greatest_flow_of_the_potting_shed_by_hand() -> None:
    """At the greatest flow the static pressure is friction, height, heater and one velocity head at the open end."""
    way = waterway(site("potting-shed"), model("rill-3"), 284.2611)
    flow, rho = way.greatest_flow() or 0.0, way.density_kg_m3
    needed = rho * 9.80665 * 3.0 * 0.3048 + way.heater.clean_pa(flow)
    for inches, lengths, feet in ((0.545, 5 * 30 + 60 + 3, 40.0), (0.430, 30, 2.0)):
        bore = inches * 0.0254
        velocity = flow / (3.141592653589793 / 4.0 * bore**2)
        factor = fluids.Colebrook(fluids.Reynolds(velocity, bore, rho, way.viscosity_pa_s), 1.5e-6 / bore)
        needed += factor * (feet * 0.3048 / bore + lengths) * 0.5 * rho * velocity**2
    needed += fluids.dP_from_K(1.0, rho, velocity)
    assert needed == pytest.approx(52.0 * PSI, rel=1e-9)


def test_unknown_fitting_is_located_in_the_hot_run() -> None:
    place = with_water(
        site("potting-shed"), hot_run=(run("copper-l", "3/8 in", 2.0), run("pex", "1/2 in", 1.0, bend=1))
    )
    with pytest.raises(CannotCompute) as refused:
        waterway(place, model("rill-3"), 284.0)
    assert refused.value.where == ("water", "hot_run", 1, "fittings", "bend")

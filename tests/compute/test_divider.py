"""The voltage divider against a general network solver, against mesh equations, and against its own limits."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.circuit.drop.divider import conductor_ohm_for_drop, deliver, load_ohm
from generator.compute.circuit.supply_connection import SupplyConnection
from generator.model.heater import Rating, Stage


def stages(count: int, lines: tuple[str | None, ...] = (None,)) -> list[Stage]:
    """Equal stages, their pairs of lines taken in turn."""
    return [
        Stage(share=1 / count, closes_at_m3_s=2e-5, opens_at_m3_s=1e-5, lines=lines[number % len(lines)])
        for number in range(count)
    ]


def connection(power_w: float, rated_v: float, phases: int, supply_v: float | None = None) -> SupplyConnection:
    rating = Rating(voltage_v=rated_v, phases=phases, power_w=power_w)
    return SupplyConnection(rating, supply_v or rated_v, to_neutral=False, neutral=False)


def solved(power_w: float, rated_v: float, supply_v: float, phases: int, ohm: float) -> tuple[float, float]:
    """(power [W], voltage [V]) at the heater by pandapower's power flow.

    pandapower solves balanced three-phase networks. A single-phase circuit is entered as three of itself: the line
    voltage is sqrt(3) times its voltage, the line resistance that of both conductors, the load three times its power.
    """
    import pandapower  # it takes seconds, which only the worker that runs this need spend

    scale = 1.0 if phases == 3 else math.sqrt(3.0)
    net = pandapower.create_empty_network(sn_mva=0.01)
    nominal_kv = rated_v * scale / 1000
    panel, heater = (pandapower.create_bus(net, vn_kv=nominal_kv) for _ in range(2))
    pandapower.create_ext_grid(net, panel, vm_pu=supply_v / rated_v)
    series = ohm if phases == 3 else 2 * ohm
    wire = {"r_ohm_per_km": series, "x_ohm_per_km": 0.0, "c_nf_per_km": 0.0, "max_i_ka": 1.0}
    pandapower.create_line_from_parameters(net, panel, heater, length_km=1.0, **wire)
    whole = power_w * (1 if phases == 3 else 3) / 1e6
    pandapower.create_load(net, heater, p_mw=whole, const_z_p_percent=100, const_z_q_percent=100)
    pandapower.runpp(net, init="flat", numba=False, tolerance_mva=1e-13, max_iteration=60)
    volts = net.res_bus.vm_pu[heater] * rated_v
    return -net.res_line.p_to_mw[0] * 1e6 / (1 if phases == 3 else 3), volts


RANDOM = random.Random(20260914)


def random_circuit() -> tuple[float, float, float, int, float]:
    """Power, rated voltage, supply over rated, phases, and a conductor of 1 to 8 % of the heater's resistance."""
    power_w, rated_v = RANDOM.uniform(2e3, 24e3), RANDOM.choice([120.0, 208.0, 230.0, 240.0, 400.0])
    ratio, phases = RANDOM.uniform(0.85, 1.08), RANDOM.choice([1, 3])
    return power_w, rated_v, ratio, phases, RANDOM.uniform(0.01, 0.08) * rated_v**2 / power_w


CIRCUITS = [random_circuit() for _ in range(10)]


@pytest.mark.parametrize(("power_w", "rated_v", "ratio", "phases", "ohm"), CIRCUITS)
def test_a_general_network_solver_agrees(power_w: float, rated_v: float, ratio: float, phases: int, ohm: float) -> None:
    supply_v = rated_v * ratio
    found = deliver(stages(1), connection(power_w, rated_v, phases, supply_v), conductor_ohm=ohm, supply_v=supply_v)
    power, volts = solved(power_w, rated_v, supply_v, phases, ohm)
    print(f"{found.power_w:.6f} W, solver {power:.6f} W; {supply_v - found.drop_v:.7f} V, solver {volts:.7f} V")
    assert found.power_w == pytest.approx(power, rel=1e-6)
    assert supply_v - found.drop_v == pytest.approx(volts, rel=1e-6)


PAIRS = ("L1-L2", "L2-L3", "L3-L1")


@pytest.mark.parametrize("phases_closed", [1, 2, 3, 4, 5, 6])
def test_stages_across_pairs_agree_with_mesh_equations(phases_closed: int) -> None:
    """Mesh currents in the two supply loops and the delta, an arrangement of the equations other than the program's."""
    supply_v, ohm, power_w = 208.0, 0.12, 13500.0
    found = deliver(
        stages(6, PAIRS)[:phases_closed], connection(power_w, supply_v, 3), conductor_ohm=ohm, supply_v=supply_v
    )
    across = [sum(1 for n in range(phases_closed) if n % 3 == pair) for pair in range(3)]
    element = [supply_v**2 / (power_w / 6 * n) if n else 1e12 for n in across]  # an open pair as a huge resistance
    r12, r23, r31 = element
    e12, e23 = supply_v, supply_v * np.exp(-2j * np.pi / 3)
    # Meshes: a by source 12, lines 1 and 2, element 12; b by source 23, lines 2 and 3, element 23; c the delta.
    mesh = np.array(
        [
            [2 * ohm + r12, -ohm, -r12],
            [-ohm, 2 * ohm + r23, -r23],
            [-r12, -r23, r12 + r23 + r31],
        ]
    )
    a, b, c = np.linalg.solve(mesh, np.array([e12, e23, 0.0]))
    lines = [abs(a), abs(b - a), abs(b)]
    power = r12 * abs(a - c) ** 2 + r23 * abs(b - c) ** 2 + r31 * abs(c) ** 2
    assert found.current_a == pytest.approx(max(lines), rel=1e-6)
    assert found.power_w == pytest.approx(power, rel=1e-6)
    # What is left across each pair is what its element's current meets in it: by the same mesh currents.
    left = (abs(r12 * (a - c)), abs(r23 * (b - c)), abs(r31 * c))
    closed = [place for place, ohms in enumerate((r12, r23, r31)) if ohms < 1e6]
    for place in closed:
        assert 208.0 - found.pair_v(place) == pytest.approx(left[place], rel=1e-6)


def test_three_pairs_alike_are_a_balanced_heater() -> None:
    whole = connection(13500.0, 208.0, 3)
    by_pairs = deliver(stages(3, PAIRS), whole, conductor_ohm=0.1, supply_v=208.0)
    balanced = deliver(stages(3), whole, conductor_ohm=0.1, supply_v=208.0)
    assert by_pairs.current_a == pytest.approx(balanced.current_a, rel=1e-12)
    assert by_pairs.power_w == pytest.approx(balanced.power_w, rel=1e-12)
    assert by_pairs.drop_v == pytest.approx(balanced.drop_v, rel=1e-9)
    assert [by_pairs.pair_v(place) for place in range(3)] == pytest.approx([balanced.pair_v(2)] * 3, rel=1e-9)


def test_one_pair_alone_is_a_single_phase_circuit() -> None:
    three = deliver(stages(3, PAIRS)[:1], connection(13500.0, 208.0, 3), conductor_ohm=0.1, supply_v=208.0)
    one = deliver(stages(1), connection(4500.0, 208.0, 1), conductor_ohm=0.1, supply_v=208.0)
    assert three.current_a == pytest.approx(one.current_a, rel=1e-12)
    assert three.drop_v == pytest.approx(one.drop_v, rel=1e-9)


def test_no_conductor_resistance_drops_nothing() -> None:
    found = deliver(stages(4), connection(9600.0, 240.0, 1), conductor_ohm=0.0, supply_v=240.0)
    assert (found.power_w, found.current_a, found.drop_v) == (9600.0, 40.0, 0.0)


@given(ohm=st.floats(1e-4, 1.0), more=st.floats(1e-4, 1.0), phases=st.sampled_from([1, 3]))
def test_more_resistance_drops_more_and_gives_less(ohm: float, more: float, phases: int) -> None:
    circuit = connection(9600.0, 240.0, phases)
    less, worse = (deliver(stages(4), circuit, conductor_ohm=r, supply_v=240.0) for r in (ohm, ohm + more))
    assert worse.drop_v > less.drop_v
    assert worse.power_w < less.power_w
    assert worse.current_a < less.current_a


@given(ratio=st.floats(0.001, 0.2), phases=st.sampled_from([1, 3]))
def test_the_inverse_gives_back_the_drop(ratio: float, phases: int) -> None:
    circuit = connection(9600.0, 240.0, phases)
    ohm = conductor_ohm_for_drop(load_ohm(stages(4), circuit), ratio, circuit)
    assert deliver(stages(4), circuit, conductor_ohm=ohm, supply_v=240.0).drop_ratio == pytest.approx(ratio, rel=1e-9)

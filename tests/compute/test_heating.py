"""The energy balance against textbooks, the trade's constant, and its own inverses."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from generator.compute.heat import balance as heating
from generator.compute.heat import water
from tests.compute.heat_cases import source
from tests.compute.wet_cases import GPM, fahrenheit, kelvin

TRADE, EXAMPLES, MIXING = source("trade_constant"), source("heating_examples"), source("mixing_examples")
BTU_H_PER_GPM_F = TRADE["btu_j"] / 3600.0  # W for 1 Btu/h

INLETS = st.floats(273.15, 310.0)
FLOWS = st.floats(0.05 * GPM, 20.0 * GPM)
POWERS = st.floats(500.0, 50e3)


def constant(inlet_k: float, outlet_k: float) -> float:
    """Btu/h per gpm per degF that heats water from inlet to outlet, flow metered at the inlet."""
    power_w = heating.power_for_outlet_w(inlet_k, outlet_k, GPM)
    return power_w / BTU_H_PER_GPM_F / ((outlet_k - inlet_k) * 1.8)


@pytest.mark.parametrize("example", EXAMPLES["examples"], ids=lambda example: str(example["power_kw"]))
def test_textbook_examples(example: dict[str, Any]) -> None:
    inlet_k, outlet_k, power_w = example["inlet_c"] + 273.15, example["outlet_c"] + 273.15, example["power_kw"] * 1e3
    flow = example["flow_l_min"] / 6e4 if "flow_l_min" in example else example["flow_kg_s"] / water.density(inlet_k)
    assert heating.power_for_outlet_w(inlet_k, outlet_k, flow) == pytest.approx(power_w, rel=example["within"])
    assert heating.flow_for_outlet_m3_s(inlet_k, outlet_k, power_w) == pytest.approx(flow, rel=example["within"])
    rise_k = heating.outlet_k(inlet_k, flow, power_w) - inlet_k
    assert rise_k == pytest.approx(example["outlet_c"] - example["inlet_c"], rel=example["within"])


@pytest.mark.parametrize("inlet_f", range(40, 131, 10))
def test_trade_constant_holds_within_its_bound_with_the_flow_metered_at_the_inlet(inlet_f: int) -> None:
    for outlet_f in range(inlet_f + 5, 141, 5):
        found = constant(kelvin(inlet_f), kelvin(outlet_f))
        assert found == pytest.approx(TRADE["constant"], rel=TRADE["within"]), (inlet_f, outlet_f)


@pytest.mark.parametrize(("degrees_f", "expected"), TRADE["at_temperature"])
def test_trade_constant_at_one_temperature(degrees_f: float, expected: float) -> None:
    t = kelvin(degrees_f)
    found = water.density(t) * water.heat_capacity(t) * GPM / 1.8 / BTU_H_PER_GPM_F
    assert found == pytest.approx(expected, rel=2e-5)


@pytest.mark.parametrize(("kilowatts", "gpm", "inlet_f", "rise_f", "rise_by_500_f"), TRADE["rises"])
def test_rises(kilowatts: float, gpm: float, inlet_f: float, rise_f: float, rise_by_500_f: float) -> None:
    outlet = heating.outlet_k(kelvin(inlet_f), gpm * GPM, kilowatts * 1e3)
    assert fahrenheit(outlet) - inlet_f == pytest.approx(rise_f, abs=0.001)
    assert kilowatts * 1e3 / BTU_H_PER_GPM_F / gpm / TRADE["constant"] == pytest.approx(rise_by_500_f, abs=0.001)


@pytest.mark.parametrize("example", MIXING["temperatures"], ids=lambda example: str(example["mixed"]))
def test_mixing_examples(example: dict[str, float]) -> None:
    share = example["hot_mass"] / (example["hot_mass"] + example["cold_mass"])
    hot_k, cold_k = example["hot"] + 273.15, example["cold"] + 273.15
    within = MIXING["within_k"] / (hot_k - cold_k)
    assert heating.hot_share(hot_k, cold_k, example["mixed"] + 273.15) == pytest.approx(share, abs=within)


@pytest.mark.parametrize("example", MIXING["shares"], ids=lambda example: str(example["share"]))
def test_mixing_shares(example: dict[str, float]) -> None:
    share = heating.hot_share(kelvin(example["hot"]), kelvin(example["cold"]), kelvin(example["wanted"]))
    assert share == pytest.approx(example["share"], abs=MIXING["within_share"])


@given(INLETS, FLOWS, POWERS)
def test_flow_and_power_invert_the_outlet(inlet_k: float, flow: float, power_w: float) -> None:
    assume(power_w / (4150.0 * water.density(inlet_k) * flow) < 372.0 - inlet_k)
    outlet_k = heating.outlet_k(inlet_k, flow, power_w)
    assume(outlet_k - inlet_k > 0.01)
    assert heating.flow_for_outlet_m3_s(inlet_k, outlet_k, power_w) == pytest.approx(flow, rel=1e-6)
    assert heating.power_for_outlet_w(inlet_k, outlet_k, flow) == pytest.approx(power_w, rel=1e-6)


@given(INLETS, FLOWS, POWERS, st.floats(1.0, 10.0))
def test_more_flow_never_raises_the_outlet(inlet_k: float, flow: float, power_w: float, times: float) -> None:
    less, more = (heating.capped_outlet_k(inlet_k, q, power_w, ceiling_k=373.15) for q in (flow, flow * times))
    assert more <= less + 1e-9


@given(INLETS, FLOWS, POWERS, st.floats(0.0, 1.0))
def test_a_colder_inlet_never_raises_the_outlet(inlet_k: float, flow: float, power_w: float, part: float) -> None:
    colder_k = 273.15 + part * (inlet_k - 273.15)
    cold, warm = (heating.capped_outlet_k(t, flow, power_w, ceiling_k=373.15) for t in (colder_k, inlet_k))
    assert cold <= warm + 1e-9


@given(INLETS, FLOWS, POWERS, st.floats(320.0, 373.15))
def test_the_ceiling_caps_exactly_and_only_caps(inlet_k: float, flow: float, power_w: float, ceiling_k: float) -> None:
    free = heating.capped_outlet_k(inlet_k, flow, power_w, ceiling_k=373.15)
    capped = heating.capped_outlet_k(inlet_k, flow, power_w, ceiling_k=ceiling_k)
    assert capped == pytest.approx(min(free, ceiling_k), abs=1e-8)
    assert free < ceiling_k or capped == ceiling_k
    array = heating.capped_outlet_k(np.array([inlet_k]), np.array([flow]), np.array([power_w]), ceiling_k=ceiling_k)
    assert array[0] == pytest.approx(capped, abs=1e-9)
    assert (array[0] == ceiling_k) == (capped == ceiling_k)


@given(st.floats(274.0, 320.0), st.floats(321.0, 372.0), st.floats(0.0, 1.0))
def test_hot_share_inverts_mixing(cold_k: float, hot_k: float, share: float) -> None:
    mixed_k = water.temperature(share * water.enthalpy(hot_k) + (1.0 - share) * water.enthalpy(cold_k))
    assert cold_k - 1e-9 <= mixed_k <= hot_k + 1e-9
    assert heating.hot_share(hot_k, cold_k, mixed_k) == pytest.approx(share, abs=1e-8)


def test_arrays_broadcast() -> None:
    flows, powers, inlets = np.array([[1.0, 2.0, 3.0]]) * GPM, np.array([[3e3], [9e3]]), np.full((1, 1), 285.0)
    outlets = heating.outlet_k(inlets, flows, powers)
    assert outlets.shape == (2, 3)
    assert outlets[1, 2] == pytest.approx(heating.outlet_k(285.0, 3.0 * GPM, 9e3), abs=1e-9)
    assert heating.capped_outlet_k(inlets, flows, powers, ceiling_k=300.0).max() <= 300.0 + 1e-9


def test_boiling_is_refused_and_can_be_capped() -> None:
    with pytest.raises(ValueError, match="no liquid water"):
        heating.outlet_k(290.0, 0.1 * GPM, 10e3)
    assert heating.capped_outlet_k(290.0, 0.1 * GPM, 10e3, ceiling_k=338.0) == pytest.approx(338.0, abs=1e-8)


@pytest.mark.parametrize("flow", [0.0, -1.0, float("nan")])
def test_no_flow_has_no_outlet(flow: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        heating.outlet_k(290.0, flow, 1e3)
    with pytest.raises(ValueError, match="above zero"):
        heating.capped_outlet_k(290.0, flow, 1e3, ceiling_k=338.0)


def test_heating_to_a_colder_outlet_has_no_flow() -> None:
    with pytest.raises(ValueError, match="not the warmer"):
        heating.flow_for_outlet_m3_s(300.0, 300.0, 1e3)


def test_mixing_equal_temperatures_has_no_share() -> None:
    with pytest.raises(ValueError, match="cannot be mixed"):
        heating.hot_share(300.0, 300.0, 310.0)


def test_power_goes_with_the_square_of_the_voltage() -> None:
    """NFPA and trade tables print 75.1 % for 208 V on a 240 V element (common practice, no source)."""
    assert heating.power_at_voltage_w(10e3, 240.0, 208.0) == pytest.approx(7511.1, abs=0.1)

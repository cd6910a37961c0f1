"""Water properties against the release, a handbook table, and two general-purpose libraries."""

from __future__ import annotations

import iapws
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given
from hypothesis import strategies as st

from generator.compute.heat import water
from tests.compute.heat_cases import source

RELEASE, SATURATED = source("water_release"), source("water_saturated")
TEMPERATURES_K = np.linspace(274.0, 372.0, 40)
LIQUID = st.floats(273.15, 373.15)


@pytest.mark.parametrize("point", RELEASE["points"])
def test_release_values(point: dict[str, float]) -> None:
    t = point["t"]
    assert water.density(t) == pytest.approx(point["density"], abs=5e-7)
    assert water.heat_capacity(t) / 1e3 == pytest.approx(point["cp"], abs=5e-9)
    assert water.enthalpy(t) / 1e3 == pytest.approx(point["g"] + t * point["s"], abs=2e-6)
    assert water.viscosity(t) * 1e6 == pytest.approx(point["viscosity"], abs=5e-7)


@pytest.mark.parametrize("row", SATURATED["rows"])
def test_handbook_table(row: list[float]) -> None:
    celsius, density, enthalpy, cp, viscosity = row
    t = celsius + 273.15
    assert water.density(t) == pytest.approx(density, abs=0.06)  # compressed by at most 1 bar: 0.05 kg/m3
    assert water.enthalpy(t) / 1e3 == pytest.approx(enthalpy, abs=0.1)  # v dp for 1 bar: 0.1 kJ/kg
    assert water.heat_capacity(t) / 1e3 == pytest.approx(cp, abs=5e-4)
    assert water.viscosity(t) * 1e3 == pytest.approx(viscosity, rel=1e-3)  # the table's formulation is older than 2008


def differences(ours: np.ndarray, theirs: list[float]) -> float:
    return float(np.max(np.abs(ours / np.array(theirs) - 1.0)))


def coolprop_property(name: str, t: float) -> float:
    return PropsSI(name, "T", t, "P", 1.0e5, "Water")


def test_forty_points_against_coolprop(capsys: pytest.CaptureFixture[str]) -> None:
    zero = coolprop_property("H", 298.15) - water.enthalpy(298.15)
    found = {
        "density": differences(water.density(TEMPERATURES_K), [coolprop_property("D", t) for t in TEMPERATURES_K]),
        "heat capacity": differences(
            water.heat_capacity(TEMPERATURES_K), [coolprop_property("C", t) for t in TEMPERATURES_K]
        ),
        "viscosity": differences(water.viscosity(TEMPERATURES_K), [coolprop_property("V", t) for t in TEMPERATURES_K]),
    }
    theirs = np.array([coolprop_property("H", t) - zero for t in TEMPERATURES_K])
    enthalpy_j_kg = float(np.max(np.abs(water.enthalpy(TEMPERATURES_K) - theirs)))
    with capsys.disabled():
        print(f"\nSR7-09 against CoolProp, greatest relative difference: {found}; enthalpy {enthalpy_j_kg} J/kg")
    assert found["density"] < 1e-6
    assert found["heat capacity"] < 1e-4
    assert found["viscosity"] < 1e-4
    assert enthalpy_j_kg < 4.0  # 0.001 K


def test_forty_points_against_iapws(capsys: pytest.CaptureFixture[str]) -> None:
    states = [iapws.IAPWS97(T=t, P=0.1) for t in TEMPERATURES_K]
    found = {
        "density": differences(water.density(TEMPERATURES_K), [state.rho for state in states]),
        "heat capacity": differences(water.heat_capacity(TEMPERATURES_K) / 1e3, [state.cp for state in states]),
        "viscosity": differences(water.viscosity(TEMPERATURES_K), [state.mu for state in states]),
    }
    enthalpy_j_kg = float(np.max(np.abs(water.enthalpy(TEMPERATURES_K) - [state.h * 1e3 for state in states])))
    with capsys.disabled():
        print(f"\nSR7-09 against iapws, greatest relative difference: {found}; enthalpy {enthalpy_j_kg} J/kg")
    assert found["density"] < 3e-5
    assert found["heat capacity"] < 1e-3
    assert found["viscosity"] < 1e-4
    assert enthalpy_j_kg < 100.0  # 0.024 K; IF97 is a fit for industry


def test_a_supply_at_seven_bar_needs_the_same_power_within_a_thousandth() -> None:
    """The module's word on pressure: heat to warm a cubic metre from 5 to 60 degC, at 0.1 and at 0.7 MPa."""

    def heat(pressure_pa: float) -> float:
        hot, cold = (PropsSI("H", "T", t, "P", pressure_pa, "Water") for t in (333.15, 278.15))
        return PropsSI("D", "T", 278.15, "P", pressure_pa, "Water") * (hot - cold)

    assert heat(7e5) == pytest.approx(heat(1e5), rel=1e-3)
    assert water.density(278.15) * (water.enthalpy(333.15) - water.enthalpy(278.15)) == pytest.approx(
        heat(1e5), rel=1e-5
    )


@given(LIQUID)
def test_heat_capacity_is_the_slope_of_enthalpy(t: float) -> None:
    low, high = max(t - 0.01, 273.15), min(t + 0.01, 373.15)
    slope = (water.enthalpy(high) - water.enthalpy(low)) / (high - low)
    assert slope == pytest.approx(water.heat_capacity((low + high) / 2), rel=1e-6)


@given(LIQUID)
def test_temperature_inverts_enthalpy(t: float) -> None:
    assert water.temperature(water.enthalpy(t)) == pytest.approx(t, abs=1e-9)


def test_arrays_give_what_floats_give() -> None:
    grid = TEMPERATURES_K.reshape(8, 5)
    for function in (water.density, water.enthalpy, water.heat_capacity, water.viscosity):
        assert function(grid).shape == (8, 5)
        assert function(grid).ravel().tolist() == pytest.approx([function(float(t)) for t in TEMPERATURES_K], rel=1e-13)
    assert water.temperature(water.enthalpy(grid)) == pytest.approx(grid, abs=1e-9)


@pytest.mark.parametrize("t", [*RELEASE["refused"], 273.1, 373.2, float("nan"), float("inf"), -300.0])
@pytest.mark.parametrize(
    "function", [water.density, water.enthalpy, water.heat_capacity, water.viscosity], ids=lambda f: f.__name__
)
def test_outside_the_liquid_range_is_refused(function: object, t: float) -> None:
    with pytest.raises(ValueError, match=r"273\.15 to 373\.15 K"):
        function(t)  # type: ignore[operator]
    with pytest.raises(ValueError, match=r"273\.15 to 373\.15 K"):
        function(np.array([300.0, t]))  # type: ignore[operator]


@pytest.mark.parametrize("enthalpy_j_kg", [-1000.0, 420e3, 2.6e6, float("nan")])
def test_the_enthalpy_of_ice_or_steam_has_no_temperature(enthalpy_j_kg: float) -> None:
    with pytest.raises(ValueError, match="no liquid water"):
        water.temperature(enthalpy_j_kg)


def test_freezing_written_in_fahrenheit_is_taken() -> None:
    assert water.density((32.0 - 32.0) / 1.8 + 273.15 - 1e-13) == pytest.approx(999.84, abs=0.01)

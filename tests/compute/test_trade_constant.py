"""The trade's constant beside the balance."""

import pytest
from CoolProp.CoolProp import PropsSI

from generator.compute.heat.trade_constant import INLETS_F, OUTLETS_F, comparison, constant


def kelvin(degrees_f: float) -> float:
    return (degrees_f - 32.0) / 1.8 + 273.15


@pytest.mark.parametrize("inlet_f", INLETS_F)
@pytest.mark.parametrize("outlet_f", OUTLETS_F)
@pytest.mark.parametrize("hot", [False, True])
def test_the_constant_agrees_with_coolprop(inlet_f: float, outlet_f: float, hot: bool) -> None:
    """CoolProp's IAPWS-95 water at 1 atm; Btu and gallon by NIST SP 811 (2008): 1055.056 J, 3.785412e-3 m3."""
    inlet, outlet = kelvin(inlet_f), kelvin(outlet_f)
    enthalpy = [PropsSI("H", "T", t, "P", 101325.0, "Water") for t in (inlet, outlet)]
    density = PropsSI("D", "T", outlet if hot else inlet, "P", 101325.0, "Water")
    power_btu_h = density * 3.785412e-3 * 60.0 * (enthalpy[1] - enthalpy[0]) / 1055.056
    expected = power_btu_h / (outlet_f - inlet_f)
    assert constant(inlet, outlet, outlet if hot else inlet) == pytest.approx(expected, rel=5e-4)


def test_500_is_within_its_usual_error() -> None:
    """Metered cold it is good to half a percent, metered hot to two: common practice, no source."""
    _, cold, hot = comparison()
    worst = [max(abs(cell.value) for _, cells in table.rows for cell in cells) for table in (cold, hot)]
    assert worst[0] < 0.005 < worst[1] < 0.02

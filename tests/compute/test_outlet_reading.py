"""As a reader reads the outlet tables, the warmest is never below what leaves the heater, the coldest never above."""

from __future__ import annotations

import numpy as np
import pytest

from generator.assemble.card.heat import heat_rows
from generator.assemble.documents import SiteView
from generator.build import Loaded
from generator.compute.heat.figures.outlet import outlet_table
from generator.compute.heat.figures.outlet_rows import summer_rows, winter_rows
from generator.compute.heat.outlet import Heated
from generator.compute.heat.stages import rating_for_supply, stage_powers_w
from generator.compute.heat.water import FloatArray
from generator.model.heater import HeaterModel
from generator.model.outlet_flows import Most
from tests.compute.heat_cases import heater
from tests.compute.outlet_reading import (
    GPM,
    UNIT,
    Row,
    coldest_reading,
    on_card,
    outlets_k,
    printed,
    warmest_on_card,
    warmest_reading,
)
from tests.compute.wet_cases import kelvin
from tests.print.random_sites import random_views

NOISE_K = 0.002  # between the properties of IAPWS SR7-09 and those of CoolProp, both of liquid water at 1 bar
MOST_M3_S = 2.2e-4
STEP = {"gpm": 0.01, "L/min": 0.05}


@pytest.fixture(scope="module")
def views(loaded: Loaded) -> tuple[SiteView, ...]:
    return (*loaded.book.sites, *(view for _, view in random_views(loaded.inputs, 11, 15)))


def steps(unit: str, supply_m3_s: float) -> FloatArray:
    """The flows [in the unit] from a trickle to what supply and pressure allow, a step apart."""
    count = int(min(supply_m3_s, MOST_M3_S) / UNIT[unit][1] / STEP[unit])
    return np.round(np.arange(1, count + 1) * STEP[unit], 2)


def never_too_cool(rows: tuple[Row, ...], flows: FloatArray, inlet_k: float, true_k: FloatArray, selected: int) -> int:
    read = 0
    for flow, leaves_k in zip(flows, true_k, strict=True):
        told = warmest_reading(rows, flow, selected)
        heats = leaves_k > inlet_k + NOISE_K
        assert not heats or (told is not None and told >= leaves_k - NOISE_K), (selected, flow, told, leaves_k)
        read += heats
    return read


def never_cooler_on_the_card(rows: tuple[Row, ...], flows: FloatArray, inlet_k: float, true_k: FloatArray) -> None:
    for flow, leaves_k in zip(flows, true_k, strict=True):
        if leaves_k > inlet_k + NOISE_K:
            assert warmest_on_card(rows, flow) >= leaves_k - NOISE_K, (flow, leaves_k, rows)


def never_too_hot(rows: tuple[Row, ...], flows: FloatArray, true_k: FloatArray, selected: int) -> int:
    read = 0
    for flow, leaves_k in zip(flows, true_k, strict=True):
        told = coldest_reading(rows, flow, selected)
        assert told is None or told <= leaves_k + NOISE_K or told == np.inf, (selected, flow, told, leaves_k)
        read += told is not None
    return read


def in_use(view: SiteView) -> list[int]:
    """How many stages can be selected; without a selector all close."""
    count = len(view.heater.stages)
    return list(range(1, count + 1)) if view.heater.stage_selector else [count]


def here(view: SiteView) -> int:
    """How many stages close at the site: those selected; without a selector all, whatever window leads its card."""
    return (view.spec.selected_stage if view.heater.stage_selector else None) or len(view.heater.stages)


def full_w(view: SiteView) -> list[float]:
    """What each stage takes [W] at the site's voltage, from the nameplate: P (V / V rated)^2."""
    supply = view.spec.supply
    rating = rating_for_supply(view.heater, supply.voltage_v, supply.phases)
    return [s.share * rating.power_w * (supply.voltage_v / rating.voltage_v) ** 2 for s in view.heater.stages]


def reaching_w(view: SiteView) -> list[float]:
    """What each stage adds [W] after the voltage drop, which tests/compute/test_delivered.py proves."""
    return list(np.diff([0.0, *(float(figure.value or 0.0) for figure in view.result.delivered)]))


def supply_m3_s(view: SiteView) -> float:
    assert view.result.water
    return min(flow for flow, _ in view.result.water.bounds.greatest)


@pytest.mark.parametrize("unit", UNIT)
def test_the_warmest_table_as_read_is_never_below_what_leaves(views: tuple[SiteView, ...], unit: str) -> None:
    read = 0
    for view in (one for one in views if not one.unfit_supply):
        flows, inlet_k = steps(unit, supply_m3_s(view)), float(view.result.summer_inlet.value or 0.0)
        rows, small = printed(view.result.outlet_summer, unit), on_card(heat_rows(view), unit)
        for selected in in_use(view):
            powers = full_w(view)[:selected]
            true_k = outlets_k(view.heater, inlet_k, flows * UNIT[unit][1], powers, falling=True)
            read += never_too_cool(rows, flows, inlet_k, true_k, selected)
            if selected == here(view):
                never_cooler_on_the_card(small, flows, inlet_k, true_k)
    assert read > 1000 * STEP["gpm"] / STEP[unit]


@pytest.mark.parametrize("unit", UNIT)
def test_the_coldest_table_as_read_is_never_above_what_leaves(views: tuple[SiteView, ...], unit: str) -> None:
    read = 0
    for view in (one for one in views if not one.unfit_supply):
        flows, inlet_k = steps(unit, supply_m3_s(view)), float(view.result.winter_inlet.value or 0.0)
        rows = printed(view.result.outlet_winter, unit)
        for selected in in_use(view):
            powers = reaching_w(view)[:selected]
            true_k = outlets_k(view.heater, inlet_k, flows * UNIT[unit][1], powers, falling=False)
            read += never_too_hot(rows, flows, true_k, selected)
    assert read > 1000 * STEP["gpm"] / STEP[unit]


ODD = {
    "two stages turn on together": heater([0.4, 0.7, 0.7], [0.3, 0.5, 0.55], power_w=6000.0),
    "a later stage drops out first": heater([0.4, 0.5, 0.6], [0.38, 0.45, 0.2], power_w=6000.0),
    "and no selector": heater([0.4, 0.5, 0.6], [0.38, 0.45, 0.2], power_w=6000.0, selector=False),
    "unlike shares": heater([0.4, 0.7], [0.3, 0.65], power_w=5000.0, shares=[0.8, 0.2]),
}


@pytest.mark.parametrize("unit", UNIT)
@pytest.mark.parametrize("model", ODD.values(), ids=ODD.keys())
def test_so_it_is_with_odd_stages(model: HeaterModel, unit: str) -> None:
    powers_w, inlet_k, flows = stage_powers_w(model, 240.0, 1), kelvin(60.0), steps(unit, MOST_M3_S)
    each_w, round_m3_s = list(np.diff([0.0, *powers_w])), [0.5 * GPM, GPM, 4.0 * GPM]
    for selected in range(1, len(powers_w) + 1) if model.stage_selector else [len(powers_w)]:
        heads = summer_rows(model, (), round_m3_s, most=Most(1.0, "beyond-supply"))
        summer = outlet_table("s", "S", Heated(model, powers_w, inlet_k, kelvin(120.0)), heads=heads)
        true_k = outlets_k(model, inlet_k, flows * UNIT[unit][1], each_w[:selected], falling=True)
        assert never_too_cool(printed(summer, unit), flows, inlet_k, true_k, selected)
        heads = winter_rows(model, (), round_m3_s, most=Most(1.0, "beyond-supply"))
        winter = outlet_table("w", "W", Heated(model, powers_w, inlet_k, kelvin(120.0), bound="at_most"), heads=heads)
        true_k = outlets_k(model, inlet_k, flows * UNIT[unit][1], each_w[:selected], falling=False)
        assert never_too_hot(printed(winter, unit), flows, true_k, selected)
